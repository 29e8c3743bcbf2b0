"""What an estimate needs of the store's products, as a job's needs take it."""

from __future__ import annotations

from ....core.amounts.quantities import COUNT, LENGTH, MASS
from ... import fields
from ...fields.schemas import Answer


class CutNeeded(Answer):
    """Cuts of one length."""

    length = fields.AskedAgain((LENGTH,), required=True)
    count = fields.Integer(required=True)


class Needed(Answer):
    """One product: a quantity, or pieces of a roll."""

    product = fields.Code(required=True)
    quantity = fields.AskedAgain((MASS, COUNT))
    pieces = fields.List(fields.Nested(CutNeeded))


def needs_field() -> fields.List:
    """What the sum needs; `{"needs": …}` may be posted to a job's needs as it stands."""
    return fields.List(fields.Nested(Needed), required=True)
