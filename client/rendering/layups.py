"""Layups: their milestones on the clock, and what to do next."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from .. import hints
from ..answers import Quantity, Record
from . import states, steps, why
from .amounts import Rounding, amount, percent, span
from .columns import View, labelled, marked, spaced, table
from .moments import STEP, between, clock, inwards, read, short, stepped, when
from .products import post_cure, scale_words

EARLY = ("gel", "film", "skin", "recoat_closes")
"""Milestones that are rounded down; the others open something, and are rounded up."""


_FILMS = {
    "within": "within the sheet's build",
    "thin": "too thin by the sheet",
    "thick": "too thick by the sheet",
    "uneven": "too thin and too thick by the sheet",
}


def shown(layup: Record, view: View) -> list[str]:
    """One layup: its state and the next step, then every milestone."""
    pairs = [
        (f"layup {layup['id']}", f"{layup['title']}, job {layup['job']}"),
        ("state", ", ".join(states.of(layup))),
        ("next", _next(layup, view)),
        ("window", _windows(layup, view)),
        ("in", _place(layup)),
        ("over", f"layup {layup['over']}" if layup.get("over") else ""),
        ("on", states.words(layup.get("over_surface"))),
        ("bag", _bag(layup.get("bag"), view)),
        ("post-cure", _post_cured(layup.get("post_cure"), view)),
        ("by moisture", _by_moisture(layup)),
        ("probes", _probes(layup.get("post_cure"))),
        ("laid up", when(layup.get("applied_at"), view)),
    ]
    pairs += [_taken_back(seen, view) for seen in layup.get("taken_back") or ()]
    if layup.get("withdrawn"):
        pairs.append((states.WORDS["not_laid"], _withdrawn(layup["withdrawn"], view)))
    cautions = [*(layup["next"].get("cautions") or ()), *(layup.get("cautions") or ())]
    return spaced(
        labelled(pairs, view.width),
        milestones(layup["milestones"], view),
        marked(why.lines(layup.get("budget") or ()), view.width, "? "),
        pots(layup.get("pots") or [], view),
        _seen(layup.get("observations") or (), view, skins=bool(layup.get("by_moisture"))),
        marked(notes(layup["milestones"]), view.width, "- ")
        + marked(hints.added(layup.get("warnings"), job=layup.get("job")), view.width)
        + marked(cautions, view.width, "- "),
    )


def listed(layups: list[Record], view: View) -> list[str]:
    """Layups, one a line."""
    heads = (">layup", "job", "title", "bay", "state", "window", "sandable")
    rows = [
        (
            x["id"],
            x["job"],
            x["title"],
            x.get("bay") or "",
            ", ".join(states.of(x)),
            window(x, view),
            _at("sandable", (x.get("milestones") or {}).get("sandable"), view),
        )
        for x in layups
    ]
    return table(heads, rows, view)


def milestones(found: Mapping[str, Record], view: View) -> list[str]:
    """Every milestone with its band, or the reason why it can't be given."""
    rows = []
    for name, milestone in found.items():
        if milestone.get("why") in ("not-on-sheet", "not-laid", "scraped-off"):
            continue
        band = "" if milestone.get("at") is None else _band(name, milestone, view)
        words = milestone.get("basis") if milestone.get("at") else milestone.get("why")
        at = _at(name, milestone, view, full=True)
        rows.append((states.words(name), at, band, states.words(words)))
    return table(("milestone", "likely", "earliest to latest", "basis"), rows, view)


def notes(found: Mapping[str, Record]) -> list[str]:
    """The notes of milestones."""
    return [f"{states.words(name)}: {m['note']}" for name, m in found.items() if m.get("note")]


def pots(found: list[Record], view: View) -> list[str]:
    """Each of several pots; a single pot adds nothing to the layup's own milestones."""
    if len(found) < 2:
        return []
    rows = [
        (
            pot["batch"],
            clock(read(pot["mixed_at"]), view),
            percent(pot.get("catalyst_percent")),
            f"{pot['factor']:.2f}",
            _at("gel", pot["gel"], view),
            states.words(pot["state"]),
        )
        for pot in found
    ]
    return table((">pot", "mixed", ">catalyst", ">factor", "gel", "state"), rows, view)


def window(layup: Record, view: View) -> str:
    """The sure recoat window on the clock."""
    return _inwards(layup.get("window"), view)


def _windows(layup: Record, view: View) -> str:
    """Both windows in a line."""
    sure, touch = window(layup, view), _inwards(layup.get("touch_window"), view)
    test = f"with a {states.WORDS['recoat_touch']} {touch}"
    if sure and touch:
        return f"{sure}, spread by then; {test}"
    return sure or (f"only {test}" if touch else "")


def _inwards(span: Record | None, view: View) -> str:
    """A window on the clock."""
    return between(*inwards(span["from"], span["until"]), view) if span else ""


def _post_cured(state: Record | None, view: View) -> str:
    """How much of the post-cure was measured so far, rounded down."""
    if not state:
        return ""
    if not state["measured"]["value"]:
        return f"{post_cure(state)}: nothing was measured yet"
    words = f"{span(state['measured'], 'down')} of {post_cure(state)}, measured"
    return f"{words}: done {when(state['done_at'], view)}" if state["done"] else words


