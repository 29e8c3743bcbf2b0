"""Catalyst and gel points of guides and data sheets, and their limits.

Single figures of single sources, never a law of resin in general. Suppliers' guides and data
sheets are cited by their kind only; their makers are not named.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from cureyard_service.core.amounts import quantities
from cureyard_service.core.bays.temperature import Trace
from cureyard_service.core.cure.clocks import Doubt
from cureyard_service.core.cure.forecast import milestones
from cureyard_service.core.cure.layer import LaidPot, Layer
from cureyard_service.core.errors import CureSheetInconsistent, OutsideLimits
from cureyard_service.core.pots.dosing import dose
from cureyard_service.core.pots.pot import Dose, Pot
from cureyard_service.core.products import gel_law, sheet_checks
from cureyard_service.core.products.cure_sheet import CureSheet, GelPoint, Mix
from cureyard_service.core.products.gel_law import R, rate

G = 1000
MIN = 60.0


def kelvin(text: str) -> float:
    """A temperature as a source writes it, in K."""
    return float(quantities.parse(text, quantities.TEMPERATURE))


def point(temperature: str, percent: float | None, least: float, most: float) -> GelPoint:
    """A gel point as a source prints it: temperature, percent, minutes from and to."""
    return GelPoint(kelvin(temperature), percent, least * MIN, most * MIN)


RESIN = CureSheet(
    Mix("catalysed"),
    "air_inhibited",
    ("mekp",),
    reference_temperature=kelvin("20 degC"),
    gel_points=(point("20 degC", 2.0, 15, 20),),
    pot_max=10_000 * G,
)


def mixed(grams: float, sheet: CureSheet = RESIN, at: str = "20 degC", **asked: float) -> Dose:
    """A dose of a sheet."""
    pot = Pot(grams * G, kelvin(at), **asked)  # type: ignore[arg-type]
    return dose(pot, sheet, gel_law.fit(sheet.gel_points))


@pytest.mark.parametrize(
    ("percent", "allowed"), [(1.0, True), (2.0, True), (0.9, False), (2.1, False)]
)
def test_a_sheet_without_limits_has_one_to_two_percent(percent: float, allowed: bool) -> None:
    """A US general repair text: 1 to 2 %; outside it the cure is faulty. Marked as assumed."""
    if allowed:
        assert any("assumed" in line for line in mixed(1000, percent=percent).warnings)
        return
    with pytest.raises(OutsideLimits, match="trade's limits"):
        mixed(1000, percent=percent)


@pytest.mark.parametrize(
    ("most", "allowed"), [(3.0, True), (4.0, True), (4.1, False), (10.0, False)]
)
def test_over_four_percent_never(most: float, allowed: bool) -> None:
    """UK trade guides: 1 to 4 %, over 4 it may never cure; no sheet can ask for it."""
    sheet = replace(RESIN, percent_min=1.0, percent_max=most)
    if allowed:
        sheet_checks.check(sheet)
        return
    with pytest.raises(CureSheetInconsistent, match="never cure"):
        sheet_checks.check(sheet)


@pytest.mark.parametrize(
    ("where", "percent", "least", "most"),
    [
        ("25 degC", 1.8, 10, 17),
        ("77 degF", 1.8, 10, 17),
        ("20 degC", 2.0, 15, 20),
        ("30 degC", 1.5, 15, 25),
    ],
    ids=["gelcoat", "gelcoat-fahrenheit", "laminating", "summer-grade"],
)
def test_single_points_are_met_with_their_range(
    where: str, percent: float, least: float, most: float
) -> None:
    """A general text's gelcoat; a trade guide's pot life; a supplier's GP resin to IS 6746."""
    sheet = replace(RESIN, gel_points=(point(where, percent, least, most),))
    gel = mixed(1000, sheet, at=where, percent=percent, uncertainty=0.0).gel
    assert gel.time == pytest.approx(math.sqrt(least * most) * MIN)
    assert gel.earliest <= least * MIN * 1.0001
    assert gel.latest >= most * MIN * 0.9999


PAIR = (point("70 degF", 1.25, 30, 40), point("80 degF", 1.25, 20, 25))


@pytest.mark.parametrize(("cold", "warm", "E"), [(30, 20, 53.5), (35, 22.5, 58.3), (40, 25, 62.1)])
def test_the_best_published_pair_implies_its_energy(cold: float, warm: float, E: float) -> None:
    """A resin guide: 30-40 min at 70 °F, 20-25 at 80 °F, by the ends and the middles."""
    faster = rate(kelvin("80 degF"), E * 1e3, kelvin("70 degF"))
    assert cold / warm == pytest.approx(faster, rel=1e-3)
    assert R * math.log(cold / warm) / (
        1 / kelvin("70 degF") - 1 / kelvin("80 degF")
    ) / 1e3 == pytest.approx(E, abs=0.06)


