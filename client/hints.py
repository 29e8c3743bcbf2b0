"""What to type, where the service's words name a field of the interface.

The service speaks to every client, so its words name fields, such as 'pot_max', and no command.
A field of the present command is shown as its option; for another, its command is added.
"""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import click

_FIELD = re.compile(r"'([a-z_]+)'|\b(mix\.[a-z]+|[a-z]+(?:_[a-z]+)+)\b")
_NAMED = re.compile(r"'([a-z_]+)'")
_FACT = re.compile(r"\{([a-z]+)\}")

_OTHERWISE = {
    "mix.kind": "mix", "mix.parts": "parts", "mix.by": "by", "with": "partners",
    "catalyst_percent_min": "percent_min", "catalyst_percent_max": "percent_max",
    "applied_at": "at", "finished_at": "finished", "replaces": "replace",
}  # fmt: skip
"""Fields that a command's own parameter is not called by."""

OF_FIELD = {
    "admin": "cureyard token add NAME --role admin",
    "authority": "cureyard job set {job} --structural yes --authority TEXT",
    "hardness_min": "cureyard product set {product} --hardness-min NUMBER",
    "wax_percent_max": "cureyard product set {resin} --wax-percent-max PERCENT",
    "styrene_percent_max": "cureyard product set {resin} --styrene-percent-max PERCENT",
    "hardness_scale": "cureyard product set {product} --hardness-scale SCALE",
    "bay": "cureyard lot move LOT BAY",
    "film_test": "cureyard moisture undo {job} film {record}",
    "finding": "cureyard finding undo {job} {record}",
    "leak_test": "cureyard leak undo {job} {record}",
    "moisture_reading": "cureyard moisture undo {job} reading {record}",
    "surface_note": "cureyard surface undo {job} {record}",
    "weighed_sample": "cureyard moisture undo {job} sample {record}",
    "expires_on": "cureyard lot set {lot} --expires-on DATE",
    "hardness": "cureyard layup observe {layup} hardness --readings 'NUMBER …'",
    "humidity_percent": "cureyard bay read {bay} TEMP --humidity PERCENT",
    "needs": "cureyard job need {job} PRODUCT QUANTITY",
    "placements": "cureyard moisture read {job} PLACE NUMBER… --meter CODE --mode NAME "
    "--surface TEMP",
    "pot_max": "cureyard product set {resin} --pot-max MASS",
    "prepared": "cureyard surface note {job} prepared --place PLACE --at TIME",
    "prepared_at": "cureyard job gates {job} --prepared-at TIME",
    "readings": "cureyard bay read {bay} TEMP",
    "sanded": "cureyard layup observe LAYUP sanded",
    "shelf_life": "cureyard product set {product} --shelf-life TIME",
    "structural": "cureyard job set {job} --structural no",
    "taped_at": "cureyard moisture film {job} PLACE --taped-at TIME --no-drops",
    "with": "cureyard product set {resin} --with CODE",
}
"""What to type for a field that the words name in quotes; `{…}` is a fact, where it is known."""

OF_SLUG = {
    "authority-missing": "cureyard job override {job} authority REASON",
    "not-authenticated": "cureyard token keep",
    "signed": "cureyard job reopen {job} --reason REASON",
    "not-served": "cureyard serve --lan",
}
"""What to type after any refusal of this slug, whatever its words."""


def by_option(advice: str, params: Sequence[click.Parameter]) -> str:
    """Advice with each field that one of these parameters sends named as its option."""
    options = {p.name: max(p.opts, key=len) for p in params if isinstance(p, click.Option)}

    def named(match: re.Match[str]) -> str:
        field = match[1] or match[2]
        return options.get(field) or options.get(_OTHERWISE.get(field, field), match[0])

    return _FIELD.sub(named, advice)


def to_type(words: str, facts: Mapping[str, Any], slug: str = "") -> list[str]:
    """The commands that serve what the words ask for, filled with the facts that are known."""
    found = [OF_FIELD[name] for name in _NAMED.findall(words) if name in OF_FIELD]
    if slug in OF_SLUG:
        found.append(OF_SLUG[slug])
    return list(dict.fromkeys(_filled(each, facts) for each in found))


def refusal(problem: Mapping[str, Any], advice: str, facts: Mapping[str, Any]) -> list[str]:
    """The commands that serve a refusal, and each of its several errors."""
    slug = str(problem.get("type", "")).rpartition("/")[2]
    found = to_type(advice, {**facts, **problem}, slug)
    if slug == "still-open":
        found.append(_signing(problem, facts.get("left") or ()))
    several = problem.get("errors")
    for each in several if isinstance(several, list) else ():
        if isinstance(each, dict):
            found += to_type(str(each.get("detail")), {**facts, **each}, str(each.get("slug")))
    return list(dict.fromkeys(found))


def _signing(problem: Mapping[str, Any], left: Iterable[tuple[str, str]]) -> str:
    """The whole line that signs a job, with what was left open already and all that is open."""
    typed = [*left, *((each["item"], "REASON") for each in problem.get("open") or ())]
    leaves = [f"--leave {item} {shlex.quote(reason)}" for item, reason in typed]
    return " ".join(["cureyard job sign", shlex.quote(str(problem["job"])), *leaves])


def added(warnings: Iterable[str] | None, **facts: Any) -> list[str]:
    """Each warning with what to type for it."""
    return [_added(words, to_type(words, facts)) for words in warnings or ()]


def spoken(words: str, commands: Sequence[str]) -> str:
    """Words with each field that these commands serve named as their option, or plainly."""
    typed = " ".join(commands)

    def named(match: re.Match[str]) -> str:
        field = match[1]
        option = f"--{field.replace('_', '-')}"
        if field not in OF_FIELD or not typed:
            return match[0]
        return option if f" {option} " in f"{typed} " else match[0].replace("_", " ")

    return _NAMED.sub(named, words)


def _added(words: str, commands: list[str]) -> str:
    words = spoken(words, commands)
    return f"{words} Type: {', or: '.join(commands)}" if commands else words


def _filled(command: str, facts: Mapping[str, Any]) -> str:
    def fact(match: re.Match[str]) -> str:
        known = facts.get(match[1])
        return match[1].upper() if known is None else shlex.quote(str(known))

    return _FACT.sub(fact, command)
