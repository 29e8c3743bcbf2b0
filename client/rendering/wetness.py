"""Wetness: meters, findings, readings and notes, and in which days to measure again."""

from __future__ import annotations

from .. import hints
from ..answers import Record
from . import states
from .amounts import amount, number, percent
from .columns import View, labelled, marked, spaced, table
from .moments import short, when


def meter_shown(meter: Record, view: View) -> list[str]:
    """One meter."""
    pairs = [
        (f"meter {meter['code']}", meter["title"]),
        ("kind", meter["kind"]),
        ("scale", _scale(meter)),
        ("modes", _modes(meter)),
    ]
    return labelled(pairs, view.width)


def meters_listed(meters: list[Record], view: View) -> list[str]:
    """Meters, one a line."""
    rows = [(m["code"], m["title"], m["kind"], _scale(m), _modes(m)) for m in meters]
    return table(("meter", "title", "kind", "scale", "modes"), rows, view)


def _scale(meter: Record) -> str:
    return f"{number(meter['scale_from'])} to {number(meter['scale_to'])}"


def _modes(meter: Record) -> str:
    return ", ".join(f"{mode['name']} ({mode['measures']})" for mode in meter["modes"])


def finding_shown(finding: Record, view: View) -> list[str]:
    """One finding."""
    pairs = [
        (f"finding {finding['id']}", f"{states.words(finding['kind'])}, job {finding['job']}"),
        ("place", f"{finding['place']}, {finding['side']}"),
        ("size", _size(finding)),
        ("found", f"{finding['found_by']}, {when(finding['at'], view)}"),
        ("note", finding["note"]),
        ("taken back", _withdrawn(finding)),
    ]
    return spaced(labelled(pairs, view.width), warned(finding, view))


def warned(record: Record, view: View) -> list[str]:
    """What to mind of a new record of a job, with what to type."""
    words = hints.added(record.get("warnings"), job=record["job"], record=record["id"])
    return marked(words, view.width)


def findings_listed(findings: list[Record], view: View) -> list[str]:
    """Findings, one a line."""
    rows = [
        (f["id"], f["place"], f["side"], states.words(f["kind"]), _size(f), f["found_by"],
         short(f["at"], view), _withdrawn(f))
        for f in findings
    ]  # fmt: skip
    heads = (">finding", "place", "side", "kind", "size", "found", "when", "taken back")
    return table(heads, rows, view)


def _size(finding: Record) -> str:
    deep = f"{amount(finding['depth'])} deep" if finding["depth"] else "not opened"
    return f"{amount(finding['length'])} x {amount(finding['width'])}, {deep}"


def _withdrawn(row: Record) -> str:
    taken = row["withdrawn"]
    return f"{taken['reason']} ({taken['who']})" if taken else ""


def reading_shown(reading: Record, view: View) -> list[str]:
    """One moisture reading, and why it does not count."""
    what = "dry place, " if reading["dry_place"] else ""
    pairs = [
        (f"reading {reading['id']}", f"{what}{reading['place']}, job {reading['job']}"),
        ("reads", _reads(reading)),
        ("by", f"{reading['meter']} {reading['mode']}"),
        ("face", amount(reading["surface_temperature"])),
        ("dew point", amount(reading["dew_point"]) or "nobody measured the air"),
        ("counts", "yes" if reading["counted"] else "no"),
        ("taken back", _withdrawn(reading)),
    ]
    why = [each["words"] for each in reading["uncounted"]]
    return spaced(labelled(pairs, view.width), [*marked(why, view.width), *warned(reading, view)])


def _reads(reading: Record) -> str:
    if reading["at_least"]:
        return f"at least {_scaled(reading, 'reading')}"
    return f"{_scaled(reading, 'reading')}, {_give_or_take(reading)}"


def _give_or_take(of: Record) -> str:
    """A standard uncertainty, such as '± 1 point'."""
    unit = "%" if of["measures"] == "percent" else "point" if of["u"] == 1 else "points"
    return f"± {number(of['u'])} {unit}"


def readings_listed(readings: list[Record], view: View) -> list[str]:
    """Moisture readings, one a line."""
    rows = [
        (r["id"], r["place"], f"{r['meter']} {r['mode']}", _reads(r), _counts(r),
         short(r["at"], view), _withdrawn(r))
        for r in readings
    ]  # fmt: skip
    heads = (">reading", "place", "by", "reads", "counts", "when", "taken back")
    return table(heads, rows, view)


def _counts(reading: Record) -> str:
    if reading["counted"]:
        return "dry place" if reading["dry_place"] else "yes"
    return ", ".join(states.words(each["why"]) for each in reading["uncounted"]) or "no"


