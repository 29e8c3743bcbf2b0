"""HTTP: access, guards, keys, versions, bodies, pages of a list."""
