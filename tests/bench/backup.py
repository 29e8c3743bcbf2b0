"""How long a write waits at the longest while a backup is made."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Iterator
from pathlib import Path
from statistics import median

from . import draws, stores
from .asking import kept
from .cold import CUREYARD
from .harness import Row, Scale


def rows(scale: Scale, folder: Path) -> Iterator[Row]:
    """Draws over a kept connection, one after another, beside the program's own backup."""
    store = stores.new(stores.at(folder, "backup"))
    lots = scale.n(10_000, 500)
    stores.add_lots(store, lots, 100, stocked="i % 10 = 0")
    environment = {**os.environ, "CUREYARD_DATABASE": store, "HOME": str(folder)}
    with kept("cureyard", store) as server:
        quiet = [server.ask(draws.draw()) for _ in range(100)]
        command = [CUREYARD, "backup", str(folder / "copy.backup")]
        with subprocess.Popen(command, env=environment, stdout=subprocess.DEVNULL) as making:
            busy = [server.ask(draws.draw())]
            while making.poll() is None:
                busy.append(server.ask(draws.draw()))
    if making.returncode != 0:
        raise RuntimeError("the backup failed")
    yield Row(
        f"longest write stall while {lots * 100:,} movements are backed up", "–", n=len(busy),
        note=f"{1000 * max(busy):.0f} ms; median {1000 * median(busy):.1f} ms of {len(busy):,} "
        f"draws; with no backup {1000 * median(quiet):.1f} ms, at most {1000 * max(quiet):.0f} ms",
    )  # fmt: skip
