"""A small yard to try the store on: rows with every column that must be there."""

from __future__ import annotations

import hashlib
import random
from collections.abc import Iterable
from itertools import count
from typing import Any

from cureyard_service.store import tables
from cureyard_service.store.stock import ledger
from cureyard_service.store.stock.lines import Movement
from cureyard_service.store.yard.hands import Hand

NOW = 1_760_000_000
HAND = Hand("Ines", verified=False)
SIGNED = HAND.signed(NOW)

_numbers = count(1)


def ids(rows: Iterable[Any]) -> list[int]:
    """The ids of rows, in their order."""
    return [row.id for row in rows]


def add_product(measure: str = "mass") -> tables.Product:
    """A product with a code of its own."""
    code = f"P-{next(_numbers)}"
    return tables.Product.create(
        code=code, code_key=code.casefold(), name="Laminating resin", role="resin",
        measure=measure, life_type="II", made_at=NOW,
    )  # fmt: skip


def add_lot(product: tables.Product | None = None, **columns: Any) -> tables.Lot:
    """An empty lot."""
    number = f"L-{next(_numbers)}"
    return tables.Lot.create(
        product=product or add_product(), number=number, number_key=number.casefold(),
        received_at=NOW, received_on="2025-10-09", **columns,
    )  # fmt: skip


def received(amount: int, product: tables.Product | None = None, **cost: Any) -> tables.Lot:
    """A lot with an amount in it."""
    lot = add_lot(product)
    post(lot, "receipt", amount, **cost)
    return lot


def post(lot: tables.Lot, kind: Any, amount: int, at: int = NOW, **facts: Any) -> Movement:
    """A line of the ledger, posted by the yard's hand."""
    return ledger.post(lot.id, kind, amount, at=at, now=NOW, hand=HAND, **facts)


def reverse(movement: Movement, *, whole_batch: bool = False) -> list[Movement]:
    """A line undone by the yard's hand."""
    return ledger.reverse(
        movement.id, reason="typed wrong", at=NOW, now=NOW, hand=HAND, whole_batch=whole_batch
    )


def on_hand(lot: tables.Lot) -> int:
    """What a lot has now."""
    return int(tables.Lot.get_by_id(lot.id).on_hand)


def add_job() -> tables.Job:
    """An open job."""
    number = f"J-{next(_numbers)}"
    return tables.Job.create(
        number=number, number_key=number.casefold(), title="Stem", craft="the dory Teal",
        structural="unknown", opened_at=NOW,
    )  # fmt: skip


def add_need(job: tables.Job, product: tables.Product, amount: int, **columns: Any) -> tables.Need:
    """A need of a job, said before anything was drawn."""
    facts: dict[str, Any] = {"drawn_after": 0, **SIGNED, **columns}
    return tables.Need.create(job=job, product=product, amount=amount, **facts)


def add_bay() -> tables.Bay:
    """A bay without a pattern."""
    code = f"B-{next(_numbers)}"
    return tables.Bay.create(
        code=code, code_key=code.casefold(), title="Shop", uncertainty_mk=2000, gap_max_s=7200,
        made_at=NOW,
    )  # fmt: skip


def add_sheet(product: tables.Product, revision: int = 1, position: int = 0) -> tables.CureSheet:
    """A cure sheet with nothing on it."""
    return tables.CureSheet.create(
        product=product, revision=revision, position=position, body="{}", **SIGNED
    )


def add_reading(bay: tables.Bay, at: int, kelvin: int, **columns: Any) -> tables.Reading:
    """A reading of a bay."""
    facts = {**SIGNED, **columns}
    return tables.Reading.create(bay=bay, at=at, temperature_mk=kelvin * 1000, **facts)


def add_cup_test(lot: tables.Lot, at: int, verdict: str = "use", **columns: Any) -> tables.CupTest:
    """A cup test of a lot."""
    facts = {**SIGNED, **columns}
    return tables.CupTest.create(
        lot=lot, catalyst_lot=lot, mass_mg=100_000, temperature_mk=298_150, percent_ppm=15_000,
        gel_s=900, condition="normal", factor_ppm=1_000_000, verdict=verdict, at=at, **facts,
    )  # fmt: skip


def add_batch(
    resin: tables.Lot,
    catalyst: tables.Lot,
    resin_mg: int = 1000,
    mixed_at: int = NOW,
    answer: str = "{}",
) -> tables.Batch:
    """A pot with 2 % of catalyst, not yet drawn."""
    return tables.Batch.create(
        job=add_job(), resin_lot=resin, catalyst_lot=catalyst, resin_mg=resin_mg,
        cure_sheet=add_sheet(add_product()), gel_s=900, gel_earliest_s=700, gel_latest_s=1200,
        percent_ppm=20_000,
        catalyst_mg=resin_mg // 50, temperature_mk=293_150, temperature_basis="given",
        factor_ppm=1_000_000, answer=answer, mixed_at=mixed_at, **SIGNED,
    )  # fmt: skip


def add_layup() -> tables.Layup:
    """A layup of a product with a sheet."""
    product = add_product()
    return tables.Layup.create(
        job=add_job(), title="Ply 1", kind="laminate", bay=add_bay(), product=product,
        cure_sheet=add_sheet(product), applied_at=NOW, finished_at=NOW, **SIGNED,
    )  # fmt: skip


def add_photograph(size_bytes: int = 2000, **of: Any) -> tables.Photograph:
    """A photograph of a job, a layup or a lot; its bytes are no image, and of no other one."""
    jpeg = random.randbytes(size_bytes)
    return tables.Photograph.create(
        shows="taper ground", width_px=1600, height_px=1200, size_bytes=size_bytes,
        sha256=hashlib.sha256(jpeg).hexdigest(), jpeg=jpeg, **of, **SIGNED,
    )  # fmt: skip
