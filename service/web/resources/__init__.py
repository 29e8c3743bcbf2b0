"""One noun of the interface a file; the order here is the order in the documents.

A program that lives for one command has no time for all of them: what serves a noun is imported
when it is asked for.
"""

from __future__ import annotations

from importlib import import_module

from flask_smorest import Blueprint

NOUNS = {
    "now": ("now",),
    "products": ("products",),
    "lots": ("traces", "labels"),
    "movements": ("movements",),
    "entries": ("entries",),
    "jobs": ("usage", "plans"),
    "bays": ("bays",),
    "doses": ("doses",),
    "batches": ("batches", "labels"),
    "layups": ("layups",),
    "calendar.ics": ("calendar",),
    "feeds": ("calendar",),
    "milestones": ("milestones",),
    "estimates": ("estimates",),
    "plans": ("plans",),
    "shopping": ("shopping",),
    "imports": ("imports",),
    "exports": ("exports",),
    "overrides": ("overrides",),
    "logbook": ("logbook",),
    "tokens": ("tokens",),
    "yard": ("yard",),
}
"""The modules here that serve the addresses `/v1/<noun>…`: all that any of them adds to."""


def serving(*nouns: str) -> list[Blueprint]:
    """What serves some nouns, each once."""
    names = [name for noun in nouns for name in NOUNS[noun]]
    modules = [import_module(f".{name}", __name__) for name in names]
    found = [each for module in modules for each in vars(module).values()]
    return list(dict.fromkeys(each for each in found if isinstance(each, Blueprint)))


def everything() -> list[Blueprint]:
    """All of the interface, and what tells how the service is."""
    from .health import blp as health

    return [*serving(*NOUNS), health]
