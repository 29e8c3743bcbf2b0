"""The grammar of quantities: what is read, how it comes back, and what never gets through."""

from __future__ import annotations

from decimal import Decimal

import pytest
from cureyard_service.core.amounts import quantities as q
from cureyard_service.core.errors import Invalid, Refusal, UnitMismatch, UnitMissing
from hypothesis import given
from hypothesis import strategies as st

SPELT = [(kind, text) for kind in q.KINDS for text in kind.spellings]

HOSTILE = [
    "9**9**9**9 kg", "1e999 kg", "1e2 kg", "nan kg", "NaN kg", "inf kg", "-inf kg", "kg", "",
    "   ", "5 kg @ 3", "1,5 kg", "1.500,5 kg", "1_000 kg", "1 200 kg", "5..5 kg", ". kg", "5. kg",
    "--5 kg", "5 - 3 kg", "(5) kg", "5 * 3 kg", "0x10 kg", "5 kg 3", "5 kg kg", "5 k g", "5kg!",
    "5 kg\n6 kg", "5\nkg", "5\tkg", "5 kg\x00", "\ufeff5 kg", "５ kg", "٥ kg", "५ kg", "½ kg",
    "1½ kg", "5 ㎏", "1/0 kg", "1-1/0 kg", "1/2/3 kg", "1 / 2 kg", "1-1 kg", "$5 kg",
    "5 kg; DROP TABLE lot", "__import__('os') kg", "{5} kg", "5 kg²", "5 kg**999999999",
    "9" * 16 + " kg", "9" * 100_000 + " kg", "5 " + "k" * 100_000, "1" + "0" * 60 + "kg",
    "5 \u202ekg", "5\u00a0kg",
]  # fmt: skip


@pytest.mark.parametrize("text", HOSTILE, ids=lambda text: repr(text[:24]))
def test_hostile_text_is_refused_with_words(text: str) -> None:
    """Expressions, powers, infinities, other scripts' digits and floods end in a refusal."""
    with pytest.raises(Refusal) as caught:
        q.parse(text, q.MASS)
    assert caught.value.advice
    assert len(caught.value.detail) < 160, "a flood is not sent back"


@given(st.text(max_size=80))
def test_any_text_is_read_or_refused(text: str) -> None:
    """Whatever is typed, the answer is a finite number in range or a refusal, never a fault."""
    for kind in q.KINDS:
        try:
            value = q.parse(text, kind)
        except Refusal:
            continue
        assert value.is_finite()
        assert kind.least <= value <= kind.most


@pytest.mark.parametrize(
    ("text", "kind", "base"),
    [
        ("12.5 kg", q.MASS, "12500000"),
        ("12.5kg", q.MASS, "12500000"),
        (" 12.5 KG ", q.MASS, "12500000"),
        ("+.5 lb", q.MASS, "226796.185"),
        ("1-1/2 lb", q.MASS, "680388.555"),
        ("1 1/2 lb", q.MASS, "680388.555"),
        ("3/4 oz", q.MASS, "21262.14234375"),
        ("1 gal", q.VOLUME, "3785411.784"),
        ("1 fl oz", q.VOLUME, "29573.5295625"),
        ("1 fl_oz", q.VOLUME, "29573.5295625"),
        ("1 qt", q.VOLUME, "946352.946"),
        ('1/4"', q.SIZE, "6350"),
        ("6'", q.LENGTH, "1828800"),
        ("10 mil", q.SIZE, "254"),
        ("3 µm", q.SIZE, "3"),
        ("3 μm", q.SIZE, "3"),
        ("1 sq ft", q.AREA, "92903.04"),
        ("1 ft^2", q.AREA, "92903.04"),
        ("1 FT²", q.AREA, "92903.04"),
        ("1 g/cm3", q.DENSITY, "1000000"),
        ("68 °F", q.TEMPERATURE, "293.15"),
        ("72F", q.TEMPERATURE, "295.3722222222222222222222222"),
        ("-5 C", q.TEMPERATURE, "268.15"),
        ("1.5 h", q.TIME, "5400"),
        ("90 min", q.GEL_TIME, "5400"),
        ("2 pcs", q.COUNT, "2000"),
        ("0 kg", q.MASS, "0"),
    ],
)
def test_what_the_trade_writes_is_read(text: str, kind: q.Kind, base: str) -> None:
    """Each row is a spelling that a hand uses, and its exact base units."""
    assert q.parse(text, kind) == Decimal(base)


