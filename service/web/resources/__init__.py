"""One noun of the interface a file; the order here is the order in the documents."""

from __future__ import annotations

from . import (
    bays,
    doses,
    estimates,
    health,
    layups,
    lots,
    movements,
    needs,
    overrides,
    products,
    yard,
)

BLUEPRINTS = (
    layups.today,
    products.blp,
    lots.blp,
    movements.blp,
    needs.blp,
    bays.blp,
    doses.doses,
    doses.batches,
    layups.layups,
    estimates.blp,
    overrides.blp,
    yard.blp,
    health.blp,
)
