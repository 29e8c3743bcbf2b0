"""Advice of the service that names a field of the interface, with the command's option instead."""

from __future__ import annotations

import re
from collections.abc import Sequence

import click

_FIELD = re.compile(r"'([a-z_]+)'|\b(mix\.[a-z]+|[a-z]+(?:_[a-z]+)+)\b")

_PARAMETERS = {
    "mix.kind": "mix", "mix.parts": "parts", "mix.by": "by", "with": "partners",
    "catalyst_percent_min": "percent_min", "catalyst_percent_max": "percent_max",
}  # fmt: skip
"""The command's parameter for a field, where it has another name than the field."""


def by_option(advice: str, params: Sequence[click.Parameter]) -> str:
    """The advice, in which each field that one of the parameters sends is named as its option."""
    options = {p.name: p.opts[-1] for p in params if isinstance(p, click.Option)}

    def option(match: re.Match[str]) -> str:
        field = match[1] or match[2]
        return options.get(_PARAMETERS.get(field, field), match[0])

    return _FIELD.sub(option, advice)
