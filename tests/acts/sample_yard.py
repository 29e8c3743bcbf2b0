"""An invented yard to act in: a catalogue, three bays that keep their temperature, two jobs."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from itertools import count
from typing import Any

from cureyard_service.acts.cure import lay_up
from cureyard_service.acts.cure.show import LayupView
from cureyard_service.acts.pots import mix
from cureyard_service.acts.pots.card import BatchView
from cureyard_service.acts.products import product as add_product
from cureyard_service.acts.stock import change_lot
from cureyard_service.acts.stock import cup_test as cup_lot
from cureyard_service.acts.stock import receive as receive_lot
from cureyard_service.acts.stock.lot import LotWithWarningsView
from cureyard_service.acts.yard import finding, moments
from cureyard_service.acts.yard.settings import seed_yard
from cureyard_service.core.amounts import quantities as units
from cureyard_service.core.amounts.quantities import Given
from cureyard_service.core.products import materials
from cureyard_service.store import tables
from cureyard_service.store.yard.hands import Hand
from cureyard_service.web.resources.cure import CureIn
from peewee import Database, Model

from .. import makers
from ..putting import by_acts

NOW = 1_774_000_000
"""2026-03-20 09:46:40 UTC, a Friday."""
MIN, H, DAY = 60, 3600, 86_400
HAND = Hand("Ines", verified=False, role="lead")
STOCK = (units.MASS, units.VOLUME, units.LENGTH, units.AREA, units.COUNT)

_numbers = count(1)


def q(text: str) -> Given:
    """An amount as the acts take it."""
    return units.parse_any(text, STOCK)


def in_stock(amount: Given, stuff: materials.Stuff) -> Decimal:
    """An amount in a product's stock units, unrounded."""
    return materials.stock_amount(amount.value, amount.kind, stuff)


def heat(text: str) -> Decimal:
    """A temperature in K."""
    return units.parse(text, units.TEMPERATURE)


def span(text: str) -> Decimal:
    """A time in s."""
    return units.parse(text, units.TIME)


def set_up() -> None:
    """Write the yard, its catalogue, its bays and its jobs; nothing is in stock."""
    seed_yard(zone="UTC", units="metric", currency="EUR", address=None, now=NOW - DAY)
    by_acts(
        NOW - DAY,
        HAND,
        products=[
            makers.catalyst(shelf_life="365 d"),
            makers.resin(shelf_life="180 d", open_life="60 d"),
            makers.product("WAX", "filler", effects=["waxes"]),
            makers.product("MICROS", "filler"),
            makers.product("COBALT", "promoter"),
            makers.mat(),
            makers.product("PLY-4", "sheet", length="2.4 m", width="1.2 m"),
            makers.hardener(),
            makers.epoxy(),
        ],
        bays=[
            makers.bay("SHED", "20 degC"),
            makers.bay("TENT", "30 degC"),
            makers.bay("BARN", "4 degC"),
        ],
        jobs=[makers.job("D-7"), makers.job("S-1", "yes")],
    )


def add(**nouns: list[makers.Body]) -> list[Any]:
    """Add bodies by noun; what each act answers."""
    return by_acts(NOW, HAND, **nouns)


def revise(code: str, *sheets: makers.Body, now: int = NOW) -> None:
    """Give a product its next cure sheets."""
    cure = [read_sheet(sheet) for sheet in sheets]
    add_product.change_product(finding.product(code), cure=cure, now=now, hand=HAND)


def read_sheet(body: makers.Body) -> dict[str, Any]:
    """A cure sheet as the acts take it."""
    read: dict[str, Any] = CureIn().load(body)
    return read


def day(days: int) -> date:
    """The date so many days from the yard's today."""
    return moments.day_of(NOW + days * DAY)


def receive(product: str, quantity: str, now: int = NOW, **facts: Any) -> tables.Lot:
    """A delivery; its number is new unless it is given."""
    number = facts.pop("number", None) or f"L-{next(_numbers)}"
    told = receive_lot.receive_lot(
        product=product, number=number, quantity=q(quantity), now=now, hand=HAND, **facts
    )
    return finding.lot(told.id)


def stocked() -> tuple[tables.Lot, tables.Lot]:
    """A drum of resin and a bottle of peroxide."""
    return receive("LAM", "20 kg"), receive("PEROX", "1 kg")


def pot(amount: str = "1 kg", now: int = NOW, **facts: Any) -> BatchView:
    """A pot of the laminating resin at 2 % and 20 °C, unless it is said otherwise."""
    asked = {"resin": "LAM", "job": "D-7", "temperature": heat("20 degC")} | facts
    if asked["resin"] == "LAM" and "target_gel" not in asked:
        asked.setdefault("catalyst_percent", Decimal(2))
    return mix.mix(amount=q(amount), now=now, **{"hand": HAND, **asked})


def laid(*pots: int, now: int = NOW, **facts: Any) -> LayupView:
    """A layup of pots in the shed, unless it is said otherwise."""
    asked = {"job": "D-7", "title": "Plies", "kind": "laminate", "bay": "SHED"} | facts
    if pots:
        asked["batches"] = list(pots)
    return lay_up.lay_up(now=now, **{"hand": HAND, **asked})


def cup(lot: tables.Lot, catalyst: tables.Lot, *times: str, now: int = NOW, **facts: Any) -> Any:
    """A cup test at 20 °C and 2 %: the sheet says 20 min."""
    asked = {
        "mass": q("100 g"), "temperature": heat("20 degC"), "catalyst_percent": Decimal(2),
    } | facts  # fmt: skip
    return cup_lot.cup_lot(
        lot, gel_times=[span(t) for t in times], catalyst_lot=catalyst.id,
        now=now, hand=HAND, **asked,
    )  # fmt: skip


def on_hand(lot: tables.Lot | int) -> int:
    """What a lot has now, in base units."""
    return finding.lot(lot if isinstance(lot, int) else lot.id).on_hand


def overrides() -> list[tables.Override]:
    """What was overridden, in order."""
    return list(tables.Override.select().order_by(tables.Override.id))


def contents(database: Database) -> dict[str, list[Any]]:
    """Every row of every table: what a refusal must leave as it was."""
    names = sorted(database.get_tables())
    return {
        name: sorted(database.execute_sql(f'SELECT * FROM "{name}"').fetchall(), key=repr)
        for name in names
    }


def rows_of(model: type[Model]) -> int:
    """How many rows a table has."""
    return int(model.select().count())


def change(lot: tables.Lot, **facts: Any) -> LotWithWarningsView:
    """What is changed of a lot, by the lead."""
    return change_lot.change_lot(finding.lot(lot.id), now=NOW, hand=HAND, **facts)
