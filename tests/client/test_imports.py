"""What is not needed is not imported: the program answers at once."""

from __future__ import annotations

import shlex
import subprocess
import sys
from typing import Any

import pytest
from click.testing import CliRunner
from cureyard_client import embedded
from cureyard_client.main import COMMANDS, program

HEAVY = ("flask", "peewee", "pint", "numpy", "rich", "marshmallow", "cureyard_service")

PROGRAM = """
import sys
sys.argv = ["cureyard", *{arguments!r}]
from cureyard_client.main import main
try:
    main()
except SystemExit as ended:
    assert not ended.code, ended.code
print("imported:", *sorted(sys.modules))
"""


def imported_by(*arguments: str) -> set[str]:
    """The modules that a run of the program imports, in a process of its own."""
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM.format(arguments=arguments)],
        capture_output=True,
        text=True,
        check=True,
    )
    return set(done.stdout.rpartition("imported:")[2].split())


@pytest.mark.parametrize("arguments", [("--help",), ("--version",)])
def test_help_imports_click_alone(arguments: tuple[str, ...]) -> None:
    """The listing imports neither what the client nor what the service is made of."""
    assert imported_by(*arguments).isdisjoint({*HEAVY, "requests", "platformdirs"})


def test_a_commands_help_asks_no_service() -> None:
    """Help of one command imports that command."""
    assert imported_by("now", "--help").isdisjoint({*HEAVY, "requests"})


@pytest.mark.parametrize(
    ("arguments", "body"),
    [
        (("now",), {"at": "2026-03-04T10:00:00+00:00", "order": [], "actions": [], "layups": [],
                    "pots": [], "lots": {}, "bays": []}),
        (("lot", "list"), {"items": [], "next": None}),
        (("product", "add", "X", "--name", "x", "--role", "sundry"),
         {"code": "X", "name": "x", "role": "sundry"}),
    ],
)  # fmt: skip
def test_a_remote_call_imports_no_service(
    server: Any, arguments: tuple[str, ...], body: dict[str, Any]
) -> None:
    """A call to a server imports requests, and nothing that the server is made of."""
    server.answer(server.reply(body))
    found = imported_by("--url", server.url, *arguments)
    assert "requests" in found
    assert found.isdisjoint(HEAVY)


YARD = """
product add PEROX --name Peroxide --role catalyst --chemistry ketone_peroxide \\
  --density "1.15 kg/L" --active-oxygen 9 --peroxide-type mekp --shelf-life "365 d" --life-type I
product add LAM --name Laminating --role resin --chemistry polyester --density "1.1 kg/L" \\
  --shelf-life "180 d" --life-type II --mix catalysed --surface air_inhibited --with PEROX \\
  --reference "20 degC" 2 --gel-time "20 degC" 2 "18-20 min" --percent-min 1 --percent-max 3
lot receive LAM "20 kg" --number L-1 --expires-on 2099-01-01
lot receive PEROX "1 kg" --number P-1 --expires-on 2099-01-01
job open D-7 --title Stem --craft Teal --structural no
"""


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> str:
    """A store in a file, with a resin to dose and a job to draw for."""
    file = str(tmp_path_factory.mktemp("kept") / "yard.sqlite")
    for line in YARD.replace("\\\n", "").strip().splitlines():
        done = CliRunner().invoke(program, ["--database", file, *shlex.split(line)])
        assert done.exit_code == 0, done.output
    embedded.close()
    return file


@pytest.mark.parametrize(
    "line",
    [
        'dose LAM "500 g" --temperature "20 degC" --percent 2',
        "lot list",
        "job show D-7",
        'draw LAM "1 kg" --job D-7',
    ],
)
def test_an_embedded_command_imports_what_it_uses(kept: str, line: str) -> None:
    """No arrays, no parser of units, no driver, no client of HTTP, nothing that describes."""
    found = imported_by("--database", kept, *shlex.split(line))
    assert found >= {"flask", "marshmallow", "peewee"}
    assert found.isdisjoint(
        {"numpy", "pint", "psycopg", "requests", "urllib3", "apispec", "flask_smorest", "yaml"}
    )


