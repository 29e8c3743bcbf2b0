"""Time zones by name, as far as a name means one clock wherever it is read.

A yard's zone and a logger's clock are names of the IANA database. It has names that people
elsewhere use for another clock, and they are refused:

- abbreviations. EST is New York's winter in America and Sydney's in Australia, and as a zone it
  has no summer time; CET is in summer an hour ahead in Berlin and not in Algiers. So for all seven;
- `Etc/GMT+5`, which is five hours *behind* UTC (its file `etcetera` says why the sign is turned),
  where UTC+5 of ISO 8601 is ahead;
- `localtime`, `Factory` and what stands under `right/` and `posix/`: another machine has another,
  or none; the clocks of `right/` also count leap seconds.
"""

from __future__ import annotations

import re
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

PLACES = {
    "EST": "America/Panama", "MST": "America/Phoenix", "HST": "Pacific/Honolulu",
    "WET": "Europe/Lisbon", "CET": "Europe/Brussels", "MET": "Europe/Brussels",
    "EET": "Europe/Athens",
}  # fmt: skip
"""Abbreviation → the place whose clock it is as a zone: the links of the file `backward` of the
IANA database, from its release 2024b on."""

_TURNED = re.compile(r"Etc/GMT([+-])(\d\d?)")
_OF_THE_MACHINE = re.compile(r"localtime|posixrules|Factory|(?:right|posix)/.*")


class NoZone(ValueError):
    """A name that no yard's clock has. `detail`, `advice`: what is wrong, and what to do."""

    def __init__(self, detail: str, advice: str) -> None:
        super().__init__(f"{detail} {advice}")
        self.detail, self.advice = detail, advice


def zone(name: str) -> ZoneInfo:
    """The clock of a name.

    Raises: NoZone: there is no such zone, or the name means another clock elsewhere.
    """
    turned = _TURNED.fullmatch(name)
    if name in PLACES:
        raise NoZone(
            f"{name} means different clocks in different places.",
            f"Name a place that has the same clock, such as {PLACES[name]}.",
        )
    if turned and int(turned[2]):
        side = "behind" if turned[1] == "+" else "ahead of"
        raise NoZone(
            f"{name} is {turned[2]} h {side} UTC, which its sign does not say.",
            "Name a place that has the same clock, such as Europe/Lisbon.",
        )
    try:
        if _OF_THE_MACHINE.fullmatch(name):
            raise ValueError(name)
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise NoZone(
            f"{name[:64]!r} is not a time zone.", "Write it as in Europe/Lisbon."
        ) from error
