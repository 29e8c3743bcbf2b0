"""A draw and a pot, against the same rows, key and triggers in hand-written SQL on bare Flask."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from . import stores
from .asking import Request, kept, piped, post
from .harness import Row, Scale, compared

FLOOR = "bare Flask, the same rows and key by hand-written SQL"


def draw() -> Request:
    """Ten grams of resin to a job."""
    body = {"kind": "draw", "product": "LAM", "quantity": "10 g", "job": "D-7"}
    return post("/v1/movements", body)


def pot() -> Request:
    """A small pot, dosed by percent, with a filler: three draws."""
    return post(
        "/v1/batches",
        {
            "resin": "LAM", "amount": "100 g", "job": "D-7", "temperature": "20 degC",
            "catalyst_percent": 2, "fillers": [{"product": "MICROS", "quantity": "5 g"}],
        },
    )  # fmt: skip


def rows(scale: Scale, folder: Path) -> Iterator[Row]:
    """Both, over one kept connection and inside the process."""
    ways: tuple[tuple[str, Any], ...] = (("kept connection", kept), ("in-process", piped))
    for how, opened in ways:
        with _pair(opened, folder, how) as (real, bare):
            n = scale.n(400, 40)
            yield compared(
                f"one draw, {how}", FLOOR, 2.0, real.taking(draw), bare.taking(draw), n, stands=2.3
            )
            yield compared(
                f"one pot, {how}", FLOOR, 2.5, real.taking(pot), bare.taking(pot), n, stands=3.4
            )


@contextmanager
def _pair(opened: Any, folder: Path, how: str) -> Iterator[tuple[Any, Any]]:
    """The real service and the bare one, each on a new store of its own."""
    names = (f"draws {how} {kind}" for kind in ("real", "bare"))
    mine, its = (stores.new(stores.at(folder, name)) for name in names)
    with opened("cureyard", mine) as real, opened("bare", its) as bare:
        yield real, bare
