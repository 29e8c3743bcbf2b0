"""`now`, against fetching the rows that it rests on, and against itself in a young store."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import count
from pathlib import Path
from typing import Any

from ..acts.sample_yard import DAY, NOW
from . import plans, stores
from .asking import Piped, get, moment, piped, post
from .harness import Row, Scale, Timed, compared

NOW_ROW = get("/v1/now")
FLOOR = "a bare route that fetches all columns of those rows and writes as many bytes"


def rows(scale: Scale, folder: Path) -> Iterator[Row]:
    """Warm, first after a reading, and with ten years behind it."""
    young = stores.at(folder, "now young")
    _fill(young, scale)
    with piped("cureyard", young) as real, piped("bare", young) as bare:
        length = len(real.ask(NOW_ROW)["text"].encode())
        floor = bare.taking(lambda: get(f"/v1/now?bytes={length}"))
        what = f"now, {_layups(scale)} layups in cure, {_lots(scale)} live lots"
        warm = real.taking(lambda: NOW_ROW)
        yield compared(f"{what}: warm", FLOOR, 3.0, warm, floor, scale.n(12, 3), stands=4)
        first = _first_after_a_reading(real)
        yield compared(
            f"{what}: first after a reading", FLOOR, 8.0, first, floor, scale.n(12, 3), stands=12
        )
    yield from _ten_years(scale, folder)


def _fill(path: str, scale: Scale) -> None:
    stores.new(path)
    stores.add_cures(path, _layups(scale))
    stores.add_readings(path, NOW - 14 * DAY)
    stores.add_lots(path, _lots(scale), 2, stocked="1")


def _layups(scale: Scale) -> int:
    return scale.n(200, 12)


def _lots(scale: Scale) -> int:
    return scale.n(2000, 100)


def _first_after_a_reading(real: Piped) -> Timed:
    """A reading of the bay that all layups are in comes first, untimed."""
    seconds = count(NOW - 590)

    def once() -> float:
        reading = {"at": moment(next(seconds)), "temperature": "18.5 degC"}
        real.ask(post("/v1/bays/SHED/readings", {"readings": [reading]}))
        return float(real.ask(NOW_ROW)["took"])

    return once


def _ten_years(scale: Scale, folder: Path) -> Iterator[Row]:
    paths = {name: stores.at(folder, f"now {name}") for name in ("new", "old")}
    for name, path in paths.items():
        stores.new(path)
        stores.add_cures(path, 5)
        if name == "old":
            stores.add_closed_jobs(path, scale.n(3000, 300))
            stores.add_lots(path, scale.n(5000, 500), 20, stocked="0")
        since = stores.LONG_AGO if name == "old" and not scale.short else NOW - 14 * DAY
        stores.add_readings(path, since)
    with piped("cureyard", paths["old"]) as old, piped("cureyard", paths["new"]) as new:
        found: dict[str, Any] = plans.compared(
            paths["old"], *(one.ask(get("/v1/now", traced=True))["sql"] for one in (old, new))
        )
        yield compared(
            "now, with ten years of closed jobs behind it", "the same with none", 1.25,
            old.taking(lambda: NOW_ROW), new.taking(lambda: NOW_ROW), scale.n(300, 10), **found,
        )  # fmt: skip
