"""`--taper FILE`: the plies of a taper's answer, as `plan taper --json` prints it."""

from __future__ import annotations

import json
from typing import Any, TextIO

from ...exits import Stopped


def plies(file: TextIO, product: str | None) -> list[dict[str, Any]]:
    """The plies of a product, or all of them where none is of it, as a cut list asks for them.

    Raises:
        Stopped: the file is no taper's answer.
    """
    try:
        every = json.load(file)["plies"]
        own = [p for p in every if p["name"].casefold() == (product or "").casefold()]
        return [_asked(ply) for ply in own or every]
    except (ValueError, TypeError, KeyError, AttributeError) as error:
        raise Stopped(
            f"{file.name} is no taper's answer.", "Make it with 'cureyard plan taper … --json'."
        ) from error


def _asked(ply: dict[str, Any]) -> dict[str, Any]:
    length, width = (f"{ply[side]['value']} {ply[side]['unit']}" for side in ("length", "width"))
    name = f"taper {ply['ply']}"
    return {"shape": ply["shape"], "length": length, "width": width, "name": name}
