"""Drawings of the pages and answers: where each line stands; the templates hold the rest."""
