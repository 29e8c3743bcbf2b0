"""One file an act: what one person does, in one transaction."""
