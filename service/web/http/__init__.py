"""HTTP: access, guards, idempotency keys, versions, bodies, lists in pages, proxies."""
