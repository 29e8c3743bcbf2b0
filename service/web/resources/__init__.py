"""One noun of the interface a file; the order here is the order in the documents."""

from __future__ import annotations

from . import (
    bays,
    calendar,
    doses,
    estimates,
    exports,
    health,
    imports,
    labels,
    layups,
    logbook,
    milestones,
    movements,
    overrides,
    plans,
    products,
    shopping,
    tokens,
    traces,
    usage,
    yard,
)

BLUEPRINTS = (
    layups.today,
    products.blp,
    traces.blp,  # that of lots, with where they went
    movements.blp,
    usage.blp,  # that of jobs, with a job's needs and its usage
    bays.blp,
    doses.doses,
    doses.batches,
    layups.layups,
    calendar.blp,
    milestones.blp,
    labels.blp,
    estimates.blp,
    plans.blp,
    shopping.blp,
    imports.blp,
    exports.blp,
    overrides.blp,
    logbook.blp,
    tokens.blp,
    yard.blp,
    health.blp,
)
