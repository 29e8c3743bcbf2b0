"""What the accessibility engine axe-core finds wrong with a page in the browser.

Of the package that brings the engine along only its script is used.
"""

from __future__ import annotations

from collections.abc import Sequence
from importlib.util import find_spec
from pathlib import Path

from selenium.webdriver import Chrome

CARRIER = "selenium_axe_python"
TAGS = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa")
"""WCAG 2.2, levels A and AA."""

RUN = """
const done = arguments[arguments.length - 1];
axe.run(document, {runOnly: {type: "tag", values: arguments[0]}})
  .then(done, fault => done(String(fault)));
"""


def violations(chrome: Chrome, tags: Sequence[str] = TAGS) -> list[str]:
    """One line a violation on the page shown: rule, what it is, and where it is met.

    Raises:
        AssertionError: the engine failed, or ran no rule.
    """
    chrome.execute_script(_engine())
    found = chrome.execute_async_script(RUN, list(tags))
    assert isinstance(found, dict), found
    assert found["passes"], "no rule was run"
    return [
        f"{each['id']}: {each['help']}: {[node['target'][0] for node in each['nodes']]}"
        for each in found["violations"]
    ]


def _engine() -> str:
    spec = find_spec(CARRIER)
    assert spec is not None
    assert spec.submodule_search_locations is not None
    folder = Path(next(iter(spec.submodule_search_locations)))
    return (folder / "axe-core" / "axe.min.js").read_text(encoding="utf-8")
