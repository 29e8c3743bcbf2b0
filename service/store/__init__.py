"""Tables, the ledger and its proofs; knows no HTTP."""
