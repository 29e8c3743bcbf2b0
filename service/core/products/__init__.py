"""Products: what a product is, what its data sheet says, and how it gels."""