@given(
    st.sampled_from(SPELT),
    st.decimals("0.001", "30", allow_nan=False, places=3),
    st.sampled_from(["", " ", "  "]),
)
def test_every_spelling_comes_back(spelt: tuple[q.Kind, str], number: Decimal, gap: str) -> None:
    """Reading a number in any accepted spelling and converting back gives that number."""
    kind, text = spelt
    if text == "k" and kind is q.TEMPERATURE:
        number += 270
    if kind is q.PRESSURE:
        number = number.scaleb(-2)  # none is over 1.1 bar
    value = q.parse(f"{number}{gap}{text}", kind)
    assert abs(q.convert(value, kind, kind.spellings[text]) - number) < Decimal("1e-20")


@given(st.sampled_from(q.KINDS), st.integers(1, 10**9), st.sampled_from(["metric", "us"]))
def test_what_is_shown_can_be_typed_back(kind: q.Kind, base: int, system: q.System) -> None:
    """An answer's value and unit, typed in, is the amount again to half its last place."""
    value = Decimal(base) / 10**9 * 40 + (273 if kind is q.TEMPERATURE else 0)
    shown = q.show(value, kind, system)
    again = q.parse(f"{Decimal(repr(shown['value'])):f} {shown['unit']}", kind)
    half = Decimal(5).scaleb(-kind.places - 1)
    unit = kind.unit(system)
    assert abs(q.convert(again, kind, unit) - q.convert(value, kind, unit)) <= half * Decimal(
        "1.01"
    )


def test_units_on_the_wire_are_fixed_and_never_scaled() -> None:
    """A gram of stock is 0.001 kg, not '1 g': a program reads one unit a field."""
    assert q.show(1000, q.MASS, "metric") == {"value": 0.001, "unit": "kg"}
    assert q.show(Decimal("453592.37"), q.MASS, "us") == {"value": 1.0, "unit": "lb"}
    assert q.show(Decimal("293.15"), q.TEMPERATURE, "us") == {"value": 68.0, "unit": "degF"}
    assert q.show(293.15, q.TEMPERATURE, "metric") == {"value": 20.0, "unit": "degC"}


def test_a_number_without_a_unit_is_refused_and_told_what_fits() -> None:
    """The commonest slip gets its own slug and the list of units."""
    with pytest.raises(UnitMissing) as caught:
        q.parse("12.5", q.MASS)
    assert "kg" in caught.value.advice


@pytest.mark.parametrize(
    ("text", "kind", "word"),
    [
        ("5 kg", q.TEMPERATURE, "is a unit of mass, not of temperature"),
        ("5 oz", q.VOLUME, "fl oz"),
        ("20 drops", q.MASS, "Drops differ"),
        ("20 drops", q.DOSE_VOLUME, "Drops differ"),
        ("5 firkin", q.VOLUME, "not a known unit of volume"),
        ("5 degC", q.MASS, "is a unit of temperature, not of mass"),
    ],
)
def test_a_unit_of_another_kind_is_named(text: str, kind: q.Kind, word: str) -> None:
    """The refusal says what the unit measures, or why it is no measure."""
    with pytest.raises(UnitMismatch, match=word):
        q.parse(text, kind)


def test_a_difference_of_temperatures_is_not_a_temperature() -> None:
    """5 °F of difference is 2.78 K; read as a thermometer it would be -15 °C."""
    assert q.parse("5 degF", q.DIFFERENCE) == Decimal(5) * 5 / 9
    assert q.parse("5 degF", q.TEMPERATURE) == Decimal("464.67") * 5 / 9
    assert q.parse("2 K", q.DIFFERENCE) == q.parse("2 delta_degC", q.DIFFERENCE) == 2


