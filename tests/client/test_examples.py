"""Every example of every command's help runs as it stands, at a yard that it fits."""

from __future__ import annotations

import re
import shlex
import shutil
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import click
import pytest
from click.testing import CliRunner, Result
from cureyard_client import clock, embedded
from cureyard_client.asking import Start
from cureyard_client.main import COMMANDS, program
from cureyard_client.settings import Settings
from cureyard_service.acts.cure.observe import KINDS as LAYUP_KINDS
from cureyard_service.acts.pots.card import KINDS as POT_KINDS
from cureyard_service.web.context import settings as service_settings

from .. import pictures
from ..workbooks import as_workbook

NOW = datetime(2026, 3, 20, 13, tzinfo=UTC)

STAGES = {
    "nothing": (),
    "a catalyst": ("product add PEROX-9 --name Peroxide --role catalyst --density '1.15 kg/L'",),
    "a catalogue": (
        "product add LAM-PE --name Polyester --role resin --chemistry polyester "
        "--density '1.1 kg/L' --shelf-life '180 d' --mix catalysed --surface air_inhibited "
        "--with PEROX-9 --reference '20 degC' 2 --gel-time '20 degC' 2 '15-20 min' "
        "--gel-time '20 degC' 1 '32-40 min' --percent-min 1 --percent-max 3 "
        "--apply-min '15 degC' --cure-min '8 degC' --recoat-opens '2 h' --recoat-closes '24 h' "
        "--sandable '8 h' --pot-max '5 kg' --post-cure '55 degC' '65 degC' '15 h'",
        "product add MAT-450 --name Mat --role reinforcement --areal-weight '450 g/m2' "
        "--width '1.25 m'",
        "product add TAPE --name Tape --role reinforcement --areal-weight '300 g/m2' "
        "--width '0.15 m'",
        "product add MICROS --name Microballoons --role filler --bulk-density '0.15 kg/L' "
        "--particle-density '0.25 kg/L' --consistency sags '1 part' "
        "--consistency 'holds a ridge' '1.5 parts'",
        "product add SEAL-1 --name Sealant --role adhesive --chemistry polyurethane --mix one_part "
        "--surface plain --cured-depth '3 mm' '24 h' '23 degC' 50 --skin-time '60 min'",
        "product add PLY-12 --name Plywood --role sheet --length '2.44 m' --width '1.22 m'",
    ),
    "stock": (
        "bay add SHED --title Shed --day '20 degC' --night '20 degC' "
        "--day-from 07:00 --day-until 18:00",
        "bay add TENT --title Tent --day '24 degC' --night '24 degC' "
        "--day-from 07:00 --day-until 18:00",
        "bay add STORE --title Store --day '15 degC' --night '15 degC' "
        "--day-from 07:00 --day-until 18:00",
        "lot receive LAM-PE '40 kg' --number B-2207 --expires-on 2027-01-31",
        "lot receive PEROX-9 '2 kg' --number 14",
        "lot receive MAT-450 '30 m' --number 7731",
        "lot receive MICROS '3 kg' --number C-3",
        "job open 26-014 --title Stem --craft Teal --structural no",
    ),
    "work": (
        *("mix LAM-PE '1 kg' --temperature '20 degC' --percent 1.5 --job 26-014 --at 10:20",) * 12,
        *(
            f"layup start 26-014 'Plies {n}' --kind laminate --bay SHED --batch {n} --at 10:25"
            for n in (1, 2, 3)
        ),
    ),
}
"""What a yard has, one stage upon the other."""

FITTING = {
    "bay add": "a catalogue", "product add": "a catalyst", "lot receive": "a catalogue",
    "job open": "a catalogue", "job close": "stock", "job sign": "stock", "yard set": "nothing",
    "import products": "nothing", "lot extend": "stock",
}  # fmt: skip
"""The stage that a command's examples run at; the last one where it is not said."""

