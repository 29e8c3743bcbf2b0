"""One word a state: the terminal's table, the pages' and the developers' agree."""

from __future__ import annotations

import ast
import re
from pathlib import Path
from typing import get_args

import pytest
from cureyard_client.rendering import states
from cureyard_service.core.cure.signs import Sign
from cureyard_service.web.context import state_words

HOUSE = Path(__file__).parents[2]
CLIENT, TEMPLATES = HOUSE / "client", HOUSE / "service" / "web" / "templates"

DISTINCT = sorted({words for words in states.WORDS.values() if " " in words})
"""Words that mean a state where they stand alone; 'wet' or 'late' are words of other things too."""
SECOND = ("late to gel", "suspect mix", "window past", "never sandable", "handling cure")
"""Second words for states, of before there was one table."""


def test_the_tables_agree() -> None:
    """The same slugs and the same words in both."""
    assert state_words.WORDS == states.WORDS


def test_every_sign_has_its_words() -> None:
    """Whatever the service answers as a state."""
    assert set(get_args(Sign)) <= set(states.WORDS)


def test_the_developers_table_agrees() -> None:
    """DEVELOPERS.md lists them for whoever writes a sentence."""
    text = (HOUSE / "DEVELOPERS.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| ((?:`[a-z_]+`(?:, )?)+) \| ([a-z ]+) \|", text, re.M)
    listed = {slug: words for slugs, words in rows for slug in re.findall(r"`(\w+)`", slugs)}
    assert {slug: listed.get(slug) for slug in states.WORDS} == states.WORDS


@pytest.mark.parametrize("path", sorted(CLIENT.rglob("*.py")), ids=lambda path: path.stem)
def test_no_other_module_spells_a_state(path: Path) -> None:
    """A module of the client takes its words from the table."""
    if path.name == "states.py":
        return
    text = path.read_text(encoding="utf-8")
    tree = ast.walk(ast.parse(text))
    texts = {node.value for node in tree if isinstance(node, ast.Constant)}
    assert texts.isdisjoint(DISTINCT)
    assert [words for words in SECOND if words in text] == []


@pytest.mark.parametrize("path", sorted(TEMPLATES.glob("*.html")), ids=lambda path: path.stem)
def test_no_other_template_spells_a_state(path: Path) -> None:
    """Nor does a page."""
    text = path.read_text(encoding="utf-8")
    alone = re.findall(rf"[\"'>]\s*({'|'.join(DISTINCT)})\s*[\"'<]", text)
    assert [*alone, *(words for words in SECOND if words in text)] == []


def test_a_forecast_is_worded_as_one() -> None:
    """Until a hand has seen it."""
    forecast = {"sign": "recoat_open", "state": ["gelled", "recoat_open"], "seen": []}
    assert states.of(forecast) == ["window open", "should be gelled"]
    assert not states.is_seen(forecast)
    seen = {**forecast, "seen": ["gelled"]}
    assert states.of(seen) == ["window open", "gelled"]
    assert not states.is_seen(seen)
    assert states.is_seen({**forecast, "seen": ["recoat_open"]})


def test_what_has_no_state_yet_is_wet() -> None:
    """In a bay too cold to gel in, before it counts as stalled."""
    assert states.of({"sign": "wet", "state": [], "seen": []}) == ["wet"]
