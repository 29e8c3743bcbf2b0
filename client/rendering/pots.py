"""A dose, the mix card that goes with a pot, and pots that were mixed."""

from __future__ import annotations

from datetime import timedelta

from ..answers import Record
from . import why
from .amounts import amount, grams, percent, span
from .columns import View, labelled, marked, remarks, spaced, table
from .moments import GEL_STEP, between, read, short, stepped, when
from .stock import lot_name

FATES = {"lost": "LOST: it went into no part", "not_mixed": "NOT MIXED: its stock went back"}
"""What became of a pot that was not used, by its state."""
ROOMY = 60
"""A screen with this many characters also has room for what is left of each lot."""


def dosed(dose: Record, view: View) -> list[str]:
    """A dose: what to weigh, then how much time there is."""
    budget = [dose["budget"]] if dose.get("budget") else []
    return spaced(
        labelled([*_weigh(dose), *_times(dose)], view.width),
        marked(why.lines(budget), view.width, "? "),
        remarks(dose, view.width),
    )


def mixed(card: Record, view: View) -> list[str]:
    """The mix card of a pot."""
    pairs = [
        (f"batch {card['id']}", f"job {card['job']}"),
        ("but", FATES.get(card.get("state", ""), "")),
        ("first", _promoter(card.get("promoter"))),
        *_weigh(card),
        ("mixed", f"{when(card['mixed_at'], view.now)}, by {card['who']}"),
        ("gel", _gel_clock(card, view)),
        *_times(card, _spread_until(card, view))[1:],
        *(_seen(seen, view) for seen in card.get("observations", ())),
    ]
    return spaced(labelled(pairs, view.width), _parts(card, view), remarks(card, view.width))


def listed(batches: list[Record], view: View) -> list[str]:
    """Pots, one a line."""
    heads = (">batch", "job", "resin", ">amount", ">catalyst", "mixed", "gel", "")
    rows = [
        (
            b["id"],
            b["job"],
            b.get("resin", ""),
            amount(b.get("amount")),
            percent(b.get("percent_as_measured") or b.get("catalyst_percent")),
            short(b["mixed_at"], view.now),
            short(b.get("gel_at"), view.now, GEL_STEP, "down"),
            _fate(b.get("state")),
        )
        for b in batches
    ]
    return table(heads, rows, view.width)


def _fate(state: str | None) -> str:
    """What became of a pot that was not used, in a word."""
    return str(state).replace("_", " ").upper() if state in FATES else ""


def _weigh(dose: Record) -> list[tuple[str, str]]:
    resin = f"{amount(dose.get('amount'))} of {dose['resin']}"
    measured = dose["catalyst"]
    if measured.get("product") is None and not measured["mass"]["value"]:
        return [("resin", resin), ("catalyst", "none: it is ready to use")]
    volume = amount(measured.get("volume"))
    # An old card may have a mass of catalyst without its product: once it was not asked for.
    of = measured.get("product") or "a catalyst that nobody named"
    weigh = f"{amount(measured['mass'])} of {of}"
    share = f"{percent(dose['percent_as_measured'])} of the resin"
    other = f", or {volume}" if volume else ""
    return [("weigh", f"{weigh}{other} ({share})"), ("to", resin)]


def _promoter(first: Record | None) -> str:
    """The promoter, which is stirred in before the catalyst, never with it."""
    if not first:
        return ""
    return f"{amount(first['mass'])} of {first['product']} into the resin, stirred in on its own"


def _times(dose: Record, until: str = "") -> list[tuple[str, str]]:
    gel, pot, film = dose.get("gel") or {}, dose.get("pot") or {}, dose.get("film") or {}
    band = f" ({span(gel.get('earliest'), 'down')} to {span(gel.get('latest'), 'up')})"
    working = span(pot.get("working_time"), "down")
    likely = span((dose.get("working_time") or {}).get("likely"), "down")
    worst = f"; {likely} likely" if likely and likely != working else ""
    return [
        ("gel", span(gel.get("time")) + band if gel.get("time") else ""),
        ("pot", f"at most {span(pot['at_most'], 'down')}" if pot.get("at_most") else ""),
        ("work", f"{working} at worst{until}{worst}" if working else ""),
        ("film", span(film.get("time")) or str(film.get("note") or "")),
        ("at", _basis(dose["basis"])),
        ("limit", str(dose.get("limited_by") or "").replace("_", " ")),
    ]


def _gel_clock(card: Record, view: View) -> str:
    if not card.get("gel_at"):
        return ""
    at = when(card["gel_at"], view.now, GEL_STEP, "down")
    earliest = stepped(read(card["gel_at_earliest"]), GEL_STEP, "down")
    latest = stepped(read(card["gel_at_latest"]), GEL_STEP, "up")
    return f"{at} ({between(earliest, latest, view.now)})"


def _basis(basis: Record) -> str:
    heat = amount(basis.get("temperature"))
    source = {"given": "as measured", "bay": "by the bay's air"}.get(basis["temperature_basis"], "")
    if basis["temperature_basis"] == "bay" and basis.get("air"):
        source = f"{source}, {basis['air']['basis']}"
    factor = basis["factor"]
    lot = f"lot factor {factor:g} ({basis['factor_basis']})" if factor != 1 else ""
    beyond = "beyond the sheet's own points" if basis.get("extrapolated") else ""
    return ", ".join(filter(None, (f"{heat} {source}".strip(), lot, beyond)))


def _spread_until(card: Record, view: View) -> str:
    """When the pot's working time ends, on the clock."""
    pot = card.get("pot") or {}
    if not pot.get("working_time"):
        return ""
    until = read(card["mixed_at"]) + timedelta(minutes=pot["working_time"]["value"])
    return f", until {short(until.isoformat(), view.now, 1, 'down')}"


def _seen(seen: Record, view: View) -> tuple[str, str]:
    note = f": {seen['note']}" if seen.get("note") else ""
    return seen["kind"].replace("_", " "), f"{short(seen['at'], view.now)}, {seen['who']}{note}"


def _parts(card: Record, view: View) -> list[str]:
    """The contents of the pot: grams as the scale showed them, and from which lot."""
    left = {draw["lot"]: draw["on_hand"] for draw in card["draws"] if draw["kind"] == "draw"}
    heads = ("drawn", ">by scale", ">or measure", "lot", ">lot left")
    shown = len(heads) if view.width >= ROOMY else len(heads) - 1
    rows = [
        (
            part["product"],
            grams(part["quantity"]),
            amount(part["volume"]),
            lot_name(part),
            amount(left.get(part["lot"])),
        )
        for part in card["parts"]
    ]
    return table(heads[:shown], [row[:shown] for row in rows], view.width)
