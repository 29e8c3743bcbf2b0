"""`cureyard calendar`: printed, written, subscribed to, ended."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import vobject

from .. import makers
from ..putting import by_commands
from .conftest import Hand

LAYUP = "layup start D-7 Plies --kind coat --bay SHED --product LAM --percent 2"


@pytest.fixture
def yard(embedded: Hand) -> Hand:
    """Somebody whose store has a layup in the shed."""
    by_commands(embedded, **makers.yard())
    embedded(*LAYUP.split())
    return embedded


def test_printed_and_written(yard: Hand, tmp_path: Path) -> None:
    """The same calendar on stdout and in a file, its line ends as they came; never written over."""
    printed = yard("calendar", "show", "--job", "D-7")
    assert len(vobject.readOne(printed).vevent_list) == 2
    everything = yard("calendar", "show", "--all")
    assert len(vobject.readOne(everything).vevent_list) == 4
    file = tmp_path / "shed.ics"
    told = yard("calendar", "show", "--bay", "SHED", "--out", str(file))
    assert told.strip() == f"{file}: 2 events"
    text = file.read_bytes()
    assert text.count(b"\r\n") == text.count(b"\n") > 20
    assert "is there already" in yard("calendar", "show", "--out", str(file), exits=2)
    assert file.read_bytes() == text
    nowhere = str(tmp_path / "none" / "x.ics")
    assert "can't be written" in yard("calendar", "show", "--out", nowhere, exits=2)
    assert json.loads(yard("calendar", "show", "--out", str(tmp_path / "b.ics"), "--json")) == {
        "file": str(tmp_path / "b.ics"),
        "events": 2,
    }
    assert "no job X-1" in yard("calendar", "show", "--job", "X-1", exits=1)


def test_subscribed_and_ended(yard: Hand) -> None:
    """The address on a line of its own; where no server is known, what to do about it."""
    told = yard("calendar", "subscribe", "--job", "D-7")
    address, *lines = told.splitlines()
    assert address.startswith("http://localhost/calendar/cureyard_")
    assert any(line.split() == ["of", "job", "D-7"] for line in lines)
    assert "cureyard calendar revoke 1" in told
    assert "yard set --address" in told
    yard("yard", "set", "--address", "https://yard.example")
    second = yard("calendar", "subscribe")
    assert second.startswith("https://yard.example/calendar/cureyard_")
    assert "yard set" not in second
    ended = yard("calendar", "revoke", "1", "--reason", "the phone was lost")
    assert "the phone was lost" in ended
    listed = yard("calendar", "list")
    assert "cureyard_" not in listed
    assert [line.split()[0] for line in listed.splitlines()] == ["id", "2", "1"]
    assert "the whole yard" in listed
    assert "was revoked before" in yard("calendar", "revoke", "1", exits=1)
    assert "no feed 7" in yard("calendar", "revoke", "7", exits=1)
