"""Ten processes that draw from one PostgreSQL at once."""

from __future__ import annotations

import time
from collections.abc import Iterator, Sequence
from contextlib import ExitStack
from pathlib import Path
from statistics import quantiles
from typing import Any

from cureyard_service.store.engine.database import db, open_store
from cureyard_service.store.upkeep.migrate import migrate_forward

from .. import postgres
from ..acts import sample_yard as yard
from .asking import Piped, piped, post
from .harness import Row, Scale

LOTS = 100


def rows(scale: Scale, folder: Path) -> Iterator[Row]:
    """No failures; p99 and rate are told, beside those of one process alone."""
    draws, processes = scale.n(100, 10), scale.n(10, 4)
    with postgres.running() as server, ExitStack() as stack:
        server.does("CREATE DATABASE crowd")
        store = server.url("crowd")
        lots = _stocked(store)
        crowd = [stack.enter_context(piped("cureyard", store)) for _ in range(processes)]
        _at_once(crowd, lots, max(draws // 10, 1))
        alone, rate_alone = _at_once(crowd[:1], lots, draws)
        answers, rate = _at_once(crowd, lots, draws)
        failed = [answer["text"] for answer in answers if answer["status"] != 201]
        if failed:
            raise RuntimeError(f"{len(failed)} of {len(answers)} failed: {failed[0]}")
        yield Row(
            f"{processes} processes on PostgreSQL, draws spread over {LOTS} lots", "one process",
            n=len(answers),
            note=f"no failures; p99 {_p99(answers):.0f} ms, "
            f"{rate:.0f} draws/s; one: p99 {_p99(alone):.0f} ms, {rate_alone:.0f} draws/s",
        )  # fmt: skip


def _stocked(store: str) -> list[int]:
    migrate_forward(open_store(store))
    yard.set_up()
    lots = [yard.receive("MICROS", "90 kg").id for _ in range(LOTS)]
    db.close()
    return lots


def _at_once(
    crowd: Sequence[Piped], lots: list[int], draws: int
) -> tuple[list[dict[str, Any]], float]:
    """So many draws by each; every answer, and draws a second."""
    began = time.perf_counter()
    for number, one in enumerate(crowd):
        one.send([_draw(lots[(number * 37 + turn * 7) % LOTS]) for turn in range(draws)])
    answers = [answer for one in crowd for answer in one.receive()]
    return answers, len(answers) / (time.perf_counter() - began)


def _draw(lot: int) -> dict[str, Any]:
    body = {"kind": "draw", "lot": lot, "quantity": "1 g", "job": "D-7"}
    return post("/v1/movements", body)


def _p99(answers: Sequence[dict[str, Any]]) -> float:
    return 1000 * quantiles([answer["took"] for answer in answers], n=100)[-1]
