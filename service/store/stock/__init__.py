"""Stock in the store: the ledger, lots, needs, jobs."""
