"""The pages of a wall that has more rows than a screen: trouble stays, the rest turns."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest
from cureyard_service.web.pages import wall_rows
from hypothesis import given
from hypothesis import strategies as st


def found(trouble: int, ending: int, rest: int) -> Any:
    """So many rows of three groups, in their order."""
    groups = ["trouble"] * trouble + ["ending"] * ending + ["later"] * rest
    return [SimpleNamespace(do=SimpleNamespace(urgency=group)) for group in groups]


@pytest.mark.parametrize(
    ("count", "form"),
    [(0, "none"), (1, "few"), (4, "few"), (5, "some"), (13, "some"), (14, "many"), (99, "many")],
)
def test_forms(count: int, form: str) -> None:
    """By the number of rows."""
    assert wall_rows.form_of(count) == form


def test_what_fits_does_not_turn() -> None:
    """26 rows are one page."""
    assert wall_rows.turned_pages(found(3, 4, 19)) == (1, [None] * 26)


def test_trouble_and_few_deadlines_stay() -> None:
    """Six deadlines stay, seven turn with the rest."""
    pages, turned = wall_rows.turned_pages(found(3, 6, 30))
    assert pages == 2
    assert turned[:9] == [None] * 9
    assert turned[9:] == [1] * 17 + [2] * 13
    _, turned = wall_rows.turned_pages(found(3, 7, 30))
    assert turned[:3] == [None] * 3
    assert set(turned[3:10]) == {1}


def test_more_trouble_than_stays_turns_first() -> None:
    """Twelve stay, a line says how many more there are, and those come at the head of the pages."""
    pages, turned = wall_rows.turned_pages(found(17, 0, 20))
    assert turned[:12] == [None] * 12
    assert turned[12:17] == [1] * 5
    assert pages == 2
    assert turned.count(1) == 26 - 12 - 1


@given(st.integers(0, 60), st.integers(0, 40), st.integers(0, 200))
def test_every_row_has_its_turn_on_a_full_screen(trouble: int, ending: int, rest: int) -> None:
    """No page has more rows than a screen, with the line of more trouble; none is empty."""
    pages, turned = wall_rows.turned_pages(found(trouble, ending, rest))
    line = pages > 1 and trouble > wall_rows.TROUBLE_STAYS
    stays = turned.count(None) + line
    for page in range(1, pages + 1):
        assert stays + turned.count(page) <= wall_rows.MANY
        assert turned.count(page) > 0 or pages == 1
    assert len(turned) == trouble + ending + rest