UNUSED_BY_A_DOSE = (
    "acts.bays.air", "acts.cure.budget", "acts.pots.budget", "acts.pots.laid",  # no bay is named
    "acts.pots.mix", "acts.stock.lot", "acts.stock.draw",  # nothing is drawn
    "acts.products.product", "acts.products.cure_sheet_views",  # the catalogue is not shown
    "acts.yard.permissions", "acts.yard.tokens",  # nobody overrides, no token is made
    "core.cure.bracket", "core.cure.chance", "core.cure.cure_clock", "core.cure.layer",  # no layup
    "core.cure.night", "core.cure.touch", "core.plan", "core.estimates",
    "store.cure.layups", "store.cure.pots", "store.photographs", "store.stock.signatures",
    "web.http.entrance", "web.http.forms", "web.pages",  # no page is asked for
    "web.http.keys", "web.http.still",  # nothing is written, and the answer has no ETag
)  # fmt: skip
"""Each costs a third of a thousandth of a second, and more by what it imports itself."""


def test_a_dose_reads_no_cure_clock(kept: str) -> None:
    """A dose at a given temperature imports what doses, and nothing that cures, plans or shows."""
    line = 'dose LAM "500 g" --temperature "20 degC" --percent 2'
    own = {
        name.removeprefix("cureyard_service.")
        for name in imported_by("--database", kept, *shlex.split(line))
        if name.startswith("cureyard_service.")
    }
    assert own >= {"acts.pots.dose", "core.pots.dosing", "acts.pots.look_up"}
    unused = tuple(f"{name}." for name in UNUSED_BY_A_DOSE)
    assert [name for name in sorted(own) if f"{name}.".startswith(unused)] == []


COLLECTED = """
import gc, sys
looks = []
gc.callbacks.append(lambda when, told: looks.append("cureyard_client.embedded" in sys.modules))
sys.argv = ["cureyard", *{arguments!r}]
from cureyard_client.main import main
try:
    main()
finally:
    print("collected:", sum(looks), gc.get_freeze_count(), len(gc.get_objects()))
"""


@pytest.mark.parametrize("line", ["now", "job show D-7"])
def test_nobody_looks_for_garbage_among_imports(kept: str, line: str) -> None:
    """Not while the service is imported, nor at the end: either is a tenth of a short command.

    What is frozen the interpreter does not look through as it ends (docs.python.org, `gc.freeze`).
    """
    arguments = ("--database", kept, *shlex.split(line))
    done = subprocess.run(
        [sys.executable, "-c", COLLECTED.format(arguments=arguments)],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    looks, frozen, left = map(int, done.stdout.rpartition("collected:")[2].split())
    assert looks == 0
    assert left < 1000 < 50_000 < frozen


def test_the_listing_tells_the_truth() -> None:
    """Each command's line in the listing is the first line of its own help."""
    context = program.make_context("cureyard", ["--help"], resilient_parsing=True)
    for name, (_, text) in COMMANDS.items():
        command = program.get_command(context, name)
        assert command is not None
        assert command.name == name
        assert (command.help or "").splitlines()[0].removesuffix(" \\") == text


def test_every_command_has_an_example() -> None:
    """Help of each command shows it being used."""
    context = program.make_context("cureyard", ["--help"], resilient_parsing=True)
    missing = []
    for name in COMMANDS:
        command: Any = program.get_command(context, name)
        for each in getattr(command, "commands", {name: command}).values():
            if f"cureyard {name}" not in (each.help or ""):
                missing.append(f"{name} {each.name}")
            options = {option for param in each.params for option in param.opts}
            if not {"--json", "--units"} <= options:
                missing.append(f"{name} {each.name}: --json, --units")
    assert missing == []


def test_a_mistyped_command() -> None:
    """The nearest names are offered, for a noun's commands too; exit 2."""
    done = CliRunner().invoke(program, ["layupp"])
    assert done.exit_code == 2
    assert "Did you mean 'layup'" in done.stderr
    done = CliRunner().invoke(program, ["lot", "recieve"])
    assert done.exit_code == 2
    assert "'receive'" in done.stderr
    assert "cureyard --help" in CliRunner().invoke(program, ["xyzzy"]).stderr
