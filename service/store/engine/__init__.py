"""The database engine: connections, transactions, locks, columns, queries."""
