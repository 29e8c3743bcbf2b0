"""What a service holds after many requests of all kinds, against after fewer of them."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

from . import draws, stores
from .asking import Piped, Request, get, piped, post
from .harness import Row, Scale

DOSE = {"resin": "LAM", "amount": "1 kg", "temperature": "20 degC", "catalyst_percent": 2}
GROWTH = 0.05 / 90_000
"""What memory may grow by for each request: a twentieth from the 10,000th to the 100,000th."""


def rows(_scale: Scale, folder: Path) -> Iterator[Row]:
    """As far as the table has time for, held to the same growth for each request.

    Of one thread, whose cache of the store's pages is soon full (SQLite's, 2 MB).
    """
    yield from _grown(10_000, 20_000, folder)


def _grown(few: int, many: int, folder: Path) -> Iterator[Row]:
    """The resident size after a few requests and after many, where the system tells it."""
    if sys.platform != "linux":
        return
    store = stores.new(stores.at(folder, "memory"))
    stores.add_cures(store, 3)
    with piped("cureyard", store) as service:
        _mixed(service, 0, few)
        before = _resident(service.pid)
        _mixed(service, few, many)
        after = _resident(service.pid)
    yield Row(
        f"memory of one thread after {many:,} mixed requests", f"after {few:,}",
        1 + GROWTH * (many - few), after / before, n=1,
        note=f"{before / 1024:.1f} MiB, then {after / 1024:.1f}",
    )  # fmt: skip


def _mixed(service: Piped, first: int, until: int) -> None:
    for number in range(first, until):
        service.ask(_request(number))


def _request(number: int) -> Request:
    """Mostly draws, doses and looking things up; now and then all of the yard."""
    match number % 10:
        case 0 | 1 | 2:
            return draws.draw()
        case 3 | 4:
            return post("/v1/doses", DOSE)
        case 5:
            return get("/v1/movements?limit=5")
        case 6:
            return get("/v1/lots/1")
        case 7:
            return get("/v1/jobs/D-7")
        case 8:
            return get("/v1/products/LAM")
        case _:
            return get("/v1/now" if number % 1000 == 9 else "/v1/yard")


def _resident(pid: int) -> int:
    """KiB in memory."""
    told = Path(f"/proc/{pid}/status").read_text()
    return int(told.partition("VmRSS:")[2].split()[0])
