"""From a hole's size to the plies cut, stock kept, what to buy, and the days: at a server."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

import pytest

from .conftest import Hand
from .story import RESIN

TEXT = "{http://www.w3.org/2000/svg}text"

YARD = (
    "product add PEROX-9 --name Peroxide --role catalyst --density '1.15 kg/L'",
    RESIN,
    "product add MAT-450 --name Mat --role reinforcement --areal-weight '450 g/m2' "
    "--width '1.25 m' --fibre-fraction 0.3",
    "bay add SHED --title Shed --day '20 degC' --night '18 degC' "
    "--day-from 07:00 --day-until 19:00",
    "lot receive MAT-450 '2 m' --number M-7",
    "job open 26-014 --title 'Hole below the chine' --craft 'the dory Teal' --structural yes "
    "--authority 'the builder'",
)


@pytest.fixture
def yard(tmp_path: Path) -> Hand:
    """A yard with a roll of mat, no resin on the shelf, and a job."""
    hand = Hand.at(tmp_path, zone="Europe/Lisbon", hand="Ines")
    for line in YARD:
        hand.types(line)
    return hand


def test_from_the_hole_to_the_days(yard: Hand, tmp_path: Path) -> None:
    """Each answer goes into the next command as it stands."""
    with yard.serving() as url:
        hand = Hand({**yard.environment, "CUREYARD_URL": url})
        hole = "--hole '300 mm' --width '200 mm' --shape oval --thickness '5 mm' --ratio 12"
        taper = hand.types(f"plan taper {hole} --ply MAT-450 mat 5 --resin LAM-PE --json")
        plies = taper.json["plies"]
        assert len(plies) == 5

        drawing = tmp_path / "cuts.svg"
        cuts = hand.types(
            f"plan roll MAT-450 --fabric mat --taper - --need 26-014 --needed-on 2999-01-04 "
            f"--svg {drawing}",
            given=taper.out,
        )
        assert "From lot M-7, container 1" in cuts.out
        for ply in plies:
            assert f"taper {ply['ply']} " in cuts.out
        words = {text.text for text in ElementTree.parse(drawing).iter(TEXT)}
        assert {str(ply["ply"]) for ply in plies} <= words

        area = taper.json["area"]["value"] / 5
        hand.types(f"plan laminate --ply '450 g/m2' mat 5 --resin LAM-PE --area '{area:.3f} m2' "
                   "--need 26-014 --needed-on 2999-01-04")  # fmt: skip
        needs = hand.types("job needs 26-014 --json").json["needs"]
        mat = next(need for need in needs if need["product"] == "MAT-450")
        assert mat["reserved"]["value"] == mat["quantity"]["value"] > 0

        shopping = hand.types("shopping --json").json["items"]
        assert {item["product"] for item in shopping} == {"LAM-PE", "PEROX-9"}

        days = hand.types("plan days SHED --abrade '60 min' --step 'Plies 1-5' LAM-PE@1.5 '2 h' "
                          "--step 'Grind flush' work '2 h' --job 26-014")  # fmt: skip
        assert "Grind flush" in days.out
        assert "Grind flush" in hand.types("job plan 26-014").out
