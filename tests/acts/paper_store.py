"""A whole store on paper: its lots' pages, its jobs' needs, and what each act should do to them.

Written from the rules, not from the code: amounts in base units, days counted from the day that
everything happens on. An act answers the lines that it would write, or raises `Refused`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from math import inf
from typing import Literal

from ..paper import Page

ROLL = "MAT"
OPEN_LIFE = {"LAM": 60}
"""Days that a product lasts once it is opened."""
SHELF_LIFE = {"LAM": 180, "PEROX": 365}
"""Days that a product lasts from its receipt, where no date is on its label."""
NEVER_LATE = "PEROX"
"""What nobody may use after its date, whatever the reason."""


class Refused(Exception):
    """The store should refuse, with this slug."""

    def __init__(self, slug: str) -> None:
        super().__init__(slug)
        self.slug = slug


@dataclass
class PaperLot(Page):
    """A lot's page, and what is written on its label."""

    id: int = 0
    product: str = ""
    number: str = ""
    received_at: int = 0
    label: int | None = None
    opened: bool = False
    held: bool = False

    @property
    def last_day(self) -> float:
        """The last day that it is good."""
        opened = OPEN_LIFE.get(self.product, inf) if self.opened else inf
        unlabelled = SHELF_LIFE.get(self.product, inf)
        return min(unlabelled if self.label is None else self.label, opened)

    @property
    def usable(self) -> bool:
        """Whether it may be drawn today."""
        return not self.held and self.last_day >= 0

    def spare(self, left: int) -> int:
        """How far an amount may miss so much of it: 1 in 10 000 and 1 g, and for rounding."""
        return min(max(left // 10_000, (len(self.lines) + 1) // 2), 1000)


@dataclass
class PaperNeed:
    """What a job said that it will take: so much, from the ledger's line `after` on."""

    id: int
    job: str
    product: str
    amount: int
    after: int
    replaced: bool = False


@dataclass
class PaperStore:
    """Pages, needs and pots; jobs by their numbers."""

    jobs: list[str]
    lots: dict[int, PaperLot] = field(default_factory=dict)
    needs: dict[int, PaperNeed] = field(default_factory=dict)
    closed: set[str] = field(default_factory=set)
    pots: list[int] = field(default_factory=list)

    def lines(self) -> list[tuple[PaperLot, int]]:
        """Every line of every page, as the page and the line's place on it; oldest first."""
        every = [(lot, place) for lot in self.lots.values() for place in range(len(lot.lines))]
        return sorted(every, key=lambda each: each[0].lines[each[1]].id)

    def drawn(self, job: str | None, lot: int) -> int:
        """What a job drew of a lot and has not brought back, in pieces of it or into it."""
        total = 0
        for page in self.lots.values():
            for line in page.lines:
                if line.stands and line.job == job:
                    out = line.kind == "draw" and page.id == lot
                    back = line.kind == "return" and line.source == lot
                    total -= line.amount if out or back else 0
        return total

    def draw(
        self,
        kind: Literal["draw", "scrap"],
        job: str | None,
        amount: int | None,
        *,
        lot: int | None = None,
        product: str = "",
        override: bool = False,
    ) -> list[tuple[int, int]]:
        """(lot, amount) of what a draw or a scrap takes; an amount of None is all of a lot."""
        self._open(job)
        if lot is None:
            return self.plan(kind, job, amount or 0, product)
        page = self.lots[lot]
        refused = self._state(page) if kind == "draw" else None
        final = refused == "expired-lot" and page.product == NEVER_LATE
        if refused and (final or not override):
            raise Refused(refused)
        amount = page.on_hand if amount is None else self._near(page, job, amount, bool(refused))
        if page.on_hand == 0 or amount > page.on_hand:
            raise Refused("short-stock")
        if kind == "draw" and not override and self.harmed(page.product, job, {lot: amount}):
            raise Refused("reserved-stock")
        return [(lot, amount)]

    def _near(self, page: PaperLot, job: str | None, amount: int, overridden: bool) -> int:
        """What is taken for an amount that may miss what is free of a lot, or left."""
        others = 0 if overridden else sum(
            kept for (owner, lot), kept in self.kept(page.product).items()
            if lot == page.id and owner != job
        )  # fmt: skip
        free = page.on_hand - others
        if amount in (free, page.on_hand):
            return amount
        if free > 0 and abs(amount - free) <= page.spare(free):
            return free
        over = amount - page.on_hand
        return page.on_hand if 0 < over <= page.spare(page.on_hand) else amount

    def plan(self, kind: str, job: str | None, amount: int, product: str) -> list[tuple[int, int]]:
        """(lot, amount) of an amount of a product, first expired first out."""
        stocked = [lot for lot in self.lots.values() if lot.product == product and lot.on_hand > 0]
        good = [lot for lot in stocked if lot.usable or kind == "scrap"]
        if stocked and not good:
            raise Refused(self._state(stocked[0]) or "")
        others = Counter[int]()
        for (owner, lot), kept in self.kept(product).items():
            others[lot] += kept if owner != job else 0
        try:
            return self._pick(
                product, amount, {lot.id: lot.on_hand - others[lot.id] for lot in good}
            )
        except Refused:
            lines = self._pick(product, amount, {lot.id: lot.on_hand for lot in good})
        if kind == "draw" and self.harmed(product, job, dict(lines)):
            raise Refused("reserved-stock")
        return lines

    def mix(self, job: str, resin: int) -> list[tuple[int, int]]:
        """What a pot of so much resin takes, with 2 % of catalyst."""
        self._open(job)
        return self.plan("draw", job, resin, "LAM") + self.plan("draw", job, resin // 50, "PEROX")

    def bring_back(self, job: str, lot: int, amount: int) -> int:
        """How much of a lot comes back, to a closed job too: what was drawn, where it is that
        but for rounding.
        """
        drawn = self.drawn(job, lot)
        if amount > drawn + (self.lots[lot].spare(drawn) if drawn else 0):
            raise Refused("validation")
        return min(amount, drawn)

    def count(self, lot: int, found: int, counted_at: int) -> int:
        """The difference that a count writes."""
        page = self.lots[lot]
        if counted_at < page.received_at:
            raise Refused("validation")
        if page.counted_from(counted_at + 1):
            raise Refused("counted-since")
        difference = found - page.at(counted_at)
        if page.on_hand + difference < 0:
            raise Refused("short-stock")
        return difference

    def reverse(self, page: PaperLot, place: int, *, pot: bool = False) -> None:
        """Whether a line may be struck out; `pot` with all of its pot."""
        line = page.lines[place]
        if line.pot and line.stands and line.kind != "reversal" and not pot:
            raise Refused("part-of-batch")
        refusal = page.refusal_of_reversing(place, self.drawn(line.job, page.id))
        if refusal is not None:
            raise Refused(refusal.slug)

    def unmix(self, pot: int) -> list[tuple[PaperLot, int]]:
        """The lines that are struck out when a pot was not mixed after all."""
        lines = [(lot, n) for lot, n in self.lines() if lot.lines[n].pot == pot]
        if not all(lot.lines[place].stands for lot, place in lines):
            raise Refused("already-exists")
        for lot, place in lines:
            self.reverse(lot, place, pot=True)
        return lines

    def need(self, job: str, product: str, replaces: int | None) -> None:
        """Whether a need may be said, or take another's place."""
        self._open(job)
        if replaces is None:
            return
        old = self.needs[replaces]
        if (old.job, old.product) != (job, product):
            raise Refused("unknown-reference")
        if old.replaced:
            raise Refused("already-exists")

    def receive(self, product: str, number: str) -> None:
        """Whether a container may come in."""
        if any((lot.product, lot.number) == (product, number) for lot in self.lots.values()):
            raise Refused("already-exists")

    def close(self, job: str) -> None:
        """Whether a job may be closed."""
        self._open(job)

    def reserved(self) -> Counter[int]:
        """Lot → how much of it is kept for jobs."""
        total = Counter[int]()
        for product in {need.product for need in self.needs.values()}:
            for (_job, lot), amount in self.kept(product).items():
                total[lot] += amount
        return total

    def kept(
        self,
        product: str,
        taken: Mapping[int, int] | None = None,
        without: str | None = None,
    ) -> Counter[tuple[str, int]]:
        """(job, lot) → what is kept: who spoke first has first, of what expires first.

        Args:
            taken: out of lots before that. without: a job that is left out.
        """
        left = {
            lot.id: lot.on_hand - (taken or {}).get(lot.id, 0)
            for lot in self.lots.values()
            if lot.product == product and lot.usable and lot.on_hand > 0
        }
        kept = Counter[tuple[str, int]]()
        for need, wanted in sorted(self._wanted(product).items()):
            job = self.needs[need].job
            for lot in sorted(left, key=lambda lot: (self.lots[lot].last_day, left[lot], lot)):
                amount = min(wanted, left[lot]) if job != without else 0
                kept[job, lot] += amount
                left[lot] -= amount
                wanted -= amount
        return kept

    def harmed(self, product: str, job: str | None, taken: Mapping[int, int]) -> bool:
        """Whether another job would have less kept for it."""
        before, after = Counter[str](), Counter[str]()
        for (owner, _lot), amount in self.kept(product).items():
            before[owner] += amount if owner != job else 0
        for (owner, _lot), amount in self.kept(product, taken, without=job).items():
            after[owner] += amount
        return any(after[owner] < amount for owner, amount in before.items())

    def _wanted(self, product: str) -> dict[int, int]:
        """Need → what is still to be drawn for it, of the open jobs."""
        found = {}
        for job in set(self.jobs) - self.closed:
            stand = [
                need
                for need in self.needs.values()
                if (need.job, need.product) == (job, product) and not need.replaced and need.amount
            ]
            drawn = sum(need.amount for need in stand) - self._left(job, product, stand)
            lines = sum(
                line.stands and line.job == job and line.kind in ("draw", "return")
                for lot in self.lots.values() if lot.product == product for line in lot.lines
            )  # fmt: skip
            spare = min(max(drawn // 10_000, (lines + 1) // 2), 1000)
            for need in sorted(stand, key=lambda need: need.id):
                done = min(drawn, need.amount)
                left = need.amount - done
                found[need.id] = left if left > spare else 0
                drawn -= done
        return found

    def _left(self, job: str, product: str, stand: Iterable[PaperNeed]) -> int:
        """What a job has still to draw: what it drew beyond the needs of its time fills none."""
        events: list[tuple[int, int, int]] = [(need.after, 1, need.amount) for need in stand]
        said = left = drawn = 0
        for lot in self.lots.values():
            for line in lot.lines:
                if line.stands and line.job == job and lot.product == product:
                    events.append((line.id, 0, line.amount))
        for _at, is_need, amount in sorted(events):
            if is_need:
                left = min(said, max(0, left - drawn)) + amount
                said, drawn = said + amount, 0
            else:
                drawn -= amount
        return min(said, max(0, left - drawn))

    def _pick(self, product: str, amount: int, free: Mapping[int, int]) -> list[tuple[int, int]]:
        have = sum(free.values())
        spare = {
            lot: self.lots[lot].spare(there) if 0 < there <= amount + 1000 else 0
            for lot, there in free.items()
        }
        if have + max(spare.values(), default=0) < amount:
            raise Refused("short-stock")
        if product == ROLL:
            fits = [lot for lot, there in free.items() if 0 < there >= amount - spare[lot]]
            if not fits:
                raise Refused("no-single-piece")
            lot = min(fits, key=lambda lot: (self.lots[lot].last_day, free[lot], lot))
            near = abs(amount - free[lot]) <= spare[lot]
            return [(lot, free[lot] if near else amount)]
        if have <= amount:
            every = sorted(free, key=lambda lot: (self.lots[lot].last_day, free[lot], lot))
            return [(lot, free[lot]) for lot in every if free[lot] > 0]
        lines, left = [], dict(free)
        while amount > 0:
            there = [lot for lot in left if left[lot] > 0]
            lot = min(
                there,
                key=lambda lot: (
                    self.lots[lot].last_day, left[lot] + spare[lot] < amount, left[lot], lot,
                ),
            )  # fmt: skip
            had = left.pop(lot)
            if abs(amount - had) <= spare[lot]:
                lines.append((lot, had))
                break
            lines.append((lot, min(amount, had)))
            amount -= min(amount, had)
        return lines

    def _state(self, lot: PaperLot) -> str | None:
        if lot.held:
            return "held-lot"
        return "expired-lot" if lot.last_day < 0 else None

    def _open(self, job: str | None) -> None:
        if job in self.closed:
            raise Refused("job-closed")
