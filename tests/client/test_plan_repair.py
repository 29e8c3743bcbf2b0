"""`cureyard plan taper`, `laminate`, `plies` and `tabbing`: typed, and taken to the part."""

from __future__ import annotations

import json
from functools import partial

import pytest

from .conftest import Hand


@pytest.fixture
def plan(embedded: Hand) -> Hand:
    """Somebody who types `cureyard plan …`: a call gives what is printed."""
    return partial(embedded, "plan", columns=100)


def test_a_patch_to_take_to_the_part(plan: Hand) -> None:
    """What to grind, each ply's size to mark on the cloth, and what the order means."""
    printed = plan("taper", "--hole", "120 mm", "--width", "80 mm", "--shape", "oval",
                   "--thickness", "6 mm", "--plies", "4").splitlines()  # fmt: skip
    assert printed[0] == "grind    72 mm a side, 6 mm deep"
    assert printed[5] == "ply  shape  length   width  past the edge"
    assert printed[6] == "  1  oval   264 mm  224 mm          72 mm"
    assert printed[9] == "  4  oval   156 mm  116 mm          18 mm"
    assert any(line.startswith("- Largest first. The first ply bonds") for line in printed)


def test_a_seam_short_of_room_in_inches(plan: Hand) -> None:
    """12:1 on 1/4 in is 3 in; an inch of room is 4:1, and a stop."""
    printed = plan("taper", "--seam", "4 ft", "--thickness", "1/4 in", "--ratio", "12",
                   "--room", "1 in", "--ply", "1/8 in", "-", "2", "--units", "us")  # fmt: skip
    assert "grind    3 in a side, 0.25 in deep" in printed
    assert "verdict  stop" in printed
    assert "The short side gets 4.0:1." in printed
    assert "  1  3.175 mm cured  strip   48 in   4 in           3 in        1 in" in printed


def test_a_hole_with_corners_in_another_order(plan: Hand) -> None:
    """Smallest first, corners growing with the plies, from both faces."""
    printed = plan("taper", "--hole", "200 mm", "--width", "100 mm", "--corner", "10 mm",
                   "--thickness", "4 mm", "--plies", "2", "--sides", "2",
                   "--order", "smallest_first", "--structural", "no")  # fmt: skip
    assert "  1  1     rectangular  248 mm  148 mm   34 mm          24 mm" in printed
    assert "  2  2     rectangular  248 mm" in printed
    assert "lay      smallest first, ply 1, 2" in printed


def test_what_the_plies_leave_of_the_skin(plan: Hand) -> None:
    """Left over or proud, in the yard's own units."""
    stack = ("taper", "--seam", "1 m", "--ply", "1/8 in", "-", "2", "--units", "us")
    assert "left over  0.125 in" in plan(*stack, "--thickness", "3/8 in")
    assert "proud    0.05 in" in plan(*stack, "--thickness", "0.2 in")


def test_a_stack_counted_both_ways(plan: Hand) -> None:
    """Used first, the other under it, then the plies."""
    printed = plan("laminate", "--ply", "0.75 oz/ft2", "mat", "1", "--ply", "17 oz/yd2",
                   "multidirectional", "1", "--area", "1 m2")  # fmt: skip
    assert printed.index("each ply by its own fibre") < printed.index("as one combination")
    assert "thickness  1.24 mm" in printed
    assert "thickness  1.28 mm" in printed
    assert "takes      805.3 g of fibre, 1.11 kg of resin" in printed


def test_plies_for_a_thickness(plan: Hand) -> None:
    """How many, and the thickness left over in words."""
    printed = plan("plies", "6.35 mm", "--ply", "450gsm", "mat", "1",
                   "--ply", "600 g/m2", "woven", "1")  # fmt: skip
    assert "plies      6" in printed
    assert "- 0.87 mm is left over" in printed


def test_a_part_taped_in(plan: Hand) -> None:
    """Strips in the order laid, and the putty in millilitres."""
    printed = plan("tabbing", "1.8 m", "--plies", "3", "--leg", "100 mm", "--radius", "12 mm",
                   "--sides", "2")  # fmt: skip
    assert "  1       2  1800 mm  195 mm  100 mm" in printed
    assert "putty   111 mL" in printed
    turned = plan("tabbing", "1.8 m", "--plies", "3", "--leg", "100 mm", "--narrowest-first")
    assert "  1       1  1800 mm  100 mm   50 mm" in turned
    assert "putty" not in turned


