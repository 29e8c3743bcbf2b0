"""`plan … --need`: a sum is printed, and kept as what a job needs, in one step."""

from __future__ import annotations

import json

from .conftest import Hand

MATS = ("plan", "laminate", "--ply", "MAT-450", "mat", "3", "--area", "1.25 m2")


def test_a_sum_becomes_needs(yard: Hand) -> None:
    """The sum, then the job's needs with what is short by the day."""
    told = yard(*MATS, "--need", "26-014", "--by", "2999-01-02")
    assert told.index("thickness") < told.index("3 × 1 m")
    assert "MAT-450: 1 m short by 2999-01-02." in told
    assert "3 × 1 m" in yard("job", "needs", "26-014")


def test_a_program_gets_one_answer(yard: Hand) -> None:
    """With --json: the job's needs alone."""
    told = json.loads(yard(*MATS, "--need", "26-014", "--json"))
    assert (told["job"], len(told["needs"])) == ("26-014", 1)


def test_what_can_not_be_kept_ends_in_words(yard: Hand) -> None:
    """A day without a job, no product in it, no such job: nothing is needed after it."""
    assert "--need" in yard(*MATS, "--by", "2999-01-02", exits=2)
    bare = ("plan", "laminate", "--ply", "450 g/m2", "mat", "3", "--area", "1 m2")
    assert "product of the store" in yard(*bare, "--need", "26-014", exits=2)
    yard(*MATS, "--need", "NONE", exits=1)
    yard(*MATS, "--need", "26-014", "--by", "soon", exits=2)
    assert yard("job", "needs", "26-014") == "Job 26-014 needs nothing.\n"
