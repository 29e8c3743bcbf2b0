"""Names of time zones, against the IANA database of this machine and what its files say."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo, available_timezones

import pytest
from cureyard_service.core.amounts import zones

GMT = sorted(name for name in available_timezones() if name.startswith("Etc/GMT"))
JANUARY, JULY = (datetime(2026, month, 1, 12, tzinfo=UTC) for month in (1, 7))


def refusal(name: str) -> str:
    """What is said to a name."""
    with pytest.raises(zones.NoZone) as caught:
        zones.zone(name)
    return str(caught.value)


@pytest.mark.parametrize("name", ["EST", "MST", "HST", "WET", "CET", "MET", "EET"])
def test_an_abbreviation_is_refused_and_a_place_is_named(name: str) -> None:
    """The place has the clock that the abbreviation is, winter and summer: from release 2024b on
    that is one of the database's own links, and before it the abbreviation had the same offset.
    """
    place = zones.PLACES[name]
    assert f"such as {place}." in refusal(name)
    for moment in (JANUARY, JULY):
        one, other = (moment.astimezone(ZoneInfo(key)).utcoffset() for key in (name, place))
        assert one == other


@pytest.mark.parametrize("name", GMT)
def test_a_turned_sign_is_refused_with_its_hours(name: str) -> None:
    """The IANA database's file `etcetera`: 'POSIX has positive signs west of Greenwich'."""
    offset = JULY.astimezone(ZoneInfo(name)).utcoffset()
    if not offset:
        assert zones.zone(name).key == name
        return
    hours = abs(offset) // timedelta(hours=1)
    side = "behind" if offset < timedelta(0) else "ahead of"
    assert f"{name} is {hours} h {side} UTC" in refusal(name)


@pytest.mark.parametrize(
    "name",
    ["IST", "CST", "BST", "PST", "Mars/Olympus", "Europe", "", "/etc/localtime", "localtime",
     "Factory", "posixrules", "right/Europe/Lisbon", "posix/Europe/Lisbon", "../UTC", "UTC\x00",
     "x" * 300],
)  # fmt: skip
def test_what_is_no_zone(name: str) -> None:
    """Nor what another machine has otherwise, or has not."""
    assert "is not a time zone." in refusal(name)


def test_every_place_is_taken() -> None:
    """All that the database's own table of places lists, and UTC."""
    listed = {name for name in available_timezones() if "/" in name and not name.startswith("Etc")}
    assert len(listed) > 400
    for name in {*listed, "UTC", "GMT", "Etc/UTC", "Japan", "EST5EDT"}:
        assert zones.zone(name).key == name
