"""The OpenAPI description: links and worked examples."""
