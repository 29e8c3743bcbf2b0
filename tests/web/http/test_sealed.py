"""Whatever is asked over the interface, every row that it wrote is sealed."""

from __future__ import annotations

from contextlib import closing

from cureyard_service.store.engine.database import db, reading
from cureyard_service.store.upkeep.seals import every_row_is_as_it_was_sealed

from ...engines import Engine
from ..worked import play


def test_every_row_of_every_act_is_sealed(engine: Engine) -> None:
    """After each request of the story of all operations: a new one has to join that story."""
    with closing(play(engine.empty())) as story:
        for _chapter, step, _found in story:
            with reading():
                assert every_row_is_as_it_was_sealed(db.obj) == [], step["operation"]
