"""Addresses of the description, with something in their holes."""

from __future__ import annotations


def address(path: str) -> str:
    """A path of the description with something in its holes."""
    for hole, what in {
        "bays/{code}": "bays/SHED",
        "{code}": "LAM-PE",
        "{number}": "26-014",
    }.items():
        path = path.replace(hole, what)
    return "/".join("1" if step.startswith("{") else step for step in path.split("/"))
