"""What the program prints, and what people write, is taken when it is typed."""

from __future__ import annotations

import json
from typing import Any

import click
import pytest
from cureyard_client.main import COMMANDS, program
from cureyard_client.options.common import Choice, number
from cureyard_client.rendering import amounts
from cureyard_service.core.amounts import quantities
from hypothesis import given
from hypothesis import strategies as st

from .. import makers
from ..putting import by_commands
from .at_server import sent
from .conftest import Hand

RECEIVE = ("lot", "receive", "LAM-PE", "20 kg", "--number", "B-1")


def _commands() -> list[click.Command]:
    context = program.make_context("cureyard", ["--help"], resilient_parsing=True)
    found: list[click.Command] = []
    waiting = [program.get_command(context, name) for name in COMMANDS]
    while waiting:
        each = waiting.pop()
        if isinstance(each, click.Group):
            waiting += [each.get_command(context, name) for name in each.list_commands(context)]
        elif each is not None:
            found.append(each)
    return found


OPTIONS = [param for command in _commands() for param in command.params]


def test_days_and_moments_have_one_spelling() -> None:
    """A day's option ends in -on, a moment's in -at; the service's own names of times differ."""
    days = {max(p.opts, key=len) for p in OPTIONS if p.metavar == "DATE"}
    assert days == {
        "--made-on", "--expires-on", "--received-on", "--opened-on", "--needed-on", "--closed-on",
        "--checked-on",
    }  # fmt: skip
    moments = {o for p in OPTIONS for o in p.opts if p.metavar == "TIME" and o.endswith("at")}
    assert moments == {
        "--at", "--finished-at", "--first-at", "--prepared-at", "--start-at", "--taped-at",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("new", "old", "rest"),
    [("--expires-on", "--until", ["lot", "extend", "id:7", "--reason", "x"]),
     ("--needed-on", "--by", ["job", "need", "D-7", "WAX", "1 kg"])],
)  # fmt: skip
def test_an_earlier_name_is_taken(server: Any, new: str, old: str, rest: list[str]) -> None:
    """Both mean the same; help shows the new one alone."""
    bodies = [sent(server, *rest, name, "2026-03-04").json for name in (new, old)]
    assert bodies[0] == bodies[1]
    command = next(p for p in OPTIONS if getattr(p, "old", None) == old)
    assert old not in command.opts


@pytest.mark.parametrize("param", [p for p in OPTIONS if isinstance(p.type, Choice)])
def test_a_choice_in_words(param: click.Parameter) -> None:
    """With spaces or dashes, in any case."""
    for word in param.type.choices:  # type: ignore[attr-defined]
        for typed in (word.replace("_", " "), word.upper(), word.replace("_", "-").title()):
            assert param.type.convert(typed, param, None) == word


@given(st.decimals(0, 100, places=3).map(float))
def test_a_percent_as_printed(value: float) -> None:
    """With its sign."""
    assert number(amounts.percent(value)) == pytest.approx(value)


@given(st.decimals(0, 99_999, places=2).map(float), st.sampled_from(["EUR", "GBP"]))
def test_an_amount_of_money(value: float, code: str) -> None:
    """As printed, and with its sign before or after it."""
    from cureyard_client.commands.lot import _money

    sign = {"EUR": "€", "GBP": "£"}[code]
    printed = amounts.money({"amount": value, "currency": code})
    for text in (printed, f"{sign}{value:.2f}", f"{value:.2f} {sign}", f"{code} {value:.2f}"):
        assert _money(text) == {"amount": value, "currency": code}


@pytest.mark.parametrize("text", ["142.50", "$142.50", "€142.50 EUR", "€", "1,425 EUR", "EUR"])
def test_no_money(server: Any, text: str) -> None:
    """Without its currency, or with a sign or a comma that may mean two things."""
    from .at_server import typed

    assert typed(server, *RECEIVE, "--cost", text).exit_code == 2
    assert server.requests == []


def test_a_price_with_a_sign(server: Any) -> None:
    """And with a comma before the cents."""
    cost = sent(server, *RECEIVE, "--cost-per", "4,60 €/kg").json["cost_per"]
    assert cost == {"amount": 4.6, "currency": "EUR", "per": "kg"}


@given(st.integers(0, 400 * 1440))
def test_a_time_as_printed(minutes: int) -> None:
    """`3 d 4 h` is read back: whole hours from a day on, whole minutes below."""
    printed = amounts.minutes(minutes)
    shown = minutes if minutes < 1440 else minutes // 60 * 60
    assert quantities.parse(printed, quantities.TIME) == shown * 60


KINDS = [k for k in quantities.KINDS if k not in (quantities.TIME, quantities.GEL_TIME)]


@given(st.sampled_from(KINDS), st.sampled_from(["us", "metric"]), st.integers(174, 300))
def test_an_amount_as_printed(kind: quantities.Kind, system: Any, value: int) -> None:
    """With the signs of its unit, such as °C and m²; to the last place that is printed."""
    value = value if kind is quantities.TEMPERATURE else value % 50 + 1
    number = value * {"K": 1, "Pa": 1000}.get(kind.base, 1_000_000)
    shown: Any = quantities.show(number, kind, system)
    printed = amounts.amount(shown)
    again = quantities.show(quantities.parse(printed, kind), kind, system)
    close = 0.06 if shown["unit"] in ("degC", "degF", "g") else 0.001
    assert again["unit"] == shown["unit"]
    assert again["value"] == pytest.approx(shown["value"], abs=close)


def test_lots_with_slashes_and_spaces(embedded: Hand) -> None:
    """Each is found by its number, with its product, and with its container."""
    by_commands(embedded, products=[makers.mat("MAT-450")])
    for number_ in ("I-8841/2", "LOT 12 A", "A/B/3"):
        embedded(
            "lot", "receive", "MAT-450", "1 m", "--number", number_, "--expires-on", "2099-01-01"
        )
        lot = json.loads(embedded("lot", "show", number_, "--json"))
        for name in (f"MAT-450/{number_}", f"MAT-450/{number_}/1"):
            assert json.loads(embedded("lot", "show", name, "--json"))["id"] == lot["id"]
        assert number_ in embedded("lot", "list")


def test_two_lots_with_one_name_are_told_apart(embedded: Hand) -> None:
    """`X/2` may be container 2 of X: both are named, none is taken."""
    by_commands(embedded, products=[makers.mat("MAT-450")])
    dates = ("--expires-on", "2099-01-01")
    embedded("lot", "receive", "MAT-450", "1 m", "--number", "X/2", *dates)
    embedded("lot", "receive", "MAT-450", "1 m", "--number", "X", "--container", "2", *dates)
    told = embedded("lot", "show", "MAT-450/X/2", exits=2)
    assert "id:1" in told
    assert "id:2" in told


def test_a_shelf_life_in_months(embedded: Hand) -> None:
    """Twelve of them are a year."""
    embedded("product", "add", "WAX", "--name", "Wax", "--role", "sundry", "--shelf-life",
             "12 months")  # fmt: skip
    told = json.loads(embedded("product", "show", "WAX", "--json"))
    assert told["shelf_life"] == {"value": 365.25 * 24, "unit": "h"}


def test_seen_in_words(embedded: Hand) -> None:
    """The service takes a choice in words too."""
    embedded("product", "add", "VE", "--name", "Vinyl ester", "--role", "resin", "--chemistry",
             "Vinyl ester", "--density", "1.1 kg/L")  # fmt: skip
    assert json.loads(embedded("product", "show", "VE", "--json"))["chemistry"] == "vinyl_ester"
