"""A pot under a vacuum bag lasts until the bag is pumped down, even at worst.

That it must is common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from cureyard_service.core.pots.bagged import Bagging, too_short

from ..makers import MIN, mixed


@pytest.mark.parametrize(("spare", "fits"), [(0, True), (1, True), (-1, False), (-600, False)])
def test_to_the_second(spare: int, fits: bool) -> None:
    """As long as the working time at worst it fits; a second more does not."""
    made = replace(mixed(1200), working_time=25.0 * MIN)
    work = Bagging(laying=10 * MIN, bagging=10 * MIN, pumping=5 * MIN - spare)
    assert (too_short(made, work) is None) is fits


def test_its_worst_counts_not_its_likely_time() -> None:
    """1.2 kg gels in 30 min: 16 min to spread it are likely, fewer are sure."""
    made = mixed(1200)
    assert made.working_time < 14 * MIN < made.working_likely
    assert too_short(made, Bagging(14 * MIN, 0, 0)) is not None
    assert too_short(made, Bagging(made.working_time, 0, 0)) is None


def test_it_says_each_time() -> None:
    """The time that there is rounded down, those that it takes rounded up."""
    made = replace(mixed(1200), working_time=24.9 * MIN)
    said = too_short(made, Bagging(10 * MIN, 9.2 * MIN, 6 * MIN))
    assert said is not None
    assert "for 24 min" in said
    assert "26 min: laying 10 min, bagging 10 min, pumping down 6 min" in said
