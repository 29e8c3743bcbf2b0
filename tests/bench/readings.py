"""A logger's file of 100,000 readings, against `executemany` of the same rows."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from itertools import count
from pathlib import Path

from cureyard_service.store.engine.sqlite import PRAGMAS

from ..acts.sample_yard import HAND, NOW
from . import stores
from .asking import Piped, moment, piped, post
from .harness import Row, Scale, Timed, compared, timed

MINUTE = 60
INSERT = (
    "INSERT INTO reading (bay_id, at, temperature_mk, humidity_ppm, recorded_at, who, verified) "
    "VALUES (1, ?, ?, ?, ?, ?, 0)"
)


def rows(scale: Scale, folder: Path) -> Iterator[Row]:
    """Each file is of a time of its own, so that nothing is told twice; short ones fare worse."""
    readings = scale.n(100_000, 20_000)
    mine, its = (stores.new(stores.at(folder, f"readings {which}")) for which in ("mine", "its"))
    connection = sqlite3.connect(its)
    for name, value in PRAGMAS.items():
        connection.execute(f"PRAGMA {name} = {value}")
    with piped("cureyard", mine) as real:
        yield compared(
            f"import of {readings:,} readings", "executemany of the same rows in one transaction",
            3.0, _imported(real, readings), _written(connection, readings), scale.n(4, 2),
            stands=4.5,
        )  # fmt: skip
    connection.close()


def _files(readings: int) -> Iterator[list[tuple[int, int, int]]]:
    """Moments, millikelvin and millionths of humidity, one time span after the other."""
    for number in count():
        first = NOW - (number + 1) * readings * MINUTE
        yield [
            (first + i * MINUTE, 291_150 + i * 37 % 3000, 500_000 + i * 53 % 100_000)
            for i in range(readings)
        ]


def _imported(real: Piped, readings: int) -> Timed:
    files = _files(readings)

    def once() -> float:
        lines = "".join(
            f"{moment(at)},{(mk - 273_150) / 1000:.3f} degC,{ppm / 10_000:.4f}\n"
            for at, mk, ppm in next(files)
        )
        table = f"at,temperature,humidity_percent\n{lines}"
        return float(real.ask(post("/v1/bays/SHED/readings", table, table=True))["took"])

    return once


def _written(connection: sqlite3.Connection, readings: int) -> Timed:
    files = _files(readings)
    signed = (NOW, HAND.name)

    def once() -> float:
        values = [(*row, *signed) for row in next(files)]

        def write() -> None:
            with connection:
                connection.executemany(INSERT, values)

        return timed(write)()

    return once
