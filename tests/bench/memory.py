"""What a server holds after 100,000 requests of all kinds, against after 10,000."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

from . import draws, stores
from .asking import Kept, get, kept, post
from .harness import Row, Scale

DOSE = {"resin": "LAM", "amount": "1 kg", "temperature": "20 degC", "catalyst_percent": 2}


def rows(scale: Scale, folder: Path) -> Iterator[Row]:
    """The resident size, where the system tells it."""
    if sys.platform != "linux":
        return
    few, many = scale.n(10_000, 300), scale.n(100_000, 900)
    store = stores.new(stores.at(folder, "memory"))
    stores.add_cures(store, 3)
    with kept("cureyard", store) as server:
        _mixed(server, 0, few)
        before = _resident(server.pid)
        _mixed(server, few, many)
        after = _resident(server.pid)
    yield Row(
        f"memory of the server after {many:,} mixed requests", f"after {few:,}", 1.05,
        after / before, n=1, note=f"{before / 1024:.0f} MiB, then {after / 1024:.0f}",
    )  # fmt: skip


def _mixed(server: Kept, first: int, until: int) -> None:
    """Mostly draws, doses and looking things up; now and then all of the yard, or a pot."""
    for number in range(first, until):
        match number % 10:
            case 0 | 1 | 2:
                server.ask(draws.draw())
            case 3 | 4:
                server.ask(post("/v1/doses", DOSE))
            case 5:
                server.ask(get("/v1/movements?limit=5"))
            case 6:
                server.ask(get("/v1/lots/1"))
            case 7:
                server.ask(get("/v1/jobs/D-7"))
            case 8:
                server.ask(get("/v1/products/LAM"))
            case _:
                server.ask(get("/v1/now" if number % 1000 == 9 else "/v1/yard"))


def _resident(pid: int) -> int:
    """KiB in memory."""
    told = Path(f"/proc/{pid}/status").read_text()
    return int(told.partition("VmRSS:")[2].split()[0])
