"""What a job has still to cut: the pieces of its needs, on the rolls that are kept for it."""

from __future__ import annotations

from decimal import Decimal

import pytest
from cureyard_service.acts.jobs import job, job_cuts, need
from cureyard_service.acts.jobs.job_cuts import ClothCutsView
from cureyard_service.acts.stock import draw
from cureyard_service.acts.yard import finding

from .. import sample_yard as yard
from ..sample_yard import HAND, NOW, q

pytestmark = pytest.mark.usefixtures("books")
M = 1_000_000


def wants(job: str, *pieces: tuple[float, int]) -> None:
    """Pieces of mat among a job's needs: metres and count."""
    rows = [{"length": Decimal(round(long * M)), "count": count} for long, count in pieces]
    need.add_needs(
        finding.job(job), wanted=[{"product": "MAT", "pieces": rows}], now=NOW, hand=HAND
    )


def cuts(job: str = "D-7") -> list[ClothCutsView]:
    """What the job has still to cut."""
    return job_cuts.job_cuts(finding.job(job), NOW)


def test_one_after_the_other_off_the_rolls_that_are_kept() -> None:
    """By hand: 2, 2 and 1 m on a roll of 4.5 m and one of 30: the short one has two."""
    short, long = yard.receive("MAT", "4.5 m"), yard.receive("MAT", "30 m")
    wants("D-7", (2, 2), (1, 1))
    (told,) = cuts()
    assert (told.product, told.width, told.short) == ("MAT", 1_250_000, [])
    by_lot = {roll.lot: roll for roll in told.rolls}
    assert [(c.start, c.length) for c in by_lot[short.id].cuts] == [
        (0, 2 * M), (2 * M, 2 * M)
    ]  # fmt: skip
    assert [(c.start, c.length) for c in by_lot[long.id].cuts] == [(0, M)]
    assert by_lot[short.id].length == 4 * M
    kept = need.show_needs(finding.job("D-7"), NOW).needs[0].lots
    assert {lot.id: lot.quantity[0] for lot in kept} == {
        roll.lot: roll.length for roll in told.rolls
    }


def test_what_is_on_no_roll_is_told_and_what_was_drawn_is_gone() -> None:
    """The longest is on neither roll; a drawn piece is not cut again; another job's are its own."""
    roll = yard.receive("MAT", "3 m")
    wants("D-7", (5, 1), (1, 2))
    wants("S-1", (1, 1))
    (told,) = cuts()
    assert told.short == [5 * M]
    assert [c.length for c in told.rolls[0].cuts] == [M, M]
    draw.draw(kind="draw", lot=roll.id, quantity=q("1 m"), job="D-7", now=NOW, hand=HAND)
    (told,) = cuts()
    assert sum(len(each.cuts) for each in told.rolls) == 1
    (other,) = cuts("S-1")
    assert [c.length for c in other.rolls[0].cuts] == [M]


def test_nothing_to_cut() -> None:
    """No needs, needs of what is no roll, all drawn, or a closed job."""
    roll = yard.receive("MAT", "3 m")
    assert cuts() == []
    wanted = [{"product": "MICROS", "quantity": q("1 kg")}]
    need.add_needs(finding.job("D-7"), wanted=wanted, now=NOW, hand=HAND)
    assert cuts() == []
    wants("D-7", (1, 1))
    draw.draw(kind="draw", lot=roll.id, quantity=q("1 m"), job="D-7", now=NOW, hand=HAND)
    assert cuts() == []
    wants("S-1", (1, 1))
    job.change_job(finding.job("S-1"), state="closed", now=NOW, hand=HAND)
    assert cuts("S-1") == []
