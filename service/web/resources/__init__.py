"""One noun of the interface a file; the order here is the order in the documents."""

from __future__ import annotations

from . import health

BLUEPRINTS = (health.blp,)