@pytest.mark.parametrize("text", ["-300 degC", "-0.01 K", "-460 degF"])
def test_colder_than_absolute_zero_is_said_so(text: str) -> None:
    """No thermometer shows that."""
    with pytest.raises(Invalid, match="absolute zero"):
        q.parse(text, q.TEMPERATURE)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("0 K", q.TEMPERATURE),
        ("-150 degC", q.TEMPERATURE),
        ("400 degC", q.TEMPERATURE),
        ("60 K", q.DIFFERENCE),
        ("101 y", q.TIME),
        ("40000 d", q.TIME),
        ("999999999999 kg", q.MASS),
        ("-1 kg", q.MASS),
        ("-1 K", q.DIFFERENCE),
    ],
)
def test_what_no_yard_meets_is_refused(text: str, kind: q.Kind) -> None:
    """Figures that would overflow a rate law, a date or the books never get that far."""
    with pytest.raises(Refusal):
        q.parse(text, kind)


def test_one_of_several_kinds_says_which_it_was() -> None:
    """A resin may be given by mass or by volume."""
    assert q.parse_any(" 1 L", (q.MASS, q.VOLUME)) == (Decimal(10**6), q.VOLUME, "1 L")
    assert q.parse_any("1 oz", (q.MASS, q.VOLUME))[1] is q.MASS
    with pytest.raises(UnitMismatch) as caught:
        q.parse_any("1 ft", (q.MASS, q.VOLUME))
    assert "kg" in caught.value.advice
    assert "gal" in caught.value.advice


def test_whole_base_units_are_the_nearest() -> None:
    """What comes in and what goes out is rounded alike; the vast is refused."""
    assert q.whole(Decimal("453592.37")) == 453_592
    assert q.whole(Decimal("28349.523125")) == 28_350
    assert q.whole(Decimal(2)) == 2
    with pytest.raises(Invalid):
        q.whole(Decimal(10) ** 21)


@given(
    st.sampled_from([q.MASS, q.LENGTH, q.COUNT, q.DENSITY]),
    st.integers(-(10**12), 10**12),
    st.sampled_from(["metric", "us"]),
)
def test_what_the_ledger_holds_is_read_back_as_itself(
    kind: q.Kind, base: int, system: q.System
) -> None:
    """Whatever is shown of a whole number of base units, to the last one."""
    shown = q.show(base, kind, system)
    again = q.parse(f"{abs(Decimal(repr(shown['value']))):f} {shown['unit']}", kind)
    assert q.whole(again) == abs(base)
    assert q.whole(q.parse(q.written(abs(base), kind, system), kind)) == abs(base)


@given(st.sampled_from([(q.MASS, "lb"), (q.LENGTH, "yd")]), st.integers(1, 10**9))
def test_what_was_typed_is_what_is_shown(typed: tuple[q.Kind, str], steps: int) -> None:
    """Up to five places of a pound or a yard, which are a base unit or more."""
    kind, unit = typed
    number = Decimal(steps) / 10**5
    kept = q.whole(q.parse(f"{number} {unit}", kind))
    assert q.show(kept, kind, "us") == {"value": float(number), "unit": unit}


def test_an_ounce_says_what_it_is_of() -> None:
    """Bare, it may be of volume or of weight; what says which is read as that."""
    kinds = (q.MASS, q.VOLUME)
    assert q.is_bare_ounce(q.parse_any("20 oz", kinds))
    assert q.is_bare_ounce(q.parse_any("1-1/2 Ounces", kinds))
    for text in ("20 fl oz", "20 oz by weight", "20 oz_by_weight", "20 g", "1 lb"):
        assert not q.is_bare_ounce(q.parse_any(text, kinds))
    assert q.parse_any("16 oz by weight", kinds).value == Decimal("453592.37")


@pytest.mark.parametrize(
    ("text", "seconds"),
    [("1 h 30 min", 5400), ("3 d 4 h", 273_600), ("2h 10min", 7800), ("1 d 1 h 1 min", 90_060)],
)
def test_a_time_in_several_units(text: str, seconds: int) -> None:
    """As answers show it, the greater unit first."""
    assert q.parse(text, q.TIME) == q.parse(text, q.GEL_TIME) == seconds


@pytest.mark.parametrize("text", ["30 min 1 h", "1 h 30", "1 h -30 min", "1 kg 3 h", "1 h 30 kg"])
def test_no_time_in_several_units(text: str) -> None:
    """In another order, without a unit, or with a unit of another kind."""
    with pytest.raises(Refusal):
        q.parse(text, q.TIME)
