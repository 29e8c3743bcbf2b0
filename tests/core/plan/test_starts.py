"""The windows of one layer begun at each of many starts: those of its milestones."""

from __future__ import annotations

from dataclasses import replace
from math import inf

import numpy as np
import pytest
from cureyard_service.core.cure.clocks import Doubt
from cureyard_service.core.cure.forecast import milestones
from cureyard_service.core.cure.layer import LaidPot, Layer
from cureyard_service.core.cure.recoat import window
from cureyard_service.core.plan.starts import windows
from cureyard_service.core.products.cure_sheet import CureSheet, StageTime
from cureyard_service.core.products.gel_law import undosed
from hypothesis import given, settings
from hypothesis import strategies as st

from ..makers import (
    EPOXY,
    EXACT,
    HOUR,
    POLYESTER,
    WAXED,
    belief,
    laid_at,
    layer,
    stalled_at,
    trace,
)  # fmt: skip

QUICK = replace(POLYESTER, closes_after=14 * HOUR, cold_max=2 * HOUR)
SHORT = replace(
    POLYESTER, surface="plain", stages=(("recoat_opens", StageTime(HOUR)),), gel_points=()
)


def made(sheet: CureSheet, application: float, factor: float) -> Layer:
    """A layer of a sheet, so many hours in the laying."""
    if sheet is SHORT:
        bare = undosed(sheet.reference_temperature)
        pots = (LaidPot(None, belief(bare, factor), 0),)
        return Layer(sheet, bare, pots, application * HOUR, "plain")
    return layer(sheet, finished=application * HOUR, factor=factor)


@settings(max_examples=80)
@given(
    st.sampled_from([POLYESTER, WAXED, EPOXY, QUICK, SHORT]),
    st.lists(st.floats(4, 32), min_size=2, max_size=10),
    st.lists(st.floats(0, 50), min_size=1, max_size=6),
    st.floats(0, 3),
    st.sampled_from([0.8, 1.0, 1.3]),
    st.floats(0, 5),
)
def test_each_start_has_the_window_of_its_milestones(
    sheet: CureSheet,
    celsius: list[float],
    hours: list[float],
    application: float,
    factor: float,
    uncertainty: float,
) -> None:
    """Opening, closing, hardness and the cold stall, start by start, to a second."""
    lived = trace([6 * n for n in range(len(celsius))] + [60, 400], [*celsius, 20, 20])
    laid, doubt = made(sheet, application, factor), Doubt.steady(uncertainty)
    found = windows(laid, lived, doubt, np.array(hours) * HOUR)
    for k, hour in enumerate(hours):
        alone = laid_at(laid, hour * HOUR)
        seen = milestones(alone, lived, doubt)
        opens, closes = found.opens[k], found.closes[k]
        bonded = (opens, closes) if opens < closes and opens < inf else None
        assert bonded == (window(seen) and pytest.approx(window(seen), rel=1e-4))
        covered = milestones(replace(alone, cover="film"), lived, doubt)
        hard = covered["sandable" if sheet is not SHORT else "full_cure"].latest
        assert found.ready[k] == pytest.approx(inf if hard is None else hard, rel=1e-4)
        stalled = stalled_at(alone, lived, uncertainty)
        assert found.stalled[k] == pytest.approx(inf if stalled is None else stalled, abs=0.01)


def test_a_waxed_surface_has_no_window_but_can_be_abraded() -> None:
    """Once the wax has risen nothing bonds; it is abraded when it is hard."""
    found = windows(layer(WAXED), trace([0, 400], [20, 20]), EXACT, np.array([0.0]))
    assert found.opens[0] == inf
    assert found.closes[0] == -inf
    assert 6 * HOUR < found.ready[0] < 10 * HOUR


def test_a_hand_s_look_at_the_layer_is_not_one_at_the_next() -> None:
    """The plan asks of a layer to come: what was seen of one like it says nothing."""
    plain, starts = replace(POLYESTER, surface="plain"), np.array([0.0, 5.0]) * HOUR
    lived = trace([0, 400], [20, 20])
    seen = layer(plain, cup_gelled_at=0.2 * HOUR, opened_at=HOUR)
    for name in ("opens", "closes", "ready", "stalled"):
        fresh, looked = (windows(each, lived, EXACT, starts) for each in (layer(plain), seen))
        assert getattr(looked, name) == pytest.approx(getattr(fresh, name))
    assert fresh.opens[1] - fresh.opens[0] == pytest.approx(5 * HOUR, abs=1)


def test_a_bond_of_several_is_asked_for_more_surely() -> None:
    """Each of two at 97.5 %: it opens later and shuts sooner."""
    lived, start = trace([0, 400], [20, 20]), np.array([0.0])
    plain = replace(POLYESTER, surface="plain")
    one, two = (windows(layer(plain), lived, EXACT.of_bonds(n), start) for n in (1, 2))
    assert EXACT.of_bonds(2).sure == pytest.approx(0.975)
    assert one.opens[0] < two.opens[0] < two.closes[0] < one.closes[0]


@settings(max_examples=40)
@given(
    st.sampled_from([POLYESTER, EPOXY, QUICK]),
    st.lists(st.floats(4, 32), min_size=2, max_size=10),
    st.lists(st.floats(0, 50), min_size=2, max_size=6),
    st.floats(0.5, 5),
)
def test_a_start_has_the_same_window_in_any_company(
    sheet: CureSheet, celsius: list[float], hours: list[float], kelvins: float
) -> None:
    """Whether another start's window has to be narrowed changes nothing for this one."""
    lived = trace([60 * k / (len(celsius) - 1) for k in range(len(celsius))], celsius)
    asked, one, doubt = np.array(hours) * HOUR, layer(sheet, finished=HOUR), Doubt.steady(kelvins)
    together = windows(one, lived, doubt, asked)
    alone = [windows(one, lived, doubt, asked[k : k + 1]) for k in range(len(asked))]
    for name, column in vars(together).items():
        each = np.concatenate([vars(single)[name] for single in alone])
        assert column == pytest.approx(each, abs=0.1)