def test_ten_fahrenheit_apart_is_too_near_to_fit() -> None:
    """5.6 K tell no energy: it is assumed, in a range that holds the pair's own 58.3."""
    law = gel_law.fit(PAIR)
    assert law.assumed == ("E", "n")
    E, u = law.system.energy
    half = math.sqrt(3) * u
    assert E - half < 58.3e3 < E + half
    for seen in PAIR:
        span = gel_law.gel_span(law, law.belief(), seen.temperature, 1.25)
        assert span.earliest <= seen.shortest
        assert span.latest >= seen.longest


def test_the_weblog_s_chart_is_refused() -> None:
    """Gelcoat at 4 %: 120 min at 5 °C, 5 min at 20 °C: 144 kJ/mol, cold and inhibitor, no law."""
    with pytest.raises(CureSheetInconsistent, match="144 kJ/mol") as caught:
        gel_law.fit((point("5 degC", 4, 120, 120), point("20 degC", 4, 5, 5)))
    assert "coldest" in caught.value.advice


def test_the_volume_shorthand_holds_only_for_water() -> None:
    """Trade guide: 1 kg at 1/2/3/4 % is 10/20/30/40 mL, at 1.0 g/mL."""
    wide = replace(RESIN, percent_min=1.0, percent_max=4.0)
    for percent in (1, 2, 3, 4):
        answer = mixed(1000, wide, percent=percent, catalyst_density=1_000_000)
        assert (answer.mass, answer.volume) == (percent * 10 * G, percent * 10 * 1000)


@pytest.mark.parametrize(("most", "measured"), [(3.0, 87_000), (2.0, 86_500)])
def test_two_percent_of_five_kilos(most: float, measured: int) -> None:
    """100 g, at 1.15 g/mL 86.96 mL and not 100: measured as 87.0, or as 86.5 where 2 % is most."""
    sheet = replace(RESIN, percent_min=1.0, percent_max=most)
    answer = mixed(5000, sheet, percent=2.0, catalyst_density=1_150_000)
    assert answer.mass == 100 * G
    assert pytest.approx(86.96, abs=0.005) == 100 / 1.15
    assert answer.volume == measured


def test_a_hundred_to_forty_by_mass() -> None:
    """An aircraft structural repair manual: 250 g of base take 100 g of hardener."""
    sheet = replace(
        RESIN, mix=Mix("two_part", (100, 40), "mass"), gel_points=(point("20 degC", None, 60, 60),)
    )
    assert mixed(250, sheet).mass == 100 * G


def test_hot_shops_halve_the_pot_life() -> None:
    """US Army TM 1-1500-204-23-1 and -23-11: above 90 °F (32 °C) half the listed pot life."""
    sheet = replace(
        RESIN, mix=Mix("two_part", (100, 25), "mass"), gel_points=(point("77 degF", None, 40, 40),)
    )
    cool, hot = (mixed(400, sheet, at=at, chemistry="epoxy") for at in ("89 degF", "91 degF"))
    assert cool.pot_at_most == cool.gel.time
    assert hot.pot_at_most == hot.gel.time / 2


def test_the_rubbery_stage() -> None:
    """Practical Action, Technical Brief: Fibreglass Boats (KnO 100378), p. 10: 30 min after set."""
    law = gel_law.fit(RESIN.gel_points)
    layer = Layer(RESIN, law, (LaidPot(2.0, law.belief(), 0.0),), 0.0, "air_inhibited")
    T = kelvin("20 degC")
    held = Trace(np.array([0.0, 1e6]), np.array([T, T]), np.array([True]))
    found = milestones(layer, held, Doubt.steady(0.0))
    assert found["trim"].at == pytest.approx((found["gel"].at or 0) + 30 * MIN)
    assert (found["trim"].at or 0) / MIN == pytest.approx(math.sqrt(15 * 20) + 30, rel=1e-4)


@pytest.mark.parametrize(("at", "warned"), [("14.9 degC", True), ("15.1 degC", False)])
def test_a_shop_is_kept_over_fifteen_degrees(at: str, warned: bool) -> None:
    """Heated to over 15 °C; under it a cup is gelled first.

    Iranian Classification Society, Rules for the Classification of FRP Ships (2014), approval of
    manufacturing process, Sec 13 Table 2.13.1.
    """
    sheet = replace(
        RESIN, gel_points=(point("15 degC", 2.0, 25, 25), point("25 degC", 2.0, 12, 12))
    )
    assert (
        any("cup first" in line for line in mixed(1000, sheet, at=at, percent=2).warnings) is warned
    )


def test_active_oxygen_scales_the_dose() -> None:
    """9 % is the usual grade: by 9/AO, one of 8 % takes an eighth more (common practice)."""
    usual = mixed(4000, target_gel=20 * MIN)
    weak = mixed(4000, target_gel=20 * MIN, strength=8 / 9)
    assert weak.percent == pytest.approx(usual.percent * 9 / 8)
