"""Cureyard's service: stock by lot, doses and cure clocks behind a REST interface."""
