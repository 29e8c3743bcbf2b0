"""A table of products or lots: each row as the body that the interface takes for one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import marshmallow as ma

from ...core.errors import Invalid, Refusal
from .. import fields
from ..fields.messages import found as faults_in
from ..fields.schemas import Body, Loaded
from . import cells, days, grid, headings, money
from .days import Order
from .headings import Heading

Rows = list[tuple[int, "Loaded | list[Refusal]"]]
"""Each row's number, and the body that its schema loaded or its faults."""


class TableBody(Body):
    """The body that a row of a table stands for.

    Attributes:
        also: headings that mean a field of another name.
        telling: headings of columns in our exports that are not read.
        money: fields of amounts of money; their currency is a field of its own.
    """

    also: Mapping[str, str] = {}
    telling: frozenset[str] = frozenset()
    money: frozenset[str] = frozenset()


def read(text: str, schema: TableBody, order: Order | None = None) -> Rows:
    """Read a table.

    Args:
        schema: of one row; its fields are the columns, in any order.
        order: whether days or months come first, if the dates do not decide it.

    Raises:
        Unreadable: the text is no table.
        Invalid: it has no known heading, one twice, or an unknown one.
    """
    table = grid.read(text, lambda heading: _field(heading, schema) is not None, _advice(schema))
    columns = _columns(table.head[1], schema)
    order = order or _order(table, columns, schema)
    return [(number, _loaded(found, columns, schema, table, order)) for number, found in table.rows]


def _field(heading: str, schema: TableBody) -> str | None:
    """The field of a heading; empty for a column that is not read, None for an unknown one."""
    name = headings.parted(heading).name
    name = schema.also.get(name, name)
    if name in schema.telling:
        return ""
    return name if name in schema.load_fields or name == "unit" else None


def _columns(head: list[str], schema: TableBody) -> list[Heading | None]:
    found: list[Heading | None] = []
    for text in head:
        name = _field(text, schema)
        if name is None and text.strip():
            raise Invalid(f"There is no column {text.strip()[:64]!r}.", advice=_advice(schema))
        if name and any(name == each.name for each in found if each):
            raise Invalid(
                f"Two columns are the {headings.spelt(name)}.", advice="Leave one of them out."
            )
        found.append(Heading(name, headings.parted(text).unit) if name else None)
    return found


def _advice(schema: TableBody) -> str:
    needed = [name for name, field in schema.load_fields.items() if field.required]
    others = [name for name in schema.load_fields if name not in needed]
    return (
        f"Columns that are needed: {', '.join(map(headings.spelt, needed))}; "
        f"that may be there: {', '.join(map(headings.spelt, others))}."
    )


def _order(table: grid.Grid, columns: list[Heading | None], schema: TableBody) -> Order | None:
    dates = [
        i
        for i, column in enumerate(columns)
        if column and isinstance(schema.load_fields.get(column.name), fields.Day)
    ]
    return days.order_of(found[i] for _, found in table.rows for i in dates if i < len(found))


def _loaded(
    found: list[str],
    columns: list[Heading | None],
    schema: TableBody,
    table: grid.Grid,
    order: Order | None,
) -> Loaded | list[Refusal]:
    if any(cell.strip() for cell in found[len(columns) :]):
        return [
            Invalid(
                f"The row has {len(found)} cells for {len(columns)} columns.",
                advice="Put a cell with a comma in quotes.",
            )
        ]
    told = {c.name: (cell.strip(), c.unit) for cell, c in zip(found, columns, strict=False) if c}
    unit = told.pop("unit", ("", ""))[0]
    body: Loaded = {}
    wrong: list[Refusal] = []
    try:
        told = money.parted(told, sorted(schema.money))
    except Invalid as refusal:
        wrong.append(refusal)
    for name, (cell, its) in told.items():
        if not cell:
            continue
        try:
            text = cells.plain(cell, table.decimal_comma)
            body[name] = _said(schema.load_fields[name], text, cell, its or unit, order)
        except Invalid as refusal:
            wrong.append(Invalid(refusal.detail, advice=refusal.advice, pointer=f"/{name}"))
    if wrong:
        return wrong
    try:
        return dict(schema.load(body))
    except ma.ValidationError as error:
        return faults_in(error.messages_dict)


def _said(field: Any, text: str, cell: str, unit: str, order: Order | None) -> Any:
    """A cell as the field takes it in JSON.

    Args:
        text: the cell with a point as its decimal mark.
        unit: of its column or row.
    """
    if isinstance(field, (fields.Quantity, fields.AnyQuantity)):
        return cells.with_unit(text, unit)
    if isinstance(field, fields.Number):
        return cells.number(text)
    if isinstance(field, fields.Day):
        return days.day(cell, order)
    if isinstance(field, fields.Flag):
        return cells.flag(cell)
    if isinstance(field, fields.List):
        return cell.replace(",", " ").replace(";", " ").split()
    return cells.unguarded(cell)
