"""JSON as a person reads it: what fits on a line stands on one."""

from __future__ import annotations

import json
from typing import Any

WIDTH = 88
"""Characters of a line, as far as its values let it."""


def legible(value: Any, indent: int = 0, used: int = 0) -> str:
    """A plain value as JSON text.

    Args:
        value: of dicts, lists, text, numbers, booleans and None.
        indent: spaces that its further lines begin with.
        used: characters that stand on its line already, beside it.
    """
    short = json.dumps(value, ensure_ascii=False)
    if not isinstance(value, (dict, list)) or indent + used + len(short) <= WIDTH:
        return short
    deeper = indent + 2
    if isinstance(value, dict):
        names = [(json.dumps(name, ensure_ascii=False) + ": ", value[name]) for name in value]
    else:
        names = [("", item) for item in value]
    lines = [" " * deeper + name + legible(item, deeper, len(name) + 1) for name, item in names]
    opens, closes = "{}" if isinstance(value, dict) else "[]"
    return f"{opens}\n" + ",\n".join(lines) + f"\n{' ' * indent}{closes}"