def _by_moisture(layup: Record) -> str:
    """How deep it is cured, of how much, and from where."""
    told = layup.get("by_moisture")
    if not told:
        return ""
    of = f" of {amount(told['depth'])}" if told["depth"] else ""
    comes = "its open face" if told["comes"] == "open_face" else "each edge"
    surely, likely = _deep(told["reached"]), _deep(told["likely"])
    return f"likely {likely}{of} deep from {comes}, surely {surely}"


def _deep(quantity: Quantity) -> str:
    """A depth, rounded down: nobody measures a tenth of a millimetre."""
    tenths = 10 if quantity["unit"] == "mm" else 100
    return amount({**quantity, "value": math.floor(quantity["value"] * tenths) / tenths})


def _bag(bag: Record | None, view: View) -> str:
    """The vacuum bag on it: since when, its vacuum, and until when to hold it."""
    if not bag:
        return ""
    vacuum = f", {amount(bag['pressure'])} below the air" if bag["pressure"] else ""
    since = f"on since {short(bag['since'], view)}{vacuum}"
    if bag["off_at"]:
        return f"{since}; off {short(bag['off_at'], view)}"
    if not bag["hold_until"]:
        return f"{since}; hold the vacuum, no hour is sure"
    return f"{since}; hold the vacuum until {when(bag['hold_until'], view, STEP, 'up')}"


def _probes(state: Record | None) -> str:
    """The bays whose readings tell its own temperature."""
    return ", ".join(
        f"{probe['bay']}{' on the part' if probe['on_part'] else ''}, "
        + (f"checked {probe['checked_on']}" if probe["checked_on"] else "not known to be checked")
        for probe in (state or {}).get("probes") or ()
    )


def _taken_back(seen: Record, view: View) -> tuple[str, str]:
    """An observation that was withdrawn."""
    what = f"{states.words(seen['kind'])} {short(seen['at'], view)}, {seen['who']}"
    return "taken back", f"{what}; {_withdrawn(seen['withdrawn'], view)}"


def _withdrawn(by: Record, view: View) -> str:
    return f"{by['reason']}, {by['who']} {short(by['at'], view)}"


SKINS = {"gelled": "skinned", "not_gelled": "no_skin_yet"}
"""What a look at a gel is called of what cures by moisture."""


def _seen(observations: Iterable[Record], view: View, *, skins: bool) -> list[str]:
    """The observations: when, what and by whom."""
    named = SKINS if skins else {}
    rows = [
        (
            short(seen["at"], view),
            f"{states.words(named.get(seen['kind'], seen['kind']))} {_figure(seen)}",
            seen["who"],
            seen.get("note") or "",
        )
        for seen in observations
    ]
    return table(("seen", "what", "by", "note"), rows, view)


def _figure(seen: Record) -> str:
    """A hardness, with the u of its readings, on its scale; a wet film's readings; a vacuum."""
    if seen.get("pressure"):
        return f"{amount(seen['pressure'])} below the air"
    if seen.get("wet_films"):
        films = ", ".join(amount(each) for each in seen["wet_films"])
        mean = f"{films}; mean {_hundredth(seen['wet_film_mean'])}"
        return f"{mean}, {_FILMS[seen['wet_film_verdict']]}" if seen["wet_film_verdict"] else mean
    if seen.get("value") is None:
        return ""
    if seen.get("figure_u") is None:
        return f"{seen['value']} {scale_words(seen.get('scale'))}"
    return f"{seen['figure']:.1f} ± {seen['figure_u']:.1f} {scale_words(seen.get('scale'))}"


def _hundredth(quantity: Quantity) -> str:
    """A thickness, to a hundredth of a millimetre or a tenth of a thousandth of an inch."""
    places = 4 if quantity["unit"] == "in" else 2
    return amount({**quantity, "value": round(quantity["value"], places)})


def _at(name: str, milestone: Record | None, view: View, full: bool = False) -> str:
    if milestone is None or milestone.get("at") is None:
        return "-" if full else ""
    step, rounding = _step(name, milestone)
    return (when if full else short)(milestone["at"], view, step, rounding)


def _step(name: str, milestone: Record) -> tuple[int, Rounding]:
    """How a clock time is rounded; an observed one is shown to the minute."""
    if milestone.get("basis") == "observed":
        return 1, "down"
    return STEP, "down" if name in EARLY else "up"


def _band(name: str, milestone: Record, view: View) -> str:
    step, rounding = _step(name, milestone)
    if milestone.get("earliest") is None:
        return ""
    earliest = stepped(read(milestone["earliest"]), step, rounding)
    if milestone.get("latest") is None:
        return f"{clock(earliest, view)} or much later"
    latest = stepped(
        read(milestone["latest"]), step, "up" if name in ("gel", "film", "skin") else rounding
    )
    return between(earliest, latest, view)


def _next(layup: Record, view: View) -> str:
    return f"{steps.sentence(layup['do'], view)} {layup['next']['text']}"


def _place(layup: Record) -> str:
    return ", ".join(filter(None, (layup.get("bay"), layup.get("product"), layup.get("kind"))))
