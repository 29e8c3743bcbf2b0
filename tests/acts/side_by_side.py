"""A store and a store on paper side by side: an act is foreseen on paper, done, and compared."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from cureyard_service.acts.pots.card import BatchView
from cureyard_service.acts.stock.movement import MovedView
from cureyard_service.core import errors
from cureyard_service.store import tables
from hypothesis.stateful import RuleBasedStateMachine
from peewee import Database

from ..paper import Line
from . import sample_yard as yard
from .paper_store import PaperLot, PaperStore, Refused
from .sample_yard import NOW

SIZES = {"MICROS": 100, "MAT": 100, "LAM": 1000, "PEROX": 20}
"""Grams (centimetres of roll) that acts are about, so that they get in each other's way."""
BASE = {"MAT": 10_000}
"""Base units of one of those; of a gram, else."""


class SideBySide(RuleBasedStateMachine):
    """What the rules are written with: the two stores, and the hour."""

    store: Database

    def __init__(self) -> None:
        super().__init__()
        self.paper = PaperStore(jobs=["D-7", "S-1"])
        self.now = NOW

    def agree(self, foreseen: Callable[[], Any], act: Callable[[], Any]) -> Any:
        """Do an act if the paper allows it; else see it refused so, and nothing changed.

        Returns: what the act told; None where it was refused.
        """
        self.now += 60
        expected = self._foreseen(foreseen)
        if isinstance(expected, str):
            before = yard.contents(self.store)
            with pytest.raises(errors.Refusal) as refused:
                act()
            assert refused.value.slug == expected
            assert yard.contents(self.store) == before
            return None
        answer = act()
        if isinstance(expected, int):
            assert [line.quantity[0] for line in answer.movements] == [expected]
        elif expected and isinstance(expected[0][0], int):
            lines = answer.draws if isinstance(answer, BatchView) else answer.movements
            assert [(line.lot, -line.quantity[0]) for line in lines] == expected
        return answer

    @staticmethod
    def _foreseen(foreseen: Callable[[], Any]) -> Any:
        """What the paper says of an act; the slug, where it refuses it."""
        try:
            return foreseen()
        except Refused as refused:
            return refused.slug

    def book(self, told: MovedView | None, at: int, job: str | None = None, **facts: Any) -> None:
        """Write what an act told on the pages."""
        for line in told.movements if told else ():
            page = self.paper.lots[line.lot]
            page.lines.append(Line(line.kind, line.quantity[0], at, id=line.id, job=job, **facts))
            page.opened = page.opened or line.kind == "draw"

    def amount(self, product: str, part: int) -> tuple[int, str]:
        """Per cent of what is usual for a product: in base units, and as it is said."""
        number = SIZES[product] * part // 100
        return number * BASE.get(product, 1000), f"{number} {'cm' if product in BASE else 'g'}"

    def lot(self, number: int) -> PaperLot:
        """One of the lots."""
        return list(self.paper.lots.values())[number % len(self.paper.lots)]

    def drawn(self) -> list[tuple[PaperLot, str]]:
        """A lot and the job that drew of it, for every draw that ever was."""
        lines = [(lot, lot.lines[place]) for lot, place in self.paper.lines()]
        return [(lot, line.job) for lot, line in lines if line.kind == "draw" and line.job]

    def job(self, number: int) -> str:
        """One of the last three jobs."""
        return self.paper.jobs[-1 - number]

    def last_line(self) -> int:
        """The ledger's last line."""
        return self.last(tables.Movement)

    @staticmethod
    def last(model: Any) -> int:
        """The id of a table's last row."""
        return int(model.select(model.id).order_by(model.id.desc()).limit(1).scalar())
