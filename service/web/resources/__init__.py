"""The nouns of the interface, each in a file; the order here is the order in the documents.

A program that runs one command has no time to import all of them, so a noun's modules are
imported when it is asked for.
"""

from __future__ import annotations

from importlib import import_module

from ..http.blueprint import Blueprint

NOUNS = {
    "now": ("now",),
    "products": ("products",),
    "lots": ("traces", "labels", "photographs"),
    "movements": ("movements",),
    "entries": ("entries",),
    "jobs": (
        "usage",
        "signatures",
        "plans",
        "photographs",
        "findings",
        "moisture",
        "surface_notes",
        "samples",
        "leak_tests",
    ),
    "meters": ("meters",),
    "bays": ("bays",),
    "doses": ("doses",),
    "batches": ("batches", "labels"),
    "layups": ("layups", "photographs"),
    "photographs": ("photographs",),
    "calendar.ics": ("calendar",),
    "feeds": ("calendar",),
    "milestones": ("milestones",),
    "estimates": ("estimates",),
    "plans": ("plans",),
    "sequences": ("sequences",),
    "shopping": ("shopping",),
    "imports": ("imports",),
    "exports": ("exports",),
    "overrides": ("overrides",),
    "logbook": ("logbook",),
    "tokens": ("tokens",),
    "phones": ("phones",),
    "yard": ("yard",),
}
"""The modules that serve the addresses `/v1/<noun>…`: every one that has some of them."""


def serving(*nouns: str) -> list[Blueprint]:
    """The blueprints of some nouns, each once."""
    names = [name for noun in nouns for name in NOUNS[noun]]
    modules = [import_module(f".{name}", __name__) for name in names]
    found = [each for module in modules for each in vars(module).values()]
    return list(dict.fromkeys(each for each in found if isinstance(each, Blueprint)))


def everything() -> list[Blueprint]:
    """The blueprints of the whole interface, and of the health checks."""
    from .health import blp as health

    return [*serving(*NOUNS), health]