TEST = "lot test LAM-PE/B-2207 --catalyst-lot PEROX-9/14 --mass '100 g' --temperature '20 degC' "
METER = "meter add CAP-1 --title Meter --kind capacitance --scale-to 100 --mode deep"
READ = "moisture read 26-014 keel 58 57 59 --meter CAP-1 --mode deep --surface '15 degC'"
BEFORE = {
    "return LAM-PE": ("draw --lot LAM-PE/B-2207 '1 kg' --job 26-014",),
    "return MAT": ("draw MAT-450 '3 m' --job 26-014",),
    "return PLY": (
        "lot receive PLY-12 '4 pieces' --number 5",
        "draw PLY-12 '1 piece' --job 26-014",
    ),
    "lot release": ("lot hold LAM-PE/B-2207 --reason sun",),
    "finding": (
        "finding add 26-014 keel --side port --kind crack --length '9 mm' --width '2 mm' "
        "--found-by eye",
    ),
    "meter show": (METER,),
    "meter list": (METER,),
    "moisture": (METER, READ),
    "surface": ("surface note 26-014 rain",),
    "leak undo": ("leak test 26-014 keel '880 hPa' '850 hPa' --first-at '10 min ago'",),
    "leak list": ("leak test 26-014 keel '880 hPa' '850 hPa' --first-at '10 min ago'",),
    "lot extend": (TEST + "--percent 2 --gel '17 min' --second-gel '17.5 min'",),
    "restore": ("backup yard-2026-11-25.backup",),
    "job plan": ("plan days SHED --abrade '60 min' --step Plies LAM-PE@1.5 '90 min' --job 26-014",),
    "layup probe 3 TENT --undo": ("layup probe 3 TENT",),
    "layup observe 4 wet_film": (
        "layup start 26-014 Coat --kind coat --bay SHED --product LAM-PE --catalyst PEROX-9 "
        "--percent 2",
    ),
    "layup undo 2": ("layup observe 2 gelled --at 10:50",),
    "layup start": ("mix LAM-PE '1 kg' --temperature '20 degC' --percent 1.5 --job 26-014",),
    "batch undo": ("batch observe 12 lost",),
    "bay undo": ("bay read SHED '19.5 degC' --at 12:30",),
    "job sign 26-014 --leave": ("job need 26-014 MAT-450 '2 m'",),
    "sequence": ("sequence keep INNER-SKIN --step Plies laminate '90 min'",),
    "plan days SHED --sequence": ("sequence keep INNER-SKIN --step Plies laminate '90 min'",),
    "photo": ("job photo 26-014 stem.jpg --shows stem",),
    "job reopen": ("job close 26-014 --reason 'the owner took her'",),
    "undo": ("draw MAT-450 '3 m' --job 26-014",),
    "logbook": ("lot hold LAM-PE/B-2207 --reason sun",),
    "calendar list": ("calendar subscribe",),
    "calendar revoke": ("calendar subscribe",),
}
"""What is done first, for the examples that begin so."""

ELSEWHERE = {
    "listen": "runs until it is interrupted: journeys/test_listen",
    "import readings logger.csv --bay SHED --follow": "runs so too: journeys/test_follow",
    "serve": "runs until it is told to stop: test_serve, journeys",
    "prove --head": "of a head that only that store had: test_books",
    "move-store": "to a PostgreSQL of somebody's: test_books",
    "now --watch": "draws until it is interrupted: test_watching",
    "token": "lets nobody in who has no token from then on: test_tokens",
    "phone": "of a yard that is served to its network: test_phone, journeys/test_phone",
    "demo": "test_demo",
    "lot counts": "of somebody's who is no lead: journeys/test_roles",
    "lot accept": "of a count by somebody else than a lead: journeys/test_roles",
}
"""Examples that are held to run in a test of their own."""


def examples() -> list[str]:
    """Every example, each as one line without the program's name and without a redirection."""
    ctx = program.make_context("cureyard", ["--help"], resilient_parsing=True)
    texts = [each.help or "" for name in COMMANDS for each in leaves(ctx, name)]
    lines = (line.strip() for text in texts for line in text.replace("\\\n", " ").splitlines())
    found = [line.removeprefix("cureyard ") for line in lines if line.startswith("cureyard ")]
    return [re.split(r"\s+>", line)[0] for line in found]


def leaves(ctx: click.Context, name: str) -> Iterator[click.Command]:
    """A command, or a noun's own ones."""
    command: Any = program.get_command(ctx, name)
    if isinstance(command, click.Group):
        for each in command.list_commands(ctx):
            inner = command.get_command(ctx, each)
            assert inner is not None
            yield inner
    else:
        yield command


@pytest.fixture(scope="module")
def stages(tmp_path_factory: pytest.TempPathFactory) -> Iterator[dict[str, Path]]:
    """A store for each stage."""
    folder = tmp_path_factory.mktemp("stages")
    with pytest.MonkeyPatch.context() as patch:
        stand_still(patch)
        stores: dict[str, Path] = {}
        before = folder / "none"
        for number, (name, lines) in enumerate(STAGES.items()):
            stores[name] = folder / f"{number}.sqlite"
            if before.exists():
                shutil.copy(before, stores[name])
            for line in lines or ("yard show",):
                done = typed(line, stores[name])
                assert done.exit_code == 0, f"{line}\n{done.output}"
            embedded.close()
            before = stores[name]
        yield stores


def stand_still(patch: pytest.MonkeyPatch) -> None:
    """Both clocks show one moment: an example may say a time of today, or a date."""
    patch.setattr(clock, "now", lambda: NOW)
    stopped = SimpleNamespace(time=NOW.timestamp)
    patch.setattr(service_settings, "time", stopped)


