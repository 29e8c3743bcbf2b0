"""Upkeep of a store: migrations, backup, restore, transfer, proofs."""
