"""A field of the interface that advice names, as the option that a command has for it."""

from __future__ import annotations

import re
from collections.abc import Sequence

import click

_FIELD = re.compile(r"'([a-z_]+)'|\b(mix\.[a-z]+|[a-z]+(?:_[a-z]+)+)\b")

_OTHERWISE = {
    "mix.kind": "mix", "mix.parts": "parts", "mix.by": "by", "with": "partners",
    "catalyst_percent_min": "percent_min", "catalyst_percent_max": "percent_max",
}  # fmt: skip
"""Fields that a command's own parameter is not called by."""


def by_option(advice: str, params: Sequence[click.Parameter]) -> str:
    """Advice with each field that one of these parameters sends named as its option."""
    options = {p.name: p.opts[-1] for p in params if isinstance(p, click.Option)}

    def named(match: re.Match[str]) -> str:
        field = match[1] or match[2]
        return options.get(_OTHERWISE.get(field, field), match[0])

    return _FIELD.sub(named, advice)
