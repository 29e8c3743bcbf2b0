"""What is kept of one state of the store is what would be found anew, after every kind of act.

The acts are those of the story of all operations, which a new one has to join; the looks are those
that keep anything. Another process is one with nothing kept.
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import datetime
from typing import Any

import pytest
from cureyard_service.acts.cure.lists import list_layups
from cureyard_service.acts.jobs.shopping import shopping
from cureyard_service.acts.wall.calendar import calendar
from cureyard_service.acts.wall.job_rows import job_rows
from cureyard_service.acts.wall.now import what_now
from cureyard_service.acts.wall.wall import bays_now, wall
from cureyard_service.acts.yard import settings
from cureyard_service.store.cure import layups
from cureyard_service.store.engine import revisions
from cureyard_service.store.engine.database import db, open_store, reading, writing
from cureyard_service.store.engine.revisions import memory
from cureyard_service.store.stock import jobs
from cureyard_service.store.yard import settings as yard_row

from ..engines import Engine
from ..web.worked import play
from . import sample_yard as yard
from .sample_yard import HAND, NOW, H

LOOKS: dict[str, Callable[[int], Any]] = {
    "now": what_now,
    "wall": wall,
    "bays": bays_now,
    "shopping": shopping,
    "calendar": lambda now: calendar(now, everything=True),
    "jobs": lambda now: [job_rows(job, now) for job in jobs.open_jobs()],
    "layups": lambda now: list_layups(None, 100, now),
}
LATER_S = (0, 20 * 60, 40 * H)
"""Seconds after an act at which somebody looks: what is kept holds at any moment."""


def looked(now: int) -> dict[str, str]:
    """All that the looks show at some moments, to the last digit."""
    with reading():
        return {
            f"{name} after {later} s": repr(look(now + later))
            for later in LATER_S
            for name, look in LOOKS.items()
        }


def anew(now: int) -> dict[str, str]:
    """The same with nothing kept."""
    revisions._kept.clear()
    return looked(now)


def test_after_every_act_what_is_kept_is_what_is_found_anew(engine: Engine) -> None:
    """By the story of all operations, from an empty store to a year's end."""
    url, now, states = engine.empty(), 0, set()
    with closing(play(url)) as story:
        for _chapter, step, _found in story:
            if "at" in step:
                now = int(datetime.fromisoformat(step["at"]).timestamp())
            if step["operation"].startswith("GET"):
                continue
            with reading():
                states.add(memory().state)
            kept = looked(now)
            assert kept == anew(now), step["operation"]
        assert len(states) > 50
        told = subprocess.run([sys.executable, "-c", ANOTHER, url, str(now)], check=True,
                              capture_output=True, text=True).stdout  # fmt: skip
        assert told.strip() == repr(looked(now))
    db.close()  # the story's own end was before the last look


ANOTHER = f"""
import sys
from cureyard_service.store.engine.database import open_store
from {__name__} import looked
open_store(sys.argv[1])
print(repr(looked(int(sys.argv[2]))))
"""


@pytest.fixture
def acting(engine: Engine) -> Iterator[str]:
    """The sample yard with a layup in cure."""
    with engine.copy(laid_up) as url:
        open_store(url)
        yield url
        db.close()


def laid_up(url: str) -> None:
    """A store to look at."""
    from cureyard_service.store.upkeep.migrate import migrate_forward

    migrate_forward(open_store(url))
    yard.set_up()
    yard.stocked()
    yard.laid(yard.pot().id)
    db.close()


def test_a_state_is_kept_until_something_is_entered(acting: str) -> None:
    """The work is done once for a state, and again after any entry, whose own it then sees."""
    done: list[int] = []

    def work() -> int:
        done.append(len(layups.open_layups()))
        return done[-1]

    def look() -> int:
        with reading():
            return memory().once("work", work)

    assert [look(), look()] == [1, 1]
    yard.laid(now=NOW + 1, product="LAM", catalyst_percent=2)
    assert [look(), look()] == [2, 2]
    assert done == [1, 2]


def test_nothing_is_kept_where_something_may_be_written(acting: str) -> None:
    """Neither inside a write, nor outside of any transaction: there each look is another."""
    with writing():
        memory().once("work", lambda: "written")
        assert memory().once("work", lambda: None) is None
    memory().once("work", lambda: "outside")
    with reading():
        assert memory().once("work", lambda: "read") == "read"
    assert memory().once("work", lambda: None) is None


def test_another_process_is_seen_before_its_seal_is_tied(acting: str) -> None:
    """On PostgreSQL a seal follows its commit; what was committed counts at once."""
    with reading():
        before = memory().state
    subprocess.run([sys.executable, "-c", UNTIED, acting], check=True)
    with reading():
        assert memory().state != before
        assert memory().once("layups", lambda: len(layups.open_layups())) == 2


UNTIED = f"""
import sys
from cureyard_service.store.engine import database
from {yard.__name__} import NOW, laid
database.tie = lambda db: None
database.open_store(sys.argv[1])
laid(now=NOW + 1, product="LAM", catalyst_percent=2)
"""


def test_the_yards_settings_are_read_once_a_transaction(acting: str) -> None:
    """And anew once they were changed in it; another transaction has those of its own."""
    with writing():
        first = yard_row.settings()
        assert yard_row.settings() is first
        settings.change_yard(units="us", now=NOW, hand=HAND)
        assert yard_row.settings().units == "us"
    with reading():
        assert yard_row.settings() == yard_row.settings()
        assert yard_row.settings().units == "us"


def test_what_is_kept_is_bounded(acting: str) -> None:
    """However many layups are looked at one by one."""
    with reading():
        for number in range(3 * revisions.MOST):
            memory().once(number, lambda: None)
        assert len(memory()._found) <= revisions.MOST
