"""A name that nothing has, and what may have been meant."""

from __future__ import annotations

import pytest
from cureyard_service.core.amounts import near_names
from cureyard_service.core.amounts.near_names import meant
from hypothesis import given
from hypothesis import strategies as st

KNOWN = ["LAM-PE", "LAM-VE", "PEROX-9", "SHED", "26-014"]


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("LAM-P", "Did you mean LAM-PE or LAM-VE?"),
        ("lamve", "Did you mean LAM-VE or LAM-PE?"),
        ("PEROX9", "Did you mean PEROX-9?"),
        ("26-041", "Did you mean 26-014?"),
        ("HULL", ""),
        ("", ""),
    ],
)
def test_what_may_be_meant(name: str, words: str) -> None:
    """A slip or two, in any case, the nearest first; nothing where nothing is near."""
    assert meant(name, KNOWN) == words


@given(st.sampled_from(KNOWN), st.data())
def test_a_letter_left_out_is_found(name: str, data: st.DataObject) -> None:
    """Whichever letter of a code it is."""
    at = data.draw(st.integers(0, len(name) - 1))
    assert name in meant(name[:at] + name[at + 1 :], KNOWN)


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("keel frame 4", "keel, frame 4"), ("Keel Frame 4", "keel, frame 4"),
        ("keal, frame 4", "keel, frame 4"), ("frame 4, keel", "keel, frame 4"),
        ("keel, fr 4", "keel, frame 4"), ("keel, frame 5", None), ("skeg, frame 4", None),
        ("rudder, frame 4", None), ("keel", None), ("port keel, frame 4", None),
        ("transom", None),
    ],
)  # fmt: skip
def test_a_place_that_may_be_meant(typed: str, meant: str | None) -> None:
    """A slip in a word, a sign or the order; another number is another place."""
    told = near_names.place_meant(typed, ["topside", "keel, frame 4", "rudder"])
    assert told == ("" if meant is None else f"Did you mean {meant}?")
