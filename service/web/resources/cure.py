"""The cure sheet in the body of a request."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from ...core.amounts.quantities import DIFFERENCE, GEL_TIME, MASS, SIZE, TEMPERATURE, TIME
from ...core.products.cure_sheet import SURFACES
from ...core.products.hardness import SCALES
from .. import fields
from ..fields.base import no
from ..fields.schemas import Body, JsonSchema, Loaded

MIX_KINDS = ("catalysed", "two_part", "one_part")
BY = ("mass", "volume")


class OneOrMany(fields.List):
    """A list, or one item for a list of one; loads to a list."""

    def described_over(self, guessed: JsonSchema) -> JsonSchema:
        """Its JSON Schema: an item, or a list of them."""
        item = guessed.pop("items")
        kind = guessed.pop("type")
        return {"anyOf": [item, {"type": kind, "items": item, **self.described()}]}

    def deserialize(self, value: Any, *args: Any, **kwargs: Any) -> Any:
        """Read an item as a list of one."""
        return super().deserialize([value] if isinstance(value, dict) else value, *args, **kwargs)


_RANGE = re.compile(r"\s*([\d./]+)\s*(?:-|–|to)\s*([\d./]+)\s*([A-Za-z]+)\s*")


class StageIn(Body):
    """A milestone's `time`, or its range `from` and `to`, at a temperature of its own."""

    time = fields.Quantity(TIME, positive=True, allow_none=True)
    shortest = fields.Quantity(TIME, positive=True, allow_none=True, data_key="from")
    longest = fields.Quantity(TIME, positive=True, allow_none=True, data_key="to")
    temperature = fields.Quantity(TEMPERATURE, allow_none=True)


class Stage(fields.Nested):
    """A milestone's time or range: text, or an object with a temperature of its own."""

    _time = fields.Quantity(TIME, positive=True)

    def __init__(self) -> None:
        super().__init__(StageIn)

    def described_over(self, guessed: JsonSchema) -> JsonSchema:
        """Its JSON Schema: a text, or the object."""
        return {
            "description": "such as '2 h' or '2-4 h', or an object with 'time', or with 'from' and "
            "'to', and with a 'temperature' of its own",
            "oneOf": [{"type": "string"}, {"$ref": guessed.pop("$ref")}],
            "examples": ["2 h"],
        }

    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> Loaded:
        """Read a time or a range alone, or an object with either and a temperature."""
        if not isinstance(value, dict):
            ends: list[Any] = [self._time.deserialize(each) for each in _ends(value)]
            return _loaded(*ends)
        found = super()._deserialize(value, *args, **kwargs)
        given = {name: each for name, each in found.items() if each is not None}
        temperature = given.pop("temperature", None)
        if given.keys() == {"time"}:
            return _loaded(given["time"], given["time"], temperature)
        if given.keys() == {"shortest", "longest"}:
            return _loaded(given["shortest"], given["longest"], temperature)
        raise no("It has no time, or more than one.", "Give 'time', or 'from' and 'to'.")


def _ends(value: Any) -> tuple[Any, Any]:
    """The two ends of a range such as '2-4 h'; a time is both."""
    found = _RANGE.fullmatch(value) if isinstance(value, str) else None
    if found is None:
        return value, value
    return f"{found[1]} {found[3]}", f"{found[2]} {found[3]}"


def _loaded(shortest: Decimal, longest: Decimal, temperature: Decimal | None = None) -> Loaded:
    if shortest > longest:
        raise no("The range ends before it begins.", "Give the shorter time first.")
    return {
        "time": (shortest * longest).sqrt() if shortest < longest else shortest,
        "temperature": temperature,
        "shortest": shortest,
        "longest": longest,
    }


class MixChange(Body):
    """What is another figure of how it is mixed."""

    kind = fields.Choice(MIX_KINDS)
    parts = fields.List(fields.Number(above=0, most=1e6), least=2, most=2)
    by = fields.Choice(BY)


