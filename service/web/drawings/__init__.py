"""Drawings for pages and answers: the place of each line; the templates do the rest."""
