"""The OpenAPI description: its links, and its examples as `/docs` shows them."""
