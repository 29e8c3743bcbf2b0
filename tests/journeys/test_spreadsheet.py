"""A yard's spreadsheet: out as a workbook, into another store, and out again alike."""

from __future__ import annotations

from pathlib import Path

from .conftest import Hand

CATALOGUE = """\
code,name,role,density (kg/L),shelf life (d),reorder at,unit
LAM-PE,"Laminating, promoted",resin,1.1,180,20,kg
PEROX-9,=1+1,catalyst,1.15,365,,
MAT-450,Chopped strand mat,reinforcement,,,30,m
"""
SHELF = """\
Product;Number;Quantity (kg);Received on;Expires on;Cost;Currency
LAM-PE;0012;20,5;31/03/2026;31/12/2026;90;EUR
PEROX-9;P-14;1;31/03/2026;;;
"""
LOG = "Shed\n#;Date;Time;Celsius(°C)\n" + "".join(
    f"{n};{1 + n // 24:02d}/03/2026;{n % 24:02d}:00:00;{15 + n % 7},5\n" for n in range(700)
)


def test_a_spreadsheet_there_and_back(tmp_path: Path) -> None:
    """What one yard exports, another takes in and exports alike; a second time adds nothing."""
    yards = (Hand.at(tmp_path / name, zone="Europe/Lisbon") for name in ("here", "there"))
    with next(yards).serving() as here, next(yards).serving() as there:
        hands = (Hand.at(tmp_path / "hand", url=url, hand="Ines") for url in (here, there))
        there_and_back(tmp_path, *hands)


def there_and_back(tmp_path: Path, here: Hand, there: Hand) -> None:
    """From one yard's spreadsheet through its store into the other's."""
    (tmp_path / "p.csv").write_text(CATALOGUE, encoding="utf-8")
    (tmp_path / "l.csv").write_text(SHELF, encoding="utf-8")
    (tmp_path / "r.csv").write_text(LOG, encoding="latin-1")
    here.types(f"import products {tmp_path}/p.csv --yes")
    tried = here.types(f"import lots {tmp_path}/l.csv")
    assert "would add      2" in tried.out
    assert here.types("lot list --json").json["items"] == []
    here.types(f"import lots {tmp_path}/l.csv --yes")
    for hand in (here, there):
        hand.types("bay add SHED --title Shed --day '20 degC' --night '15 degC' "
                   "--day-from 07:00 --day-until 19:00")  # fmt: skip
    taken = here.types(f"import readings {tmp_path}/r.csv --bay SHED --zone UTC --yes --json")
    assert taken.json["added"] == 700
    for name, kind, rows in (
        ("products", "xlsx", 3),
        ("lots", "xlsx", 2),
        ("readings", "csv", 700),
    ):
        file = f"{tmp_path}/{name}.{kind}" + " --bay SHED" * (name == "readings")
        here.types(f"export {name} {file}")
        assert there.types(f"import {name} {file} --yes --json").json["added"] == rows
        assert "nothing to add" in there.types(f"import {name} {file}").err
        again = f"export {name} -" + " --bay SHED" * (name == "readings")
        assert there.types(again).out == here.types(again).out


def test_a_bad_row_stops_the_whole_table(tmp_path: Path) -> None:
    """The row and the column are named, and nothing of the table is there."""
    hand = Hand.at(tmp_path, zone="Europe/Lisbon")
    table = tmp_path / "p.csv"
    table.write_text(CATALOGUE.replace("1.15", "heavy"), encoding="utf-8")
    for option in ("", " --yes"):
        done = hand.types(f"import products {table}{option}", exits=2)
        assert done.err.startswith("Refused: Row 3, density: 'heavy' is not a density.")
        assert "Nothing was changed." in done.err
        assert done.out == ""
    assert hand.types("product list --json").json["items"] == []
