"""Leak tests of a job's bags: record one, list them, take one back."""

from __future__ import annotations

from typing import Annotated, Any

from ...core.amounts.quantities import PRESSURE
from ...core.amounts.views import Code, Moment, Says, View
from ...core.cure import leaks
from ...core.errors import Invalid
from ...core.frozen import frozen
from ...core.words import Text, say
from ...store.cure import leak_tests
from ...store.cure.leak_tests import LeakTest
from ...store.engine.database import writing
from ...store.lookup import key_of
from ...store.stock.jobs import Job
from ...store.yard import withdrawals
from ...store.yard.hands import Hand
from ...store.yard.withdrawals import Withdrawal
from ..wetness import remarks
from ..yard import finding, moments, permissions
from ..yard.taken_back import WithdrawnView, show_withdrawal


@frozen
class LeakTestView(View):
    """The leak test of a bag: two pressures below the air, what it loses, and whether it passed."""

    id: int
    job: Code
    place: str
    first: Annotated[int, PRESSURE]
    first_at: Moment
    second: Annotated[int, PRESSURE]
    second_at: Moment
    air_pressure: Annotated[int | None, PRESSURE]
    loss: Annotated[float, PRESSURE, Says("What it loses in a minute.")]
    passed: bool
    words: Text
    cautions: list[Text]
    note: str | None
    who: str
    verified: bool
    recorded_at: Moment
    withdrawn: WithdrawnView | None


@frozen
class LeakTestWithWarningsView(LeakTestView):
    """A leak test, with what to mind of it."""

    warnings: list[Text]


def record_leak_test(
    job: Job,
    *,
    place: str,
    first: Any,
    first_at: int,
    second: Any,
    now: int,
    hand: Hand,
    second_at: int | None = None,
    absolute: bool = False,
    air_pressure: Any = None,
    note: str | None = None,
) -> LeakTestWithWarningsView:
    """Record the leak test of a dry bag, with the valve to its pump shut.

    Args:
        place: the bag, in the yard's words. first, second: Pa below the air; or absolute, and
            then with the `air_pressure`. second_at: epoch s; now when it is not said.

    Raises: JobClosed. Invalid: as `leaks.judge` and `leaks.below_air`. As `moments.happened`.
    """
    with writing():
        row = finding.open_job(job.number, "/job")
        known = remarks.known_places(row)
        began = moments.happened(first_at, now, "/first_at", by=hand)
        ended = moments.happened(second_at, now, "/second_at", by=hand)
        air = air_told(absolute, air_pressure)
        one, two = (leaks.below_air(round(each), air) for each in (first, second))
        leaks.judge(one, two, ended - began)
        new = leak_tests.add(
            job_id=row.id, place=place, first_pa=one, first_at=began, second_pa=two,
            second_at=ended, air_pa=air, note=note, now=now, hand=hand,
        )  # fmt: skip
        return LeakTestWithWarningsView(
            **vars(_show(new, row, None)),
            warnings=[
                *remarks.of_place(known, place),
                *remarks.of_twin("leak_test", leak_tests.standing(row.id), new),
            ],
        )


def air_told(absolute: bool, air_pressure: Any) -> int | None:
    """The air's own pressure, Pa, where pressures are told as absolute ones; else None.

    Raises: Invalid: one was told without the other.
    """
    if absolute and air_pressure is None:
        raise Invalid(
            "An absolute pressure says nothing of a vacuum without the air's own pressure.",
            advice="Give the 'air_pressure' of that hour, or what the gauge shows below the air.",
            pointer="/air_pressure",
        )
    if air_pressure is not None and not absolute:
        raise Invalid(
            "The air's own pressure goes with absolute pressures alone.",
            advice="Say that the pressures are 'absolute', or leave 'air_pressure' out.",
            pointer="/absolute",
        )
    return None if air_pressure is None else round(air_pressure)


def list_leak_tests(job: Job, after: int | None, limit: int) -> list[LeakTestView]:
    """Every leak test of a job, the last recorded first, after the one with that id."""
    rows = leak_tests.page(job.id, after, limit)
    taken = withdrawals.of_rows("leak_test", (row.id for row in rows))
    return [_show(row, job, taken.get(row.id)) for row in rows]


def standing_leak_tests(job: Job) -> list[LeakTestView]:
    """The leak tests of a job that nobody took back, the first first."""
    return [_show(row, job, None) for row in leak_tests.standing(job.id)]


def failed(job: Job) -> list[Text]:
    """Words on each bag of a job whose last leak test it did not pass."""
    last = {key_of(row.place): row for row in leak_tests.standing(job.id)}
    shown = (_show(row, job, None) for row in last.values())
    return [
        say("The last leak test of {}: {} Mend it before the resin gels.", each.place, each.words)
        for each in shown
        if not each.passed
    ]


def take_back_leak_test(job: Job, test: int, *, reason: str, now: int, hand: Hand) -> WithdrawnView:
    """Take back a leak test: it stays on record, and counts no longer.

    Raises: NotFound: the job has no such test. AlreadyExists; NotAllowed, as
        `permissions.may_undo`.
    """
    with writing():
        finding.refuse_signed(job)
        row = finding.of_job(leak_tests.find_test(test), job, f"leak test {test}")
        withdrawals.refuse_twice("leak_test", test, f"Leak test {test}")
        permissions.may_undo(row, now, hand)
        withdrawals.withdraw("leak_test", test, reason, now=now, hand=hand)
        return WithdrawnView(now, hand.name, hand.verified, reason)


def _show(row: LeakTest, job: Job, taken: Withdrawal | None) -> LeakTestView:
    leak = leaks.judge(row.first_pa, row.second_pa, row.second_at - row.first_at)
    return LeakTestView(
        id=row.id,
        job=job.number,
        place=row.place,
        first=row.first_pa,
        first_at=row.first_at,
        second=row.second_pa,
        second_at=row.second_at,
        air_pressure=row.air_pa,
        loss=leak.loss,
        passed=leak.passed,
        words=leak.words,
        cautions=[leaks.RULE, leaks.SMALL_BAG],
        note=row.note,
        who=row.who,
        verified=row.verified,
        recorded_at=row.recorded_at,
        withdrawn=None if taken is None else show_withdrawal(taken),
    )
