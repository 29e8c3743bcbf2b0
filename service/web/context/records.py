"""Facts as a record shows them to somebody years later: whole dates, durations, names."""

from __future__ import annotations

import re

from flask import Flask
from markupsafe import Markup

from ...acts.cure.milestone_views import WindowView
from ...acts.products.law_views import LawView
from ...core.amounts.quantities import (
    AREAL_WEIGHT,
    DENSITY,
    DIFFERENCE,
    LENGTH,
    MASS,
    SIZE,
    TEMPERATURE,
    Kind,
)
from ...core.amounts.sentences import pressure
from ...core.words import shown
from . import clock_faces, request
from .clock_faces import Way
from .reader import finalized

_CODE = re.compile(r"((?<!\S)\S*[-/]\S*)")
SMALL_PA = 10_000
"""A pressure under this is shown with one decimal."""
_FIELD = re.compile(r"'([a-z]+(?:_[a-z]+)+)'")
_FIELDS = {"pot_max": "greatest pot", "hardness_min": "least hardness"}
"""Fields of the interface that are called otherwise in words."""
LONG = 20
"""Characters from which a code may be too wide for a phone."""


def moment(at: float | None, step: int = 1, way: Way = "down") -> str:
    """`2026-03-20 09:46` on the yard's clock; None is empty."""
    if at is None:
        return ""
    return f"{clock_faces.local(clock_faces.stepped(at, step, way)):%Y-%m-%d %H:%M}"


def when(at: float | None, step: int = 1, way: Way = "down") -> Markup:
    """As `moment`, for a page: it never breaks over a line, and a machine can read it."""
    return Markup() if at is None else _time(clock_faces.stepped(at, step, way), "%Y-%m-%d %H:%M")


def stretch(first: float, last: float) -> Markup:
    """`2026-03-20 09:46 to 12:10`; the day again if it differs; one time if both are equal."""
    opens, closes = clock_faces.stepped(first), clock_faces.stepped(last)
    if opens == closes:
        return when(opens)
    same = clock_faces.local(opens).date() == clock_faces.local(closes).date()
    return when(opens) + " to " + (_time(closes, "%H:%M") if same else when(closes))


def window(held: WindowView) -> Markup:
    """A recoat window inwards, to five minutes; to minutes if it is shorter than those."""
    return stretch(*clock_faces.inwards(held.opens, held.closes))


def lasting(seconds: float | None) -> str:
    """A duration (s) as `25 min`, `2 h 10 min` or `180 d`; None is empty."""
    if seconds is None:
        return ""
    minutes = round(seconds / 60)
    if minutes >= 48 * 60:
        days, rest = divmod(minutes, 24 * 60)
        return tied(f"{days} d" + (f" {rest // 60} h" if rest >= 60 else ""))
    hours, rest = divmod(minutes, 60)
    parts = [f"{hours} h" if hours else "", f"{rest} min" if rest or not hours else ""]
    return tied(" ".join(filter(None, parts)))


def tied(words: str) -> str:
    """A number and its unit with a space that never breaks over a line."""
    return words.replace(" ", "\u00a0")


def percent(value: float | None) -> str:
    """`1.75 %`; None is empty."""
    return "" if value is None else tied(f"{float(value):.4g} %")


def stock(pair: tuple[float, Kind]) -> str:
    """An amount (base unit) with its kind, as `12.5 kg`."""
    return tied(clock_faces.amount(*pair))


def heat(kelvin: float | None) -> str:
    """A temperature, as `19.5 °C`; None is empty."""
    return tied(clock_faces.amount(kelvin, TEMPERATURE))


def warmth(kelvin: float | None) -> str:
    """A difference of temperature, as `10 K`; None is empty."""
    return tied(clock_faces.amount(kelvin, DIFFERENCE))


def weight(mass: float | None) -> str:
    """A mass, as `5 kg` or `40 g`; None is empty."""
    return tied(clock_faces.amount(mass, MASS))


def size(length: float | None) -> str:
    """A small length, as `3 mm`; None is empty."""
    return tied(clock_faces.amount(length, SIZE))


def long(length: float | None) -> str:
    """A length of roll, as `1.4 m`; None is empty."""
    return tied(clock_faces.amount(length, LENGTH))


def dense(density: float | None) -> str:
    """A density, as `1.1 kg/L`; None is empty."""
    return tied(clock_faces.amount(density, DENSITY))


def areal(weight: float | None) -> str:
    """A weight per area, as `450 g/m²`; None is empty."""
    return tied(clock_faces.amount(weight, AREAL_WEIGHT))


def vacuum(pascals: float | None) -> str:
    """A pressure to what a gauge shows: `677 hPa`, a small one `33.9 hPa`; None is empty."""
    if pascals is None:
        return ""
    return tied(shown(pressure(pascals, 0 if abs(pascals) >= SMALL_PA else 1), request.units()))


def codes(words: object) -> Markup:
    """Words of which none breaks over a line at its hyphens or strokes: codes, and options."""
    parts = _CODE.split(str(finalized(words)))
    told = (_code(part) if place % 2 else Markup.escape(part) for place, part in enumerate(parts))
    return Markup().join(told)


def for_hand(words: object) -> str:
    """Words for who fills in a form: fields that they name in quotes are said in words."""
    return _FIELD.sub(
        lambda found: _FIELDS.get(found[1], found[1].replace("_", " ")), str(finalized(words))
    )


def plain(number: float) -> str:
    """A number without needless zeros, as `25` or `7.5`."""
    return f"{float(number):.4g}"


def law_part(name: str, law: LawView) -> str:
    """One of the two figures of a gel law, in words."""
    if name == "E":
        return f"activation energy {law.activation_energy_kj_mol:.3g} kJ/mol"
    return f"order in catalyst {law.order:.2g}"


def add(app: Flask) -> None:
    """Add the filters by which templates show records."""
    for show in (when, stretch, window, lasting, percent, stock, heat, warmth, weight, size, long,
                 dense, areal, vacuum, codes, for_hand, plain, law_part):  # fmt: skip
        app.add_template_filter(show)


def _code(word: str) -> Markup:
    kind = "code long" if len(word) > LONG else "code"
    return Markup("<span class='{}'>{}</span>").format(kind, word)


def _time(at: float, form: str) -> Markup:
    face = clock_faces.local(at)
    return Markup("<time datetime='{}'>{}</time>").format(face.isoformat(), face.strftime(form))
