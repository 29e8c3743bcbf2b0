"""The proofs of the books."""

from __future__ import annotations

from typing import Any

from .columns import View, marked, wrapped


def shown(answer: dict[str, Any], view: View) -> list[str]:
    """Each proof and whether it holds; under it, what breaks it."""
    lines: list[str] = []
    for proof in answer["proofs"]:
        lines += wrapped(proof["name"], view.width, "holds   " if proof["ok"] else "BROKEN  ")
        lines += marked(proof["findings"], view.width, "        ! ")
    return lines
