"""A vacuum bag by hands' words: since when it is on, until when to hold it, and how thin its air.

When to hold and when to release is common practice, no source.
"""

from __future__ import annotations

import pytest
from cureyard_service.core.cure.bag import THIN, WEAK, Bag, Said, bag_of, hold_until
from cureyard_service.core.cure.milestones import NAMES, Milestone
from cureyard_service.core.words import shown

H = 3600.0
HPA = 100


@pytest.mark.parametrize(
    ("words", "bag"),
    [
        ((), None),
        ((Said("gelled", 1),), None),
        ((Said("bag_off", 1),), None),
        ((Said("bagged", 1),), Bag(1)),
        ((Said("bagged", 1), Said("bag_off", 5)), Bag(1, off=5)),
        ((Said("bagged", 1), Said("bag_off", 5), Said("bag_off", 7)), Bag(1, off=5)),
        ((Said("bagged", 1), Said("bag_off", 5), Said("bagged", 6)), Bag(6, before=(5,))),
        ((Said("bagged", 1, 88_000), Said("gelled", 3)), Bag(1, 88_000)),
        ((Said("bagged", 1, 88_000), Said("bagged", 4, 70_000, 101_300)), Bag(1, 70_000, 101_300)),
        ((Said("bagged", 1, 88_000), Said("bagged", 4)), Bag(1, 88_000)),
        ((Said("bagged", 1, 88_000), Said("bag_off", 4), Said("bagged", 6)), Bag(6, before=(4,))),
    ],
)
def test_the_last_bag(words: tuple[Said, ...], bag: Bag | None) -> None:
    """On from the first word until it is off; its vacuum is that of the last reading."""
    assert bag_of(words) == bag


def found(sandable: Milestone, trim: float = 2.0) -> dict[str, Milestone]:
    """Milestones; it can be trimmed at the latest after so many hours."""
    told = dict.fromkeys(NAMES, Milestone(None, why="not-on-sheet"))
    return told | {"trim": Milestone(1 * H, 0.5 * H, trim * H), "sandable": sandable}


@pytest.mark.parametrize(
    ("sandable", "hold"),
    [
        (Milestone(8 * H, 6 * H, 10 * H), 10 * H),
        (Milestone(8 * H, 6 * H, None), None),
        (Milestone(None, why="cold-stalled"), None),
        (Milestone(None, why="not-on-sheet"), 2 * H),
    ],
)
def test_until_it_is_surely_hard(sandable: Milestone, hold: float | None) -> None:
    """At its latest; what has no such time by its trim, what stalls by no hour."""
    assert hold_until(found(sandable)) == hold


@pytest.mark.parametrize(
    ("bag", "chemistry", "told"),
    [
        (Bag(1, 91_400), "polyester", True),  # 99.25 hPa are left of 1013.25
        (Bag(1, 91_300), "polyester", False),
        (Bag(1, 91_400), "vinyl_ester", True),
        (Bag(1, 91_400), "epoxy", False),
        (Bag(1, 91_400), None, False),
        (Bag(1, 91_400, 102_500), "polyester", False),
        (Bag(1, 91_000, 100_900), "polyester", True),
        (Bag(1), "polyester", False),
        (Bag(1, 91_400, off=5), "polyester", False),
    ],
)
def test_styrene_under_a_thin_air(bag: Bag, chemistry: str | None, told: bool) -> None:
    """Under 100 hPa absolute, by the air that was told, else the standard atmosphere's."""
    assert (bag.cautions(chemistry) == [THIN]) is told


@pytest.mark.parametrize(("vacuum", "told"), [(67_700, []), (67_600, [WEAK]), (None, [])])
def test_a_weak_vacuum_has_a_leak(vacuum: int | None, told: list[object]) -> None:
    """As in a leak test: 20 inHg, 677 hPa, is the least (TM 1-1500-204-23-11)."""
    assert Bag(1, vacuum).cautions("epoxy") == told
    assert Bag(1, vacuum, off=5).cautions("epoxy") == []


@pytest.mark.parametrize(("celsius", "told"), [(40, "20 hPa at 40 °C"), (60, "53 hPa at 60 °C")])
def test_styrene_s_vapour_pressure(celsius: float, told: str) -> None:
    """Antoine's law with A 4.0593, B 1459.909, C −59.551, in bar and K (from memory)."""
    bar = 10 ** (4.0593 - 1459.909 / (celsius + 273.15 - 59.551))
    assert f"{bar * 1000:.0f} hPa at {celsius} °C" == told
    assert told in shown(THIN, "metric")
