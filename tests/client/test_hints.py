"""What to type: after a refusal, and beside a warning, for each field that its words name."""

from __future__ import annotations

import shlex
from typing import Any

import click
import pytest
from cureyard_client import embedded, hints
from cureyard_client.exits import Refused, Stopped
from cureyard_client.main import program
from cureyard_client.rendering import gates
from cureyard_client.rendering.columns import View
from cureyard_client.settings import Settings

from .. import makers
from ..putting import by_commands
from .conftest import Hand
from .test_rendering_layups import VIEW

ALL = [*hints.OF_FIELD.values(), *hints.OF_SLUG.values()]


@pytest.mark.parametrize("typed", ALL)
def test_each_command_exists_with_its_options(typed: str) -> None:
    """What is printed can be typed."""
    words = shlex.split(typed)[1:]
    command: click.Command = program
    while isinstance(command, click.Group):
        found = command.get_command(click.Context(command), words.pop(0))
        assert found is not None, typed
        command = found
    options = {name for param in command.params
               for name in (*param.opts, *param.secondary_opts)}  # fmt: skip
    assert {word for word in words if word.startswith("--")} <= options
    arguments = [p for p in command.params if isinstance(p, click.Argument) and p.required]
    assert len([word for word in words if not word.startswith("-")]) >= len(arguments)


def test_what_is_known_is_filled_in() -> None:
    """The rest stays as a word in capitals."""
    words = "Enter the drum's date as 'expires_on', or the product's 'shelf_life'."
    assert hints.to_type(words, {"lot": 7}) == [
        "cureyard lot set 7 --expires-on DATE",
        "cureyard product set PRODUCT --shelf-life TIME",
    ]
    assert hints.to_type("Enter it as 'expires_on'.", {"lot": "LAM/B 7"}) == [
        "cureyard lot set 'LAM/B 7' --expires-on DATE"
    ]
    assert hints.to_type("Say 'lost', or give another percent.", {}) == []


def test_a_refusal_is_followed_by_what_to_type() -> None:
    """After the advice, a line for each command."""
    problem = {
        "type": "http://localhost/problems/authority-missing",
        "detail": "Nobody has said whether job 26-014 is structural.",
        "advice": "Set the job's 'structural' to no, or to yes with its 'authority'.",
        "job": "26-014",
    }
    refused = Refused(409, problem)
    refused.commands = hints.refusal(problem, refused.advice, {})
    assert refused.lines()[1:] == [
        "Set the job's 'structural' to no, or to yes with its 'authority'.",
        "Type: cureyard job set 26-014 --structural no",
        "Or: cureyard job set 26-014 --structural yes --authority TEXT",
        "Or: cureyard job override 26-014 authority REASON",
    ]


def test_a_field_is_named_as_its_option() -> None:
    """Of the command that is printed beside it; a word that is typed as it stands stays."""
    (told,) = hints.added(["Enter the least hardness, as 'hardness_min'."], product="LAM")
    assert told == (
        "Enter the least hardness, as --hardness-min. "
        "Type: cureyard product set LAM --hardness-min NUMBER"
    )
    (plain,) = hints.added(["Read it: 'humidity_percent'."], bay="SHED")
    assert plain.startswith("Read it: 'humidity percent'.")
    assert hints.added(["Note it as 'solvent_wipe'."]) == ["Note it as 'solvent_wipe'."]


def test_a_sheet_s_first_two_options_are_named(embedded: Hand) -> None:
    """A one-part sealant without its mix and its surface."""
    told = embedded("product", "add", "SEAL", "--name", "S", "--role", "adhesive",
                    "--cured-depth", "3 mm", "24 h", "23 degC", "50", exits=2)  # fmt: skip
    assert "Give --mix, such as one_part, and --surface;" in told


def test_a_percent_of_a_part_is_named_as_it_is_typed(embedded: Hand) -> None:
    """After an at sign, not as a field of the interface."""
    by_commands(embedded, **makers.yard(), **makers.shelf())
    told = embedded("plan", "days", "SHED", "--step", "Plies", "LAM", "60 min", exits=2)
    assert "Give @PERCENT, as in LAM-PE@1.5." in told


def test_signing_is_refused_with_the_whole_line(embedded: Hand) -> None:
    """Each point with its words; what was left before stays in the line, and it can be typed."""
    by_commands(embedded, **makers.yard(), **makers.shelf())
    embedded("job", "need", "D-7", "LAM", "1 kg")
    embedded("job", "need", "D-7", "PEROX", "0.1 kg")
    refused = embedded("job", "sign", "D-7", "--leave", "need:1", "next boat", exits=1)
    assert "need:2: 100 g of PEROX is needed" in " ".join(refused.split())
    (line,) = (each for each in refused.splitlines() if each.startswith("Type: "))
    assert line == "Type: cureyard job sign D-7 --leave need:1 'next boat' --leave need:2 REASON"
    embedded(*shlex.split(line)[2:])


def test_several_errors_are_all_served() -> None:
    """Each by its own words, its own slug and its own facts."""
    several = [
        {"slug": "authority-missing", "detail": "It names no 'authority'.", "job": "D-7"},
        {"slug": "unsound-below", "detail": "Layup 3 is wet. Wait."},
    ]
    found = hints.refusal({"type": "x/problems/validation", "errors": several}, "", {})
    assert found == [
        "cureyard job set D-7 --structural yes --authority TEXT",
        "cureyard job override D-7 authority REASON",
    ]
    assert hints.refusal({"errors": "broken", "type": 3}, "", {}) == []
    assert hints.refusal({"errors": [None, {"detail": None}]}, "", {}) == []


def test_a_gate_says_what_to_type() -> None:
    """With the job that was asked about."""
    gate: dict[str, Any] = {
        "gate": "humidity", "before": "laminating", "verdict": "caution", "overridden": None,
        "found": "Nobody measured the humidity lately.", "source": "Common practice",
        "change": "Read the hygrometer, and enter its 'humidity_percent'.",
    }  # fmt: skip
    needs = {**gate, "gate": "resin-warm", "change": "Enter what the job 'needs'."}
    answer = {"job": "D-7", "verdict": "caution", "title": "Plain", "gates": [gate, needs]}
    told = " ".join(gates.shown(answer, View(200, VIEW.now)))
    assert "Type: cureyard bay read BAY TEMP --humidity PERCENT" in told
    assert "Type: cureyard job need D-7 PRODUCT QUANTITY" in told


def test_typed_at_a_yard(embedded: Hand) -> None:
    """A product, a delivery and an extension ask for what they lack."""
    told = embedded("product", "add", "COB", "--name", "Promoter", "--role", "promoter")
    assert "Type: cureyard product set COB --shelf-life TIME" in told.replace("\n  ", " ")
    told = embedded("lot", "receive", "COB", "1 kg", "--number", "P-1").replace("\n  ", " ")
    assert "Type: cureyard lot set 1 --expires-on DATE, or: cureyard product set COB" in told
    embedded("product", "set", "COB", "--shelf-life", "90 d")
    told = embedded("lot", "extend", "COB/P-1", "--until", "2099-01-01", "--reason", "x", exits=2)
    assert told.endswith("Type: cureyard lot set COB/P-1 --expires-on DATE\n")


def test_a_store_that_does_not_answer() -> None:
    """The setting that has its address is named by the command line, not by the store."""
    with pytest.raises(Stopped) as stopped:
        embedded.open_service(Settings(database="postgresql://nobody@127.0.0.1:9/none", zone="UTC"))
    assert stopped.value.advice.startswith("Install it") or (
        "The address is in CUREYARD_DATABASE." in stopped.value.advice
    )
