"""Acts on stock: receive, draw, return, count, reserve, reverse."""