def film_shown(film: Record, view: View) -> list[str]:
    """One film test."""
    pairs = [
        (f"film {film['id']}", f"{film['place']}, job {film['job']}"),
        ("under it", "drops" if film["drops"] else "no drops"),
        ("taped on", when(film["taped_at"], view)),
        ("looked", when(film["looked_at"], view)),
        ("counts", "yes" if film["counted"] else "no"),
    ]
    why = [film["uncounted"]] if film["uncounted"] else []
    return spaced(labelled(pairs, view.width), [*marked(why, view.width), *warned(film, view)])


def sample_shown(sample: Record, view: View) -> list[str]:
    """One weighed sample."""
    pairs = [
        (f"sample {sample['id']}", f"{sample['place']}, job {sample['job']}"),
        ("water", f"{percent(sample['water_percent'])} of its dried mass"),
        ("weighed", f"{_grams(sample['wet'])}, dried {_grams(sample['dried'])}"),
    ]
    return spaced(labelled(pairs, view.width), warned(sample, view))


def note_shown(note: Record, view: View) -> list[str]:
    """One surface note."""
    pairs = [
        (f"note {note['id']}", f"{_what(note)}, job {note['job']}"),
        ("place", note["place"] or "the whole boat"),
        ("when", when(note["at"], view)),
        ("note", note["note"]),
    ]
    return spaced(labelled(pairs, view.width), warned(note, view))


def notes_listed(notes: list[Record], view: View) -> list[str]:
    """Surface notes, one a line."""
    rows = [
        (n["id"], _what(n), n["place"] or "the whole boat", short(n["at"], view), n["note"] or "",
         _withdrawn(n))
        for n in notes
    ]  # fmt: skip
    return table((">note", "what", "place", "when", "note", "taken back"), rows, view)


def _what(note: Record) -> str:
    ran = f", water {note['water']}" if note["water"] else ""
    return f"{states.words(note['kind'])}{ran}"


def shown(wetness: Record, view: View) -> list[str]:
    """How wet each place reads, against which reference, and when to measure again."""
    rows = [
        (place["place"], f"{s['meter']} {s['mode']}", _scaled(s, "last"), short(s["last_at"], view),
         _scaled(s, "figure"), s["counted"])
        for place in wetness["places"]
        for s in place["series"]
    ]  # fmt: skip
    heads = ("place", "by", ">last", "read", ">figure", ">counted")
    references = [(f"{r['meter']} {r['mode']}", _reference(r)) for r in wetness["references"]]
    return spaced(
        table(heads, rows, view),
        labelled(references, view.width),
        marked(_again(wetness), view.width, "> "),
        marked(_others(wetness), view.width, "- "),
        marked(wetness["cautions"], view.width, "- "),
    )


def shown_with_sources(wetness: Record, view: View) -> list[str]:
    """As `shown`, with the sources of the cautions."""
    return [*shown(wetness, view), *marked(wetness["sources"], view.width, "- ")]


def _scaled(of: Record, name: str) -> str:
    """A number of a meter's scale with what it counts, such as '58 points'."""
    unit = "%" if of["measures"] == "percent" else "points"
    return "" if of[name] is None else f"{number(of[name])} {unit}"


def _reference(reference: Record) -> str:
    if reference["reference"] is None:
        why = ", ".join(states.words(each) for each in reference["uncounted"])
        return f"{reference['places']} of 3 dry places" + (
            f"; others don't count: {why}" * bool(why)
        )
    found, figure = _scaled(reference, "reference"), _scaled(reference, "figure")
    return f"dry places read {found}, {_give_or_take(reference)}; dry at or under {figure}"


def _again(wetness: Record) -> list[str]:
    return [
        f"{place['place']}, {s['meter']} {s['mode']}: {_told(s)}"
        for place in wetness["places"]
        for s in place["series"]
    ]


def _told(series: Record) -> str:
    again = str(series["measure_again"]["words"])
    return f"{series['since_read']} {again}" if series["since_read"] else again


def _others(wetness: Record) -> list[str]:
    """Films and samples; places that nobody measured."""
    found = []
    for place in wetness["places"]:
        if not place["series"]:
            as_dry = (
                "it was read as a dry place alone" if place["dry_place"] else "nobody measured it"
            )
            found.append(f"{place['place']}: {as_dry}.")
        if place["film"]:
            drops = "drops" if place["film"]["drops"] else "no drops"
            why = place["film"]["uncounted"]
            counts = f", which does not count. {why}" if why else "."
            found.append(f"{place['place']}: {drops} under a film{counts}")
        found += [
            f"{place['place']}: a sample has {percent(s['water_percent'])} of water."
            for s in place["samples"]
        ]
    return found


def taken_back(withdrawn: Record, view: View) -> list[str]:
    """That something was taken back."""
    return [f"Taken back: {withdrawn['reason']}. It stays on record."]


def _grams(mass: Record) -> str:
    """A mass as its scale shows it, which is finer than a pot's."""
    return f"{number(mass['value'])} {mass['unit']}"
