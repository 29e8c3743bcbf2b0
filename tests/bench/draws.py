"""A draw and a pot, against two floors on bare Flask: hand-written SQL, and the same statements."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from . import same, stores
from .asking import Request, kept, piped, post
from .harness import Row, Scale, compared

FLOOR = "bare Flask, the same rows and key by hand-written SQL"
SAME = "bare Flask, the same questions and rows by plain SQL"


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
    """Both, over one kept connection and inside the process, against each floor."""
    ways: tuple[tuple[str, Any], ...] = (("kept connection", kept), ("in-process", piped))
    n = scale.n(400, 40)
    for how, opened in ways:
        with _three(opened, folder, how) as (real, bare, asks):
            for act, name, limit, stands in ((draw, "draw", 2.0, 2.3), (pot, "pot", 2.5, 3.4)):
                mine = real.taking(act)
                yield compared(
                    f"one {name}, {how}", FLOOR, limit, mine, bare.taking(act), n, stands=stands
                )
                yield compared(
                    f"one {name}, {how}: beside its questions",
                    SAME,
                    2.0,
                    mine,
                    asks.taking(act),
                    n,
                    stands=2.7,
                )


@contextmanager
def _three(opened: Any, folder: Path, how: str) -> Iterator[tuple[Any, Any, Any]]:
    """The real service and both floors, each on a new store of its own."""
    names = (f"draws {how} {kind}" for kind in ("real", "bare", "taken"))
    mine, its, taken = (stores.new(stores.at(folder, name)) for name in names)
    copy = same.take_down(taken, stores.at(folder, f"draws {how} same"), (draw, pot))
    with (
        opened("cureyard", mine) as real,
        opened("bare", its) as bare,
        opened("same", copy) as asks,
    ):
        yield real, bare, asks
