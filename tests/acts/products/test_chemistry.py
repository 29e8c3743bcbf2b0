"""Chemistry that the records know: a mat's binder, an epoxy's fillers, an old hull below.

Common practice, no source.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.cure.change_layup import change_layup
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.cure.show import LayupView
from cureyard_service.acts.estimates import laminate, taper
from cureyard_service.acts.jobs import need, usage
from cureyard_service.acts.products.product import change_product
from cureyard_service.acts.stock import draw
from cureyard_service.acts.wall import now as what_now
from cureyard_service.acts.yard import finding
from cureyard_service.core.words import shown

from .. import sample_yard as yard
from ..sample_yard import HAND, NOW, H, q

pytestmark = pytest.mark.usefixtures("books")


def bound(binder: str) -> None:
    """The mat's binder."""
    change_product(finding.product("MAT"), binder=binder, fibre_fraction=Decimal("0.3"),
                   now=NOW, hand=HAND)  # fmt: skip


def about(told: Any, word: str) -> list[str]:
    """Its warnings and cautions with a word in them."""
    return [each for each in (*getattr(told, "warnings", ()), *told.cautions) if word in each]


def drawn() -> None:
    """Two metres of mat, of the job."""
    yard.receive("MAT", "30 m")
    draw.draw(kind="draw", product="MAT", quantity=q("2 m"), job="D-7", now=NOW, hand=HAND)


def epoxied(**facts: Any) -> dict[str, Any]:
    """A pot of epoxy."""
    yard.receive("EPOX", "5 kg")
    yard.receive("HARD", "2 kg")
    return yard.pot("0.4 kg", resin="EPOX", **facts)


@pytest.mark.parametrize(
    ("binder", "said"), [("emulsion", True), ("powder", True), ("none", False)]
)
def test_bound_mat_under_epoxy_is_said_with_the_pot_and_the_layup(binder: str, said: bool) -> None:
    """While the pot is wet it still helps; polyester dissolves the binder, and hears nothing."""
    bound(binder)
    drawn()
    pot = epoxied()
    assert bool(about(pot, "MAT: its")) == said
    assert bool(about(yard.laid(pot.id), f"{binder} binder")) == said
    assert about(yard.laid(pot.id, kind="coat"), "binder") == []
    yard.stocked()
    assert about(yard.laid(yard.pot().id), "binder") == []


def test_mat_that_is_only_needed_is_said_too() -> None:
    """Before it is drawn there is time to buy another; of another job it is nothing."""
    bound("powder")
    wanted = [{"product": "MAT", "quantity": q("1 m")}]
    need.add_needs(finding.job("S-1"), wanted=wanted, now=NOW, hand=HAND)
    assert about(epoxied(), "binder") == []
    assert about(epoxied(job="S-1"), "powder binder")


def test_an_estimate_says_it_of_its_stack() -> None:
    """By the product's binder; where nobody said it, of mat alone."""
    rows = [{"product": "MAT", "fabric": "mat", "count": 2}]
    hole = {"length": 120_000.0}

    def cautions(resin: str) -> list[str]:
        asked: dict[str, Any] = {"stack": rows, "resin": resin}
        told = (laminate.stack(**asked), taper.taper(shape="patch", hole=hole, **asked))
        return [each for one in told for each in one.cautions if "binder" in shown(each, "metric")]

    bound("none")
    assert cautions("EPOX") == cautions("LAM") == []
    bound("emulsion")
    assert cautions("LAM") == []
    assert len(cautions("EPOX")) == 2
    rows[0] = {"areal_weight": 450_000.0, "fabric": "mat", "count": 2}
    assert all("say the product's binder" in word for word in cautions("EPOX"))
    assert len(cautions("EPOX")) == 2
    rows[0] = {"areal_weight": 600_000.0, "fabric": "woven", "count": 2}
    assert cautions("EPOX") == []


def test_an_epoxys_fillers_come_last() -> None:
    """The order stands on the card of a filled epoxy, and of no other."""
    yard.receive("MICROS", "1 kg")
    fillers = [{"product": "MICROS", "quantity": q("50 g")}]
    order = "Fillers after both parts are mixed."
    assert order in epoxied(fillers=fillers).cautions
    assert order not in epoxied().cautions
    yard.stocked()
    assert order not in yard.pot(fillers=fillers).cautions


def on(surface: str, job: str = "D-7", resin: str = "LAM") -> LayupView:
    """A layup on what is no layup of the yard's."""
    percent = {"catalyst_percent": Decimal(2)} if resin == "LAM" else {}
    return yard.laid(product=resin, job=job, over_surface=surface, **percent)


@pytest.mark.parametrize(
    ("surface", "job", "resin", "word"),
    [
        ("polystyrene", "D-7", "LAM", "Stop: styrene dissolves"),
        ("polystyrene", "D-7", "EPOX", None),
        ("old_epoxy", "D-7", "LAM", "Caution: polyester"),
        ("old_epoxy", "S-1", "LAM", "Stop: polyester"),
        ("old_epoxy", "S-1", "EPOX", None),
        ("old_polyester", "S-1", "LAM", None),
        ("old_polyester", "S-1", "EPOX", None),
        ("unknown", "D-7", "LAM", "Caution: nobody knows what lies below"),
        ("unknown", "D-7", "EPOX", None),
    ],
)
def test_the_rules_fire_on_an_old_hull(surface: str, job: str, resin: str, word: str) -> None:
    """As on a layup of the yard's own; what it lies on stands in every answer."""
    told = on(surface, job, resin)
    assert told.over_surface == surface
    found = [each for each in told.warnings if each.startswith(("Stop", "Caution"))]
    assert [word is not None and each.startswith(word) for each in found] == [True] * bool(word)
    used = usage.usage(finding.job(job), NOW).layups[0]
    assert (used.over_surface, used.warnings) == (surface, told.warnings)


def test_it_lies_on_nothing_unless_it_is_said() -> None:
    """No word then; and the rule stands after the layup was changed."""
    plain = yard.laid(product="LAM", catalyst_percent=Decimal(2))
    assert (plain.over_surface, plain.warnings) == (None, [])
    row = finding.layup(on("polystyrene").id)
    told = change_layup(row, title="Core skin", now=NOW, hand=HAND)
    assert about(told, "styrene dissolves")


def test_a_stop_is_what_to_do_first() -> None:
    """On every face that is watched, until a hand found it hard all the same."""
    layup = yard.laid(product="LAM", catalyst_percent=Decimal(2), over_surface="polystyrene").id
    (action,) = what_now.what_now(NOW).actions
    assert action.action == "probe"
    assert action.text.startswith("Stop: styrene dissolves polystyrene")
    observe_layup(finding.layup(layup), kind="thumbnail", now=NOW + 9 * H, hand=HAND)
    (action,) = what_now.what_now(NOW + 9 * H).actions
    assert action.action != "probe"
