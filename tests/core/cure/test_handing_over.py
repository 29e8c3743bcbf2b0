"""What a layup lacks before it leaves: each rule by itself, and the book's figures."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from cureyard_service.core.cure.handing_over import State, doubt, missing, needed
from cureyard_service.core.cure.post_cure import PostCured, Probe
from cureyard_service.core.gates import part as gates_part
from cureyard_service.core.gates.part import Below
from cureyard_service.core.gates.profiles import profile
from cureyard_service.core.products.cure_sheet import PostCure
from cureyard_service.core.products.hardness import Figure
from cureyard_service.core.words import shown

from ..makers import HOUR, kelvin

HEAT = PostCure(kelvin(55), kelvin(65), 15 * HOUR)
KEEL = (Probe("KEEL", on_part=True, checked_on=date(1969, 7, 1)),)
DONE = PostCured(HEAT, 15 * HOUR, 100.0, KEEL)
SHORT = PostCured(HEAT, 14 * HOUR, None)
HARD = State(structural=True, hard=True, needed=needed(45, "polyester"))


@pytest.mark.parametrize(
    ("least", "chemistry", "figure"),
    [(45, "polyester", 40.5), (None, "polyester", 40), (None, "epoxy", None), (50, "epoxy", 45)],
)
def test_what_hardness_is_asked_for(least: int | None, chemistry: str, figure: float) -> None:
    """Where the sheet has none, a hull's 40 of polyester (class rules, from memory); no other."""
    assert needed(least, chemistry) == figure


def test_not_hard_is_enough_to_stay() -> None:
    """Structural or not; a nail or the clock lets the cosmetic one go."""
    soft = State(structural=False, hard=False)
    assert "not hard" in missing(soft)[0]
    assert missing(replace(soft, hard=True)) == []
    assert len(missing(replace(HARD, hard=False))) == 2  # all of it is told at once


def test_structure_wants_a_figure_or_the_heat() -> None:
    """Hard by a nail is not proof; 14 of 15 hours are not, and are said; 15 are."""
    assert "at least 40.5 Barcol 934-1" in missing(HARD)[0]
    assert "14 h of 15 h" in shown(missing(replace(HARD, post_cure=SHORT))[0], "metric")
    assert missing(replace(HARD, post_cure=DONE)) == []
    assert "not known" in missing(replace(HARD, needed=None))[0]


def test_a_post_cure_makes_hard_and_a_soft_reading_after_it_does_not() -> None:
    """Too soft before the heat says nothing of after; too soft after it says all."""
    soft = replace(HARD, hardness=Figure(20.0), hardness_at=50.0, post_cure=DONE)
    assert missing(soft) == []
    assert "20.0 Barcol 934-1" in missing(replace(soft, hardness_at=150.0))[0]
    assert "20.0 Barcol 934-1" in missing(replace(soft, structural=False, post_cure=None))[0]


def test_the_gate_counts_the_heat_too() -> None:
    """Held by a whole post-cure, asked while it is short, failed by a soft reading after it."""
    rule = profile("class").rules["hard-enough"]

    def verdict(**facts: object) -> str:
        below = Below("Ply", hardness_least=45.0, **facts)  # type: ignore[arg-type]
        return gates_part.hard_enough(rule, below).verdict

    assert verdict(post_cure=DONE) == "pass"
    assert verdict(post_cure=replace(DONE, probes=())) == "stop"
    assert verdict(post_cure=SHORT) == "caution"
    assert verdict(post_cure=DONE, hardness=Figure(20.0), hardness_at=50.0) == "pass"
    assert verdict(post_cure=DONE, hardness=Figure(20.0), hardness_at=150.0) == "stop"


def test_a_figure_near_the_least_goes_with_a_caution() -> None:
    """40.5 is needed: 40.6 ± 1 goes, 40.4 ± 1 stays, both are told; later heat ends the doubt."""
    near = replace(HARD, hardness=Figure(40.6, 1.0), hardness_at=50.0)
    assert missing(near) == []
    assert "Take more readings" in doubt(near)
    under = replace(HARD, hardness=Figure(40.4, 1.0))
    assert missing(under)
    assert doubt(under)
    assert doubt(replace(near, post_cure=DONE)) == ""
    assert doubt(replace(near, hardness=Figure(42.0, 1.0))) == ""


def test_solvent_answers_only_where_the_sheet_gives_no_hardness() -> None:
    """Structural work by a wipe; a soft reading says more than the wipe."""
    bare = replace(HARD, needed=needed(None, "epoxy"), on_sheet=False)
    assert "wipe with solvent" in missing(bare)[0]
    assert missing(replace(bare, wiped=True)) == []
    assert missing(replace(HARD, wiped=True))
    soft = replace(bare, needed=40.0, wiped=True, hardness=Figure(30.0))
    assert missing(soft)


def test_a_heat_that_does_not_count_is_said() -> None:
    """Whole, but by the wrong probes: it proves nothing."""
    told = missing(replace(HARD, post_cure=DONE, unfit="its probes hung in the air"))
    assert "but its probes hung in the air" in shown(told[0], "metric")


def test_gel_coat_proves_nothing_of_the_laminate() -> None:
    """Its hardness is its own; on a gel coat that is handed over it counts."""
    read = replace(HARD, hardness=Figure(46.0, 0.0, on_gel_coat=True))
    assert "of its gel coat alone" in missing(read)[0]
    assert missing(replace(read, gel_coat=True)) == []
    assert "20.0 Barcol" in missing(replace(read, hardness=Figure(20.0, on_gel_coat=True)))[0]


def test_a_bead_is_cured_through_and_cut_to_see() -> None:
    """No wipe and no heat is asked of what cures by moisture (common practice, no source)."""
    bead = State(structural=True, hard=False, on_sheet=False, by_moisture=True)
    assert missing(bead) == ["it is not cured through yet, by its clock"]
    through = replace(bead, hard=True)
    assert missing(replace(through, structural=False)) == []
    assert ["cut an edge" in shown(word, "metric") for word in missing(through)] == [True]
    assert missing(replace(through, cut=True)) == []
