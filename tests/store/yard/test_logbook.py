"""The logbook of a store that had none: what was decided before is written up."""

from __future__ import annotations

from cureyard_service.store import tables
from cureyard_service.store.upkeep.migrate import migrate_back, migrate_forward
from peewee import Database

from .. import sample_yard as yard


def test_what_was_decided_before_is_written_up(store: Database) -> None:
    """Overrides and what lots went through, in the order that they were recorded."""
    lot, job, layup = yard.received(1_000), yard.add_job(), yard.add_layup()
    for later, kind in enumerate(("opened", "held", "released"), 1):
        signed = yard.SIGNED | {"recorded_at": yard.NOW + later}
        tables.LotEvent.create(lot=lot, kind=kind, at=yard.NOW, reason=f"{kind}!", **signed)
    for what in ({"lot": lot}, {"layup": layup}, {"job": job}):
        tables.Override.create(slug="held-lot", reason="by leave", **what, **yard.SIGNED)
    migrate_back(store, 4)
    assert {"token", "token_end", "logbook"}.isdisjoint(store.get_tables())
    migrate_forward(store)
    name = f"lot {lot.number}/{lot.container} ({lot.product.code})"
    written = list(tables.LogbookEntry.select().order_by(tables.LogbookEntry.id))
    assert [(row.kind, row.about, row.reason) for row in written] == [
        ("overridden", f"held-lot: {name}", "by leave"),
        ("overridden", f"held-lot: layup {layup.id}", "by leave"),
        ("overridden", f"held-lot: job {job.number}", "by leave"),
        ("held", name, "held!"),
        ("released", name, "released!"),
    ]
    assert {row.who for row in written} == {"Ines"}
