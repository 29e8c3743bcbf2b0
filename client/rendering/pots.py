"""A dose, the mix card that goes with a pot, and pots that were mixed."""

from __future__ import annotations

from datetime import timedelta

from .. import hints
from ..answers import Quantity, Record
from . import why as budgets
from .amounts import amount, grams, percent, span
from .columns import View, grid, labelled, marked, remarks, spaced, table
from .moments import STEP, between, by_minute, face, read, short, stepped
from .stock import lot_name

FATES = {"lost": "LOST: it went into no part", "not_mixed": "NOT MIXED: its stock went back"}
"""What became of a pot that was not used, by its state."""


def dosed(dose: Record, view: View) -> list[str]:
    """A dose: what to weigh, then how much time there is."""
    budget = [dose["budget"]] if dose.get("budget") else []
    first = dose["warnings"][:1] if dose.get("too_quick") else []
    rest = {**dose, "warnings": (dose.get("warnings") or [])[len(first) :]}
    return spaced(
        marked(first, view.width),
        labelled([*_weigh(dose), *_times(dose)], view.width),
        marked(budgets.lines(budget), view.width, "? "),
        remarks(rest, view.width),
    )


def mixed(card: Record, view: View, why: bool = False, laid: bool = False) -> list[str]:
    """The mix card of a pot: what to weigh, what is wrong with this pot, until when to spread it.

    Args:
        why: whether to say what its times rest on, and what would make them better.
        laid: whether it is being laid by the same command.
    """
    notes = card.get("basis_notes") or ()
    alarms = [words for words in card.get("warnings") or () if words not in notes]
    first = alarms[:1] if card.get("too_quick") else []
    return [
        *marked(first, view.width),
        *labelled([("BUT", FATES.get(card.get("state", ""), ""))], view.width),
        *(grid(_parts(card), (False, True, False, False, False), view) or _unlisted(card, view)),
        *labelled(_putty(card.get("putty")), view.width),
        *marked(_shouted(alarms[len(first) :], card), view.width),
        "",
        *grid(_clock(card, view), (False, False, False), view),
        *labelled((_seen(seen, view) for seen in card.get("observations", ())), view.width),
        *(marked([*notes, *(card.get("advice") or ())], view.width, "? ") if why else []),
        "",
        *labelled(_commands(card, view, laid), view.width),
        *([] if _is_told(card) else ["", *marked(card.get("cautions"), view.width, "- ")]),
    ]


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
            short(b["mixed_at"], view),
            short(b.get("gel_at"), view, STEP, "down"),
            _fate(b.get("state")),
        )
        for b in batches
    ]
    return table(heads, rows, view)


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


def _times(dose: Record) -> list[tuple[str, str]]:
    gel, pot, film = dose.get("gel") or {}, dose.get("pot") or {}, dose.get("film") or {}
    band = f" ({span(gel.get('earliest'), 'down')} to {span(gel.get('latest'), 'up')})"
    working = span(pot.get("working_time"), "down")
    likely = span((dose.get("working_time") or {}).get("likely"), "down")
    worst = f"; {likely} likely" if likely and likely != working else ""
    return [
        ("gel", span(gel.get("time")) + band if gel.get("time") else ""),
        ("pot", f"at most {span(pot['at_most'], 'down')}" if pot.get("at_most") else ""),
        ("work", f"{working} at worst{worst}" if working else ""),
        ("film", span(film.get("time")) or str(film.get("note") or "")),
        ("at", _basis(dose["basis"])),
        ("limit", str(dose.get("limited_by") or "").replace("_", " ")),
    ]


def _unlisted(card: Record, view: View) -> list[str]:
    """What to weigh, of a card that names no lots."""
    return labelled(_weigh(card), view.width)


def _parts(card: Record) -> list[tuple[str, ...]]:
    """What goes into the pot from which lot: what to weigh first, then the resin, then the rest."""
    dosed, first = card["catalyst"].get("product"), (card.get("promoter") or {}).get("product")
    left = {draw["lot"]: draw["on_hand"] for draw in card["draws"] if draw["kind"] == "draw"}
    order = {first: 0, dosed: 1, card["resin"]: 2}
    label = {first: "first", dosed: "weigh", card["resin"]: "into"}
    rows: list[tuple[str, ...]] = []
    named = set()
    for part in sorted(card["parts"], key=lambda each: order.get(each["product"], 3)):
        product = part["product"]
        again = product in named
        named.add(product)
        rows.append((
            "and" if again else label.get(product, "and"), grams(part["quantity"]), product,
            lot_name(part), "; ".join(filter(None, _noted(card, part, left, again))),
        ))  # fmt: skip
    return rows


