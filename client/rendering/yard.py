"""The yard: its settings, its bays and its jobs."""

from __future__ import annotations

from ..answers import Record
from . import signatures
from .amounts import amount, percent
from .columns import View, labelled, marked, spaced, table
from .moments import face, read, short, when


def settings_shown(settings: Record, view: View) -> list[str]:
    """The yard's settings."""
    names = ("zone", "units", "currency", "address")
    pairs = [*((name, settings[name]) for name in names), ("gates", settings.get("profile"))]
    pairs.append(("sureness", f"{settings['sureness']} %" if "sureness" in settings else None))
    jump = amount(settings.get("jump"))
    pairs.append(("probes", f"jump by no more than {jump} in a minute" if jump else None))
    return labelled(pairs, view.width)


def jobs_listed(jobs: list[Record], view: View) -> list[str]:
    """Jobs, one a line."""
    rows = [
        (j["number"], j["title"], j["craft"], j["state"], short(j.get("opened_at"), view))
        for j in jobs
    ]
    return table(("job", "title", "craft", "state", "opened"), rows, view)


def job_shown(job: Record, view: View) -> list[str]:
    """One job."""
    pairs = [
        (f"job {job['number']}", job["title"]),
        ("craft", job["craft"]),
        ("state", job["state"]),
        ("structural", job.get("structural")),
        ("authority", job.get("authority")),
        ("opened", when(job.get("opened_at"), view)),
        ("closed", when(job.get("closed_at"), view)),
    ]
    signed = job.get("signature")
    return spaced(
        labelled(pairs, view.width),
        marked(signatures.lines(signed, view), view.width, "- ") if signed else [],
    )


def bays_listed(bays: list[Record], view: View) -> list[str]:
    """Bays, one a line."""
    rows = [(b["code"], b["title"], _latest(b, view), _pattern(b)) for b in bays]
    return table(("bay", "title", "last read", "otherwise"), rows, view)


def bay_shown(bay: Record, view: View) -> list[str]:
    """One bay: its last reading, and the temperatures that count otherwise."""
    pairs = [
        (f"bay {bay['code']}", bay["title"]),
        ("last read", _latest(bay, view)),
        ("otherwise", _pattern(bay)),
        ("good to", _good_to(bay)),
        ("to come", _ahead(bay.get("ahead"))),
        ("lies", "in the open" if bay.get("in_the_open") else ""),
        ("probe", ", ".join(_probe(bay.get("probe"), view))),
    ]
    return labelled(pairs, view.width)


def readings_taken(answer: Record, view: View) -> list[str]:
    """How many readings were recorded, replaced or unchanged."""
    names = ("recorded", "replaced", "unchanged", "doubted")
    counts = (f"{answer.get(name, 0)} {name}" for name in names)
    return [", ".join(count for count in counts if not count.startswith("0 ")) or "0 recorded"]


def reading_heard(heard: Record, answer: Record, view: View) -> list[str]:
    """A reading of a probe that was recorded, on one line."""
    damp = percent(heard["humidity"])
    said = [
        face(read(heard["at"]), view),
        heard["temperature"] + (f", {damp} humidity" if damp else ""),
        "not believed yet" if answer.get("doubted") else "",
    ]
    return ["  ".join(filter(None, said))]


def file_taken(answer: Record, view: View) -> list[str]:
    """How many readings of a file were recorded, and how its columns were read."""
    counts = {"recorded": answer["added"], "unchanged": answer["known"]}
    return [*readings_taken(counts, view), *marked(answer["notes"], view.width, "  ")]


def _latest(bay: Record, view: View) -> str:
    latest = bay.get("latest")
    if not latest:
        return ""
    damp = percent(latest.get("humidity_percent"))
    heat = amount(latest["temperature"]) + (f", {damp} humidity" if damp else "")
    return f"{heat} {when(latest['at'], view)}"


def _probe(probe: Record | None, view: View) -> list[str]:
    """When a bay's probe was last heard, and what is wrong with it."""
    if not probe:
        return []
    heard = [f"heard {when(probe['at'], view)}"] if probe["state"] != "silent" else []
    return [*heard, *probe_faults(probe, view)]


def probe_faults(probe: Record | None, view: View) -> list[str]:
    """That a bay's probe is silent; its last reading, if it is not believed."""
    if not probe:
        return []
    silent = [f"silent since {face(read(probe['at']), view)}"] if probe["state"] == "silent" else []
    if doubted := probe.get("doubted"):
        at = face(read(doubted["at"]), view)
        return [*silent, f"{amount(doubted['temperature'])} at {at} not believed"]
    return silent


def _pattern(bay: Record) -> str:
    pattern = bay["pattern"]
    return (
        f"{amount(pattern['day'])} from {pattern['day_from']} to {pattern['day_until']}, "
        f"else {amount(pattern['night'])}"
    )


def _good_to(bay: Record) -> str:
    """How wrong a temperature that was read may be, and the last check of the thermometer."""
    known = bay.get("good_to") or bay.get("uncertainty")
    if not known:
        return ""
    checked = bay.get("checked_on")
    return f"± {amount(known)}" + (f", thermometer checked {checked}" if checked else "")


def _ahead(ahead: Record | None) -> str:
    """How well the air to come is known."""
    if not ahead:
        return ""
    basis = {"log": "by its own log", "guessed": "guessed: it has no log of two weeks"}
    return f"± {amount(ahead['uncertainty'])}, {basis.get(ahead['basis'], ahead['basis'])}"
