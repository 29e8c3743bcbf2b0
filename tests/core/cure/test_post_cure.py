"""Post-cure: hours in the band add up, split or not; only what was measured counts.

The figures are from the maintenance manual of a composite light aircraft, 2013 (maker not named):
15 h at 60 ± 5 °C, which may be split if the total time at temperature is kept.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from cureyard_service.core.bays.temperature import Trace
from cureyard_service.core.cure.post_cure import Probe, progress
from cureyard_service.core.products.cure_sheet import PostCure
from cureyard_service.core.words import shown
from hypothesis import given
from hypothesis import strategies as st

from ..makers import HOUR, kelvin, trace

MANUAL = PostCure(kelvin(55), kelvin(65), 15 * HOUR)


def heats(*hours: float, celsius: float = 60.0) -> Trace:
    """Heats of so many hours each, with a cold day between two; measured throughout."""
    t, T, now = [0.0], [20.0], 0.0
    for each in hours:
        t += [now + 1, now + 1, now + 1 + each, now + 1 + each]
        T += [20.0, celsius, celsius, 20.0]
        now += 1 + each + 24
    return trace([*t, now], [*T, 20.0])


@pytest.mark.parametrize(("celsius", "counts"), [(54.9, 0), (55, 1), (65, 1), (65.1, 0)])
def test_the_band_is_the_makers(celsius: float, counts: int) -> None:
    """From 55 to 65 °C, both with it; hotter is no better."""
    assert progress(MANUAL, heats(15, celsius=celsius)).measured == pytest.approx(
        15 * HOUR * counts
    )


def test_it_is_done_when_the_last_hour_is_full() -> None:
    """7 h from the first hour on; 8 h from hour 33 on: at 41 h, however long it goes on."""
    found = progress(MANUAL, heats(7, 10))
    assert found.done_at == pytest.approx(41 * HOUR)


def test_what_nobody_read_does_not_count() -> None:
    """An oven that is taken to be at 60 °C has cured nothing; nor has a layup not laid yet."""
    assumed = trace([0, 20], [60, 60], measured=False)
    assert progress(MANUAL, assumed).measured == 0
    assert progress(MANUAL, None).measured == 0


def test_a_ramp_counts_from_where_it_enters_the_band() -> None:
    """By hand: 20 to 60 °C in 4 h is 30 min above 55; 60 to 70 in 2 h is an hour below 65."""
    ramp = trace([0, 4, 6], [20, 60, 70])
    assert progress(MANUAL, ramp).measured == pytest.approx(1.5 * HOUR)


def test_the_words_never_round_up() -> None:
    """14 h 59 min are said as 14.9 h."""
    told = progress(MANUAL, heats(14 + 59 / 60)).words()
    assert "post-cure 14.9 h of 15 h" in shown(told, "metric")


@given(
    st.lists(st.floats(10, 80), min_size=2, max_size=12),
    st.lists(st.booleans(), min_size=11, max_size=11),
    st.data(),
)
def test_the_whole_is_its_parts(
    celsius: list[float], read: list[bool], data: st.DataObject
) -> None:
    """Cut anywhere, the two parts have what the whole has; reading more never takes any away."""
    n = len(celsius)
    t, T = np.arange(n) * HOUR, np.array([kelvin(c) for c in celsius])
    whole = Trace(t, T, np.array(read[: n - 1]))
    at = data.draw(st.floats(0, (n - 1) * HOUR))
    parts = sum(progress(MANUAL, part).measured for part in
                (whole.between(0.0, at), whole.between(at, whole.end)))  # fmt: skip
    assert progress(MANUAL, whole).measured == pytest.approx(parts, abs=1e-3)
    assert progress(MANUAL, Trace(t, T, np.ones(n - 1, bool))).measured >= parts - 1e-3


def test_of_two_probes_the_coolest_counts() -> None:
    """By hand: one is in the band from hour 1 to 16, the other from hour 3 on: 13 h count."""
    keel, deck = (
        trace([0, 1, 1, 16, 16, 20], [20, 20, 60, 60, 20, 20]),
        trace([0, 3, 3, 20], [20, 20, 58, 58]),
    )
    assert progress(MANUAL, [keel, deck]).measured == pytest.approx(13 * HOUR)
    assert progress(MANUAL, keel).measured == pytest.approx(15 * HOUR)


def test_no_hour_before_it_is_hard() -> None:
    """15 h of heat, hard after 4 of them: 11 count, and the other four are told."""
    heat = trace([0, 0, 15, 15], [20, 60, 60, 20])
    told = progress(MANUAL, heat, hard=4 * HOUR)
    assert (told.measured, told.early) == (pytest.approx(11 * HOUR), pytest.approx(4 * HOUR))
    assert any("4 h in the band came before it was hard" in str(f) for f in told.faults())
    assert progress(MANUAL, heat).faults() == []


def test_the_hottest_over_the_band_is_told() -> None:
    """One probe at 60 °C, one at 70: the hours count by the cooler, and the 70 is said."""
    cool, hot = trace([0, 16], [60, 60]), trace([0, 16], [60, 70])
    told = progress(MANUAL, [cool, hot])
    assert told.done_at is not None
    assert told.too_hot == pytest.approx(kelvin(70))
    assert any("70.0 °C was measured" in shown(f, "metric") for f in told.faults())


@pytest.mark.parametrize(("hours", "told"), [(4.1, False), (3.9, True)])
def test_a_ramp_over_the_sheets_is_told(hours: float, told: bool) -> None:
    """40 K in 4 h is 10 K an hour; a logger's half kelvin in five minutes is no ramp."""
    asked = replace(MANUAL, rise=10.0)
    found = progress(asked, trace([0, hours, hours + 15], [20, 60, 60]))
    assert (found.rise is not None) == told
    assert bool(found.faults()) == told
    noisy = [k / 12 for k in range(48)]
    assert progress(asked, trace(noisy, [20 + k % 2 / 2 for k in range(48)])).rise is None
    assert progress(MANUAL, trace([0, 0.1], [20, 60])).rise is None  # the sheet has no ramp


def test_class_wants_probes_on_the_part_checked_within_a_year() -> None:
    """Lloyd's Register, Rules for the Manufacture, Testing and Certification of Materials, July
    2022, Ch 14 Sec 5.3.9 and 5.3.10. The heat ends on 1970-01-01.
    """
    heat = heats(15)

    def unfit(*probes: Probe, days: float = 365) -> str:
        return progress(MANUAL, heat, probes=probes).unfit(days)

    good, old = Probe("A", True, date(1969, 3, 1)), Probe("B", True, date(1968, 12, 1))
    assert unfit(good) == ""
    assert "probes on the part" in unfit()
    assert "probes on the part" in unfit(good, Probe("AIR", False, date(1969, 3, 1)))
    assert "365 days: B, C" in unfit(good, old, Probe("C", True, None))
    assert unfit(old, days=0) == ""
