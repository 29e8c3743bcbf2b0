"""The migration that takes the marks of amounts out of kept words."""

from __future__ import annotations

import json

import pytest
from cureyard_service.store import tables
from cureyard_service.store.upkeep.migrate import migrate_back, migrate_forward
from cureyard_service.store.upkeep.soundness import guards_stand
from peewee import Database

from .. import sample_yard as yard

MARKED = "held at \ue0001 °C\ue00134 °F\ue002, \ue0002 mm\ue0010.1 in\ue002 thick"
OF_POTS = {"warnings": [MARKED], "advice": []}
SEEDED = {"zone": "Europe/Zagreb", "currency": "EUR", "seeded_at": yard.NOW}


@pytest.mark.parametrize(
    ("units", "plain"),
    [
        ("metric", "held at 1 °C, 2 mm thick"),
        ("us", "held at 34 °F, 0.1 in thick"),
    ],
)
def test_one_of_each_two_amounts_is_kept(store: Database, units: str, plain: str) -> None:
    """The yard's own, in a text and in JSON; append-only tables are guarded again."""
    tables.Yard.delete().execute()
    tables.Yard.create(id=1, units=units, **SEEDED)
    entry = tables.LogbookEntry.create(kind="overridden", about=MARKED, **yard.SIGNED)
    untouched = tables.LogbookEntry.create(kind="overridden", about="a lot", **yard.SIGNED)
    pot = yard.add_batch(yard.received(1_000), yard.received(20), answer=json.dumps(OF_POTS))
    body = json.dumps({"detail": MARKED}, ensure_ascii=False)
    kept = tables.Answer.create(
        scope="x", key="x", body_hash="x", status=422, body=body, made_at=yard.NOW
    )
    migrate_back(store, 17)
    migrate_forward(store)
    assert tables.LogbookEntry.get_by_id(entry.id).about == plain
    assert tables.LogbookEntry.get_by_id(untouched.id).about == "a lot"
    answer = json.loads(tables.Batch.get_by_id(pot.id).answer)
    assert answer == OF_POTS | {"warnings": [plain]}
    assert json.loads(tables.Answer.get_by_id(kept.id).body) == {"detail": plain}
    assert guards_stand(store) == []
