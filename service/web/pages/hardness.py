"""A hardness by thumb: its readings, its scale, and what must hold for it to count in full."""

from __future__ import annotations

import re
from typing import Any

from flask import Flask

from ...acts.cure import hand_over
from ...acts.wall import wall
from ...acts.yard import finding
from ...core.errors import Invalid
from ...core.products.hardness import CONDITIONS, FACES, SCALES
from ...store.engine.turns import Turn
from .. import fields
from ..context.request import now
from ..fields.schemas import Loaded
from ..http import forms
from . import base
from .layups import note_seen

MOST_POINTS = 100
MET = {
    "thick_enough": "Over 1.5 mm thick",
    "off_edges": "3 mm or more from edges",
    "instrument_checked": "Instrument checked today",
    "wax_off": "Wax sanded off, or none",
}
"""What must hold for a hardness to count in full, in words."""
_SIGNS = " \t\n.,;"
_BETWEEN = re.compile(r"[\s.,;]+")


class HardnessForm(forms.Form):
    """Ten to thirty readings of a hardness, or the one figure that they gave."""

    readings = fields.Text(required=True)
    scale = fields.Choice(SCALES)
    face = fields.Choice(FACES)
    thick_enough = fields.Choice(("yes",))
    off_edges = fields.Choice(("yes",))
    instrument_checked = fields.Choice(("yes",))
    wax_off = fields.Choice(("yes",))


def add(app: Flask) -> None:
    """Add this page to an application."""
    here, page = "/layups/<id:layup>/hardness", base.looks(ask)
    forms.add_act(app, here, "layup_hardness", page, note, HardnessForm, turn=Turn.CLOCK)


def ask(layup: int) -> str:
    """The form of a hardness, and the tap that says that the part was wiped with solvent."""
    row = finding.layup(layup)
    least, scale = hand_over.least_of(row, now())
    return base.sheet(
        "layup_hardness.html",
        layup=wall.layup_page(row, now()),
        least=least,
        scale=scale,
        conditions=MET,
    )


def note(read: Loaded, layup: int) -> str:
    """Note a hardness."""
    numbers = _numbers(read["readings"])
    found: dict[str, Any] = {"readings": numbers} if len(numbers) > 1 else {"value": numbers[0]}
    how = {name: read[name] for name in ("scale", "face") if name in read}
    met = [each for each in CONDITIONS if each in read]
    return note_seen(layup, kind="hardness", **found, **how, met=met)


def _numbers(text: str) -> list[int]:
    """Readings as they are typed: a phone's number pad may have no space, so a point parts them.

    Raises: Invalid: they are no whole numbers from 0 to 100, or look like decimals.
    """
    bare = text.strip(_SIGNS)
    found, signs = _BETWEEN.split(bare), {sign.strip() for sign in _BETWEEN.findall(bare)}
    if not all(each.isdecimal() and int(each) <= MOST_POINTS for each in found):
        raise Invalid(
            "Hardnesses are whole numbers from 0 to 100.",
            advice="Write them with a point, a comma or a space between two.",
            pointer="/readings",
        )
    if _may_be_decimals(found, signs):
        raise Invalid(
            "Readings are whole numbers, parted by one sign. These may be decimals.",
            advice="Round each, and write 38.41.44 or 38 41 44. Write a reading under 10 with a "
            "nought: 05.",
            pointer="/readings",
        )
    return [int(each) for each in found]


def _may_be_decimals(found: list[str], signs: set[str]) -> bool:
    """Whether points or commas may stand inside numbers: '38.5 41.5', '38.5.41.5', '40,5'."""
    return len(signs) > 1 or (signs != {""} and any(len(each) == 1 for each in found[1:]))