def test_the_service_s_own_answer(plan: Hand) -> None:
    """`--json` is what the service said."""
    printed = plan("taper", "--seam", "1 m", "--thickness", "6 mm", "--plies", "2", "--json")
    assert json.loads(printed)["ground_width"] == {"value": 72.0, "unit": "mm"}


def test_a_narrow_screen(plan: Hand) -> None:
    """Nothing is wider than the screen."""
    printed = plan("taper", "--seam", "1 m", "--ply", "450 g/m2", "mat", "3", columns=50)
    assert max(map(len, printed.splitlines())) <= 50


@pytest.mark.parametrize(
    "line",
    [
        ["taper", "--plies", "2", "--thickness", "6 mm"],
        ["taper", "--seam", "1 m", "--hole", "1 m", "--plies", "2", "--thickness", "6 mm"],
        ["taper", "--seam", "1 m"],
        ["taper", "--seam", "1 m", "--plies", "2", "--thickness", "6"],
        ["taper", "--seam", "1 m", "--plies", "2", "--thickness", "6 mm", "--ratio", "0.5"],
        ["taper", "--seam", "1 m", "--ply", "NONE", "-", "2"],
        ["laminate"],
        ["laminate", "--ply", "450 g/m2", "mat", "some"],
        ["laminate", "--ply", "450 g/m2", "tweed", "1"],
        ["plies", "6 mm"],
        ["tabbing", "1 m", "--plies", "9", "--leg", "50 mm"],
    ],
)
def test_wrong_usage_exits_with_2(plan: Hand, line: list[str]) -> None:
    """What was wrong is said, and the exit says that it was the asking."""
    assert plan(*line, exits=2)


def test_a_cored_panel_to_open(plan: Hand) -> None:
    """From the hole outwards, then what beds the core and fills its kerfs."""
    printed = plan("cored", "100 mm", "--inner", "3 mm", "--outer", "4 mm", "--core", "20 mm",
                   "--bedding", "1.5 mm", "--kerf", "2 mm", "--pitch", "30 mm")  # fmt: skip
    assert printed.splitlines()[:4] == [
        "inner skin  grind 36 mm a side, out to 172 mm across",
        "core        open 222 mm across, 0.039 m²",
        "outer skin  grind 48 mm a side, out to 318 mm across",
        "verdict     pass",
    ]
    assert "kerfs       100 mL, 2.58 mm deep over the panel" in printed


def test_what_beds_a_core_is_weighed(embedded: Hand, plan: Hand) -> None:
    """Resin and catalyst, the waste in them: 2 L of 1.1 kg/L at 2.2 %, and 15 % more."""
    embedded("product", "add", "PEROX-9", "--name", "Peroxide", "--role", "catalyst",
             "--density", "1.15 kg/L", "--active-oxygen", "9")  # fmt: skip
    embedded("product", "add", "BED", "--name", "Bedding resin", "--role", "resin",
             "--chemistry", "polyester", "--density", "1.1 kg/L", "--mix", "catalysed",
             "--with", "PEROX-9", "--percent-min", "1", "--percent-max", "2.2",
             "--reference", "20 degC", "2", "--gel-time", "20 degC", "2", "20 min",
             "--surface", "air_inhibited")  # fmt: skip
    printed = plan("cored", "950 mm", "--width", "950 mm", "--inner", "3 mm", "--outer", "3 mm",
                   "--core", "20 mm", "--bedding", "1.6 mm", "--product", "BED")  # fmt: skip
    assert printed.count(" of BED") == 1
    assert " of PEROX-9" in printed


def test_a_plain_core_in_an_oblong_hole(plan: Hand) -> None:
    """No mix is printed where nothing is bedded."""
    printed = plan("cored", "8 in", "--width", "5 in", "--inner", "1/8 in", "--outer", "1/8 in",
                   "--core", "3/4 in", "--units", "us")  # fmt: skip
    assert "inner skin  grind 1.5 in a side, out to 11 in × 8 in" in printed
    assert "mix  " not in printed


def test_what_a_bag_takes(plan: Hand) -> None:
    """Film and tape with their pleats."""
    assert plan("bag", "1.2 m", "600 mm").splitlines()[:4] == [
        "film      1.62 m², pleats in it",
        "peel ply  0.91 m²",
        "breather  0.91 m²",
        "tape      5.28 m, pleats in it",
    ]