class MixIn(MixChange):
    """How it is mixed."""

    kind = fields.Choice(MIX_KINDS, required=True)


class ReferenceIn(Body):
    """What the milestones' times are given at."""

    temperature = fields.Quantity(TEMPERATURE)
    catalyst_percent = fields.Number(above=0, most=100)


class GelTimeIn(Body):
    """A gel time of the data sheet: `time`, or a range `from` and `to`."""

    temperature = fields.Quantity(TEMPERATURE, required=True)
    catalyst_percent = fields.Number(above=0, most=100)
    time = fields.Quantity(GEL_TIME, positive=True)
    shortest = fields.Quantity(GEL_TIME, positive=True, data_key="from")
    longest = fields.Quantity(GEL_TIME, positive=True, data_key="to")


class MilestonesIn(Body):
    """When the next layer can go on, when it is too late for that, when it can be sanded."""

    recoat_opens = Stage()
    recoat_closes = Stage()
    sandable = Stage()
    full_cure = Stage()


class PostCureIn(Body):
    """A post-cure: so long between two temperatures, in one heat or in several."""

    low = fields.Quantity(TEMPERATURE, required=True, data_key="from")
    high = fields.Quantity(TEMPERATURE, required=True, data_key="to")
    time = fields.Quantity(TIME, required=True, positive=True)
    rise = fields.Quantity(DIFFERENCE, positive=True)


class CuredDepthIn(Body):
    """How deep it cures by moisture from its face in the first so much time, in which air."""

    depth = fields.Quantity(SIZE, required=True, positive=True)
    time = fields.Quantity(TIME, required=True, positive=True)
    temperature = fields.Quantity(TEMPERATURE, required=True)
    humidity_percent = fields.Number(above=0, most=100, required=True)


class CureIn(Body):
    """One sheet: of one resin with some catalysts or hardeners."""

    partners = fields.List(fields.Code(), most=20, data_key="with")
    mix = fields.Nested(MixIn)
    surface = fields.Choice(SURFACES)
    reference = fields.Nested(ReferenceIn)
    gel_times = fields.List(fields.Nested(GelTimeIn), most=100)
    catalyst_percent_min = fields.Number(above=0, most=100)
    catalyst_percent_max = fields.Number(above=0, most=100)
    temperature_min = fields.Quantity(TEMPERATURE)
    apply_min = fields.Quantity(TEMPERATURE)
    cure_min = fields.Quantity(TEMPERATURE)
    temperature_max = fields.Quantity(TEMPERATURE)
    milestones = fields.Nested(MilestonesIn)
    closes_after = fields.Quantity(TIME, positive=True)
    cold_max = fields.Quantity(TIME)
    gel_mass = fields.Quantity(MASS, positive=True)
    pot_max = fields.Quantity(MASS, positive=True)
    build_max = fields.Quantity(SIZE, positive=True)
    build_min = fields.Quantity(SIZE, positive=True)
    film_gel = fields.Quantity(GEL_TIME, positive=True)
    active_oxygen_percent = fields.Number(above=0, most=30)
    peroxide_type = fields.Text(most=64)
    hardness_min = fields.Integer(least=1, most=100)
    hardness_scale = fields.Choice(SCALES)
    post_cure = fields.Nested(PostCureIn)
    cures_by = fields.Choice(("moisture",))
    cured_depth = fields.Nested(CuredDepthIn)
    second_depth = fields.Nested(CuredDepthIn)
    skin_time = fields.Quantity(TIME, positive=True)
    wax_percent_min = fields.Number(above=0, most=100)
    wax_percent_max = fields.Number(above=0, most=100)
    styrene_percent_max = fields.Number(above=0, most=100)


class CureChange(CureIn):
    """Figures of the last sheet that are others now; of several sheets `with` says which.

    A gel time takes the place of the one at its temperature and percent, else it joins the others;
    `with` joins what a lone sheet holds for. `cure` is for a sheet that has fewer of them.
    """

    mix = fields.Nested(MixChange)