def typed(line: str, store: Path, columns: str = "100") -> Result:
    """A line as a hand types it; what one command prints may be piped into the next."""
    start = Start(given=Settings(database=str(store), zone="UTC", hand="Ines"))
    first, *others = re.split(r"\s+\|\s+cureyard ", line)
    done = CliRunner().invoke(program, shlex.split(first), obj=start, env={"COLUMNS": columns})
    for each in others:
        done = CliRunner().invoke(
            program, shlex.split(each), input=done.stdout, obj=start, env={"COLUMNS": columns}
        )
    return done


def first(table: dict[str, Any], line: str, default: Any) -> Any:
    """What a table says of a line by its beginning."""
    return next((value for key, value in table.items() if line.startswith(key)), default)


@pytest.mark.parametrize("line", [x for x in examples() if not first(ELSEWHERE, x, None)])
def test_an_example_runs(
    line: str, stages: dict[str, Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It ends well, and says something."""
    stand_still(monkeypatch)
    monkeypatch.chdir(tmp_path)
    store = tmp_path / "yard.sqlite"
    shutil.copy(stages[first(FITTING, line, "work")], store)
    files(tmp_path)
    try:
        for each in first(BEFORE, line, ()):
            done = typed(each, store)
            assert done.exit_code == 0, f"{each}\n{done.output}"
        done = typed(line, store)
        assert done.exit_code == 0, f"{line}\n{done.output}"
        assert done.stdout
    finally:
        embedded.close()


def files(folder: Path) -> None:
    """The files that examples name."""
    (folder / "catalogue.csv").write_text("code,name,role\nX,x,sundry\n", encoding="utf-8")
    (folder / "logger.csv").write_text(
        "at,temperature (degC)\n2026-03-19 07:00,18.5\n", encoding="utf-8"
    )
    table = "product,number,quantity (m)\r\nMAT-450,9,3\r\n"
    for number, name in enumerate(("stem", "taper", "core", "label", "blister")):
        (folder / f"{name}.jpg").write_bytes(pictures.jpeg((number, 100, 90)))
    (folder / "deliveries.xlsx").write_bytes(as_workbook(table, "lots"))


LISTINGS = (
    "batch list", "batch show 12", "bay list", "bay show SHED", "job list", "job show 26-014",
    "job needs 26-014", "job signature 26-014", "job usage 26-014",
    "job gates 26-014 --bay SHED", "layup list", "layup show 1", "logbook", "lot list",
    "lot show MAT-450/7731", "now", "product list", "product show LAM-PE", "prove", "shopping",
    "trace LAM-PE/B-2207", "yard show",
    "dose LAM-PE '2 kg' --bay SHED --gel '25 min'",
    "plan pots LAM-PE '6 kg' --bay SHED --gel '30 min' --spread '1 kg' --in '6 min'",
)  # fmt: skip


@pytest.mark.parametrize("columns", [40, 60])
@pytest.mark.parametrize("line", LISTINGS)
def test_a_narrow_screen(
    line: str, columns: int, stages: dict[str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """No line runs over the edge."""
    stand_still(monkeypatch)
    try:
        done = typed(line, stages["work"], str(columns))
        assert done.exit_code == 0, done.output
        assert [x for x in done.stdout.splitlines() if len(x) > columns] == []
    finally:
        embedded.close()


@pytest.mark.parametrize(
    "path",
    [
        "",
        "lot",
        "job",
        "layup",
        "plan",
        "lot receive",
        "layup observe",
        "plan days",
        "mix",
        "import",
    ],
)
def test_help_on_a_narrow_screen(path: str) -> None:
    """Help wraps too; only an example stands as it is typed."""
    done = CliRunner().invoke(program, [*path.split(), "--help"], env={"COLUMNS": "40"})
    prose, _, rest = done.stdout.partition("Example")
    options = rest.partition("Options:")[2]
    assert [x for x in (prose + options).splitlines() if len(x) > 40] == []
    assert "..." not in prose.replace("ARGS]...", "").replace("SIZES...", "")


@pytest.mark.parametrize(("path", "kinds"), [("layup", LAYUP_KINDS), ("batch", POT_KINDS)])
def test_help_says_what_each_sign_means(path: str, kinds: tuple[str, ...]) -> None:
    """Every word that the service takes for what was seen, in the order in which it comes."""
    done = CliRunner().invoke(program, [path, "observe", "--help"])
    listed = done.stdout.partition("SEEN is one of:")[2].partition("Example")[0]
    told = [line.split(maxsplit=1) for line in listed.strip().splitlines()]
    assert tuple(kind for kind, _ in told) == kinds