def _noted(card: Record, part: Record, left: dict[int, Quantity], again: bool) -> tuple[str, ...]:
    """Beside a part: another measure for it, and what is left of its lot."""
    product, promoter = part["product"], (card.get("promoter") or {}).get("product")
    if product == promoter:
        return ("into the resin, stirred in on its own",)
    if product == card["catalyst"].get("product"):
        share = "" if again else f"{percent(card['percent_as_measured'])} of the resin"
        return (f"or {amount(part['volume'])}" if part["volume"] else "", share)
    return (f"{amount(left[part['lot']])} left" if part["lot"] in left else "",)


def _putty(putty: Record | None) -> list[tuple[str, str]]:
    """What a filled mix comes to, and the thickest layer of it."""
    if putty is None:
        return []
    stands = putty["consistency"].replace("_", " ")
    made = f"{amount(putty['volume'])} at {amount(putty['density'])}, {stands}"
    thickest = amount(putty["build_max"])
    return [("putty", f"{made}; at most {thickest} at once" if thickest else made)]


def _shouted(alarms: list[str], card: Record) -> list[str]:
    """Warnings of this pot, in capitals; what to type about them as it is typed."""
    told = hints.added(alarms, job=card.get("job"), resin=card.get("resin"))
    typed = ("".join(more.partition(" Type: ")[1:]) for more in told)
    return [words.upper() + more for words, more in zip(alarms, typed, strict=True)]


def _clock(card: Record, view: View) -> list[tuple[str, str, str]]:
    """Until when to spread it and when it gels, on the clock, and what that rests on."""
    at = face(stepped(read(card["mixed_at"]), 1, "down"), view)
    rows = [] if _is_gelled(card) else [*_spread(card, view), *_gels(card, view)]
    rows.append(("because", _basis(card["basis"]), ""))
    if card.get("limited_by"):
        rows.append(("limit", str(card["limited_by"]).replace("_", " "), ""))
    rows.append(("pot", f"{card['id']}, {card['job']}", f"mixed {at} by {card['who']}"))
    return rows


def _spread(card: Record, view: View) -> list[tuple[str, str, str]]:
    pot = card.get("pot") or {}
    if not pot.get("working_time"):
        return []
    end = read(card["mixed_at"]) + timedelta(minutes=pot["working_time"]["value"])
    worst = span(pot["working_time"], "down")
    likely = span((card.get("working_time") or {}).get("likely"), "down")
    beside = f"{worst} from mixing, at worst" + (f"; {likely} likely" if likely else "")
    over = end <= view.now
    return [("SPREAD", "its time is over" if over else by_minute(end.isoformat(), view), beside)]


def _gels(card: Record, view: View) -> list[tuple[str, str, str]]:
    if not card.get("gel_at"):
        return []
    earliest = stepped(read(card["gel_at_earliest"]), STEP, "down")
    latest = stepped(read(card["gel_at_latest"]), STEP, "up")
    likely = face(stepped(read(card["gel_at"]), STEP, "down"), view)
    film = span((card.get("film") or {}).get("time"))
    beside = f"likely {likely}; in the pot sooner{f'; a film {film}' if film else ''}"
    return [("gels", between(earliest, latest, view).removeprefix("today "), beside)]


def _commands(card: Record, view: View, laid: bool) -> list[tuple[str, str]]:
    """What to type next, while it can be laid up, and what if it is wrong."""
    job, batch = card["job"], card["id"]
    latest = card.get("gel_at_latest")
    safety = "safety: cureyard help safety" if _is_told(card) else ""
    if card.get("state") in FATES or _is_gelled(card) or (latest and read(latest) <= view.now):
        return [("", safety)]
    wrong = f"cureyard batch observe {batch} not_mixed"
    lay = f'cureyard layup start {job} "TITLE" --kind laminate --batch {batch}'
    return [
        ("next", "" if laid else lay),
        ("wrong?", "   ".join(filter(None, (wrong, safety)))),
    ]


def _is_gelled(card: Record) -> bool:
    """Whether the last look at its cup found it gelled."""
    looks = [each["kind"] for each in card.get("observations") or ()]
    return bool(looks) and looks[-1] == "gelled"


def _is_told(card: Record) -> bool:
    """Whether what can hurt was told in full today, with the first pot of this resin."""
    return card.get("first_today") is False


def _basis(basis: Record) -> str:
    heat = amount(basis.get("temperature"))
    source = {"given": "by its own thermometer", "bay": "by the bay's air"}.get(
        basis["temperature_basis"], ""
    )
    if basis["temperature_basis"] == "bay" and basis.get("air"):
        source = f"{source}, {basis['air']['basis']}"
    factor = basis["factor"]
    lot = f"lot factor {factor:g} ({basis['factor_basis']})" if factor != 1 else ""
    beyond = "beyond the sheet's own points" if basis.get("extrapolated") else ""
    return ", ".join(filter(None, (f"resin {heat} {source}".strip(), lot, beyond)))


def _seen(seen: Record, view: View) -> tuple[str, str]:
    note = f": {seen['note']}" if seen.get("note") else ""
    return seen["kind"].replace("_", " "), f"{short(seen['at'], view)}, {seen['who']}{note}"
