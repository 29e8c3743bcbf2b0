"""Refusals: each kind tells itself apart, and several faults are told at once."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import cureyard_service
import pytest
from cureyard_service.core import errors
from cureyard_service.core.errors import Invalid, Refusal, Refusals, TooCold, gather

FLOORS = Path(cureyard_service.__file__).parent
COMMAND = re.compile(r"cureyard [a-z]|CUREYARD_|[\s(]--[a-z]")


def _texts(file: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value


def _kinds(root: type[Refusal] = Refusal) -> Iterator[type[Refusal]]:
    for kind in root.__subclasses__():
        yield kind
        yield from _kinds(kind)


def test_every_kind_of_refusal_has_a_slug_of_its_own() -> None:
    """Only the general ones share 'validation'; any other pair would be told apart by nobody."""
    slugs = [kind.slug for kind in _kinds() if kind not in (Invalid, Refusals)]
    assert len(slugs) == len(set(slugs))
    assert "validation" not in slugs
    assert all(slug == slug.lower() and " " not in slug for slug in slugs)


def test_every_kind_of_refusal_says_what_it_means() -> None:
    """The first line is its title; without a docstring of its own a class would have none."""
    explained = [kind.__doc__ for kind in _kinds()]
    assert all(explained)
    assert len(set(explained)) == len(explained)


@pytest.mark.parametrize("floor", ["core", "acts", "store"])
def test_no_words_name_a_command(floor: str) -> None:
    """They are for every client; the command line adds what to type."""
    files = sorted((FLOORS / floor).rglob("*.py"))
    assert files
    assert [text for file in files for text in _texts(file) if COMMAND.search(text)] == []


def test_every_refusal_in_the_module_is_a_refusal() -> None:
    """Nothing public there escapes the one table that gives each slug a status."""
    public = [thing for thing in vars(errors).values() if isinstance(thing, type)]
    raised = [kind for kind in public if issubclass(kind, Exception)]
    ours = {kind for kind in _kinds() if kind.__module__ == errors.__name__}
    assert set(raised) == {Refusal, *ours}


def test_a_refusal_carries_words_a_place_and_facts() -> None:
    """What the client shows and what a program reads stay apart."""
    refusal = TooCold("9 °C is too cold.", advice="Warm it.", pointer="/temperature", least=13)
    assert str(refusal) == refusal.detail == "9 °C is too cold."
    assert (refusal.advice, refusal.pointer) == ("Warm it.", "/temperature")
    assert refusal.fields == {"least": 13}


def test_gathering_nothing_is_no_fault() -> None:
    """A check that found nothing passes in silence."""
    gather()
    gather(None, None)


def test_one_fault_is_raised_as_itself() -> None:
    """One fault keeps its own slug instead of hiding in a list of one."""
    fault = TooCold("Too cold.")
    with pytest.raises(TooCold) as caught:
        gather(None, fault)
    assert caught.value is fault


def test_several_faults_are_raised_together_in_order() -> None:
    """A person mends them all at once, top down."""
    first, second = TooCold("Too cold."), Invalid("No number.")
    with pytest.raises(Refusals) as caught:
        gather(first, None, second)
    assert caught.value.refusals == [first, second]
    assert caught.value.detail == "2 things are wrong"
