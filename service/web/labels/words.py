"""The words on the label of a lot, and of a pot."""

from __future__ import annotations

from ...acts.pots.dose import MeasuredView
from ...acts.pots.label import LotLabelView, PotLabelView
from ...core.amounts import hours
from ...core.amounts.quantities import DOSE_MASS
from ...core.bays.temperature import DAY_S
from ..context import clock_faces, records
from . import code, lettering, paper
from .paper import Label, Words

NAME = 3.0
"""Size of a product's name, mm; a name that is too long is cut, not made smaller."""
TO_WRITE = "____-__-__"
"""Room to write a day that the store does not know, but perhaps the maker's label."""


def of_lot(lot: LotLabelView) -> Label:
    """The label of a container, from the facts of `lot_label`."""
    beside = [
        Words(lot.product, 5.0, bold=True, least=1.6),
        *(Words(line, NAME, least=NAME) for line in _lines(lot.name)),
        Words(f"lot {lot.number}", 4.2, bold=True, least=1.6, above=0.8),
        Words(f"{code.word('lot', lot.id)} · container {lot.container}", 2.8),
    ]
    last = f"{lot.last_day:%Y-%m-%d}" if lot.last_day else TO_WRITE
    large, below = ("good until", last), [text for text in (lot.note, _opened(lot)) if text]
    if lot.stopped:
        large = "", f"{', '.join(map(str.upper, lot.stopped))}: do not use"
        below = [" · ".join([f"good until {last}", *below])]
    return paper.lay(
        f"Lot {lot.number}/{lot.container} of {lot.product}",
        code.content("lot", lot.id),
        beside,
        large,
        below or [""],
        lot.caution,
    )


def of_pot(pot: PotLabelView) -> Label:
    """The label of a pot, from the facts of `pot_label`."""
    dosed = pot.catalyst
    beside = [
        Words(f"pot {pot.id}", 5.0, bold=True),
        Words(f"job {pot.job}", 4.0, bold=True, least=1.6),
        Words(f"{pot.resin} {clock_faces.amount(pot.amount, DOSE_MASS)}", NAME),
        *([Words(_dose(dosed, pot.percent_as_measured), NAME)] if dosed.product else []),
        Words(f"{code.word('batch', pot.id)} · by {pot.who}", 2.8),
    ]
    return paper.lay(
        f"Pot {pot.id} for job {pot.job}",
        code.content("batch", pot.id),
        beside,
        _gels(pot),
        [_mixed(pot)],
        pot.caution,
    )


def _lines(name: str) -> list[str]:
    return lettering.lines(name, paper.ROOM, NAME, 2)


def _opened(lot: LotLabelView) -> str:
    """The day it was opened; or room to write it, if it has an open life; or nothing."""
    if lot.opened_on:
        return f"opened {lot.opened_on:%Y-%m-%d}"
    if lot.open_life is None:
        return ""
    return f"opened ______________ then good for {lot.open_life // DAY_S} d at most"


def _dose(dosed: MeasuredView, percent: float) -> str:
    mass = clock_faces.amount(dosed.mass, DOSE_MASS)
    return f"{dosed.product} {mass}, {records.percent(percent)}"


def _gels(pot: PotLabelView) -> tuple[str, str]:
    """The band in which it gels, rounded outwards; or its state, if it did not gel as planned."""
    earliest, latest = pot.gel_at_earliest, pot.gel_at_latest
    if pot.state != "mixed" or earliest is None or latest is None:
        return "pot", pot.state.replace("_", " ")
    first = clock_faces.since(hours.closing(earliest), pot.mixed_at)
    last = clock_faces.since(hours.opening(latest), pot.mixed_at)
    return "gels", f"{first} to {last}"


def _mixed(pot: PotLabelView) -> str:
    spread = pot.mixed_at + pot.pot.working_time
    until = clock_faces.since(hours.minute(spread), pot.mixed_at)
    return f"mixed {records.moment(pot.mixed_at)}, spread by {until}"
