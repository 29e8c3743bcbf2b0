"""A slip of the hand, undone with one word."""

from __future__ import annotations

from pathlib import Path

from .conftest import Hand


def test_the_last_act_is_undone_and_then_the_one_before(tmp_path: Path) -> None:
    """A draw, then the delivery before it; what another hand recorded stays."""
    keeper = Hand.at(tmp_path, zone="Europe/Lisbon")
    with keeper.serving() as url:
        undo_a_slip(*(Hand.at(tmp_path / name, url=url, hand=name) for name in ("Ines", "Rui")))


def undo_a_slip(hand: Hand, other: Hand) -> None:
    """The typing of both."""
    hand.types("product add MAT-450 --name Mat --role reinforcement")
    hand.types("job open D-7 --title Stem --craft Teal")
    hand.types("lot receive MAT-450 '3 m' --number M-1")
    other.types("lot receive MAT-450 '5 m' --number M-2")
    hand.types("draw MAT-450 '2 m' --job D-7")
    assert "To undo: draw 2 m of MAT-450 M-1 for D-7" in hand.types("undo", exits=2).err
    hand.types("undo --yes")
    assert [lot["on_hand"]["value"] for lot in hand.types("lot list --json").json["items"]] == [
        3,
        5,
    ]
    hand.types("undo --yes")
    assert "nothing left to undo" in hand.types("undo --yes", exits=1).err
    assert [lot["on_hand"]["value"] for lot in hand.types("lot list --json").json["items"]] == [
        0,
        5,
    ]
