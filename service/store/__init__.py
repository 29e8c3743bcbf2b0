"""Tables, the ledger and its proofs; knows no HTTP."""

from .engine.library import import_without_drivers

import_without_drivers()  # before any module of the store imports it
