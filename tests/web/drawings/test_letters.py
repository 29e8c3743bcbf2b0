"""Names on the wall: cut to their room, and no two that differ cut alike."""

from __future__ import annotations

import pytest
from cureyard_service.web.drawings import letters
from hypothesis import given
from hypothesis import strategies as st

SIZE, ROOM = 37.0, 300.0


def test_the_width_of_a_text() -> None:
    """By the metrics of Helvetica Bold: H 722, u 611, l 278 thousandths (from memory)."""
    assert letters.width("Hull", 1000) == 722 + 611 + 278 + 278
    assert letters.width(letters.CUT, 10) == 10
    assert letters.width("é", 10) == letters.width("e", 10)
    assert letters.width("\u00a0", 10) == letters.width(" ", 10)


@given(text=st.text(max_size=80), before=st.sampled_from(letters.BEFORE))
def test_a_cut_has_room(text: str, before: float) -> None:
    """And what has room is not cut."""
    cut = letters.cut_middle(text, SIZE, ROOM, before)
    assert letters.width(cut, SIZE) <= ROOM
    assert (cut == text) is (letters.width(text, SIZE) <= ROOM)
    assert letters.width(letters.cut_end(text, SIZE, ROOM), SIZE) <= ROOM


def test_a_title_keeps_both_ends() -> None:
    """Titles differ at the end."""
    cut = letters.cut_middle("Outer skin of the rudder, plies 1 to 4 of 9", SIZE, ROOM)
    assert cut.startswith("Oute")
    assert cut.endswith("of 9")
    assert letters.cut_end("Queen of the North", 28, 128) == "Queen…"
    assert letters.cut_end("sloop Saltgrass", 28, 160) == "sloop Sal…"


@pytest.mark.parametrize("room", [330.0, 547.0])
def test_no_two_titles_look_alike(room: float) -> None:
    """More of the end is kept where that tells them apart; the same title may stand twice."""
    titles = [f"The bottom, port side, ply {ply} of the aft skin" for ply in (4, 8, 4)]
    cuts = letters.cut_apart(titles, SIZE, [room] * 3)
    assert cuts[0] == cuts[2]
    assert cuts[0] != cuts[1]
