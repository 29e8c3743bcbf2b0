"""The program `cureyard`: its commands, each imported when it is called."""

from __future__ import annotations

import gc
import sys
from collections.abc import Callable
from typing import Any

import click

from .exits import INTERRUPTED, Stopped
from .groups import Lazy

COMMANDS = {
    "backup": ("store:backup", "Back the store up into a new file, while others go on working."),
    "batch": ("batch", "Mixed pots: list, show, note what was seen, undo that, label."),
    "bay": ("bay", "Places with their own temperature: add, read, undo, list, show, set."),
    "calendar": ("calendar", "Windows and milestones for a phone: show, subscribe, list, revoke."),
    "completion": (
        "completion",
        "Print the script that lets Tab complete commands, jobs, products, bays and lots.",
    ),
    "count": ("movements:count", "Say how much of a lot is really there."),
    "demo": ("demo", "Show a day at an invented yard, in a store of its own."),
    "dose": ("dose", "Work out the catalyst for one pot; nothing is drawn."),
    "draw": ("movements:draw", "Take stock for a job."),
    "export": ("export", "Write a table for a spreadsheet: CSV or a workbook."),
    "finding": (
        "finding",
        "Findings of a job, such as blisters and cracks: add, list, photo, undo.",
    ),
    "help": ("help", "Explain a topic, such as plan, people or safety; without TOPIC, list them."),
    "import": ("import_", "Take in a table: products, deliveries, a logger's readings."),
    "job": (
        "job",
        "Jobs: open, show, set, needs, plan, gates, override, usage, photo, sign, close, reopen.",
    ),
    "layup": (
        "layup",
        "Layups that cure: start, show, observe, probe, photo, undo, move, set.",
    ),
    "leak": ("leak", "Leak tests of a job's bags: test, list, undo."),
    "listen": ("listen", "Record what a bay's probe sends to an MQTT broker, until Ctrl-C."),
    "logbook": (
        "logbook",
        "List the decisions that people made: overrides, holds, extensions, tokens.",
    ),
    "lot": (
        "lot",
        "Lots: receive, list, show, set, hold, release, open, move, test, extend, label, photo, "
        "accept.",
    ),
    "meter": ("meter", "Moisture meters: add, list, show."),
    "mix": ("mix", "Dose a pot, draw it from stock and print its mix card."),
    "moisture": ("moisture", "How wet a boat reads: read, film, weigh, show, list, undo."),
    "move-store": ("store:move_store", "Take the store over to another database, row by row."),
    "now": (
        "now",
        "Show what to do now: recoat windows, what can be sanded, what expires soon.",
    ),
    "photo": (
        "photo",
        "Photographs: list, show, save, undo. To add one: 'job photo', 'layup photo', 'lot photo'.",
    ),
    "phone": ("phone", "Phones in the yard's network: add, list, remove."),
    "plan": ("plan", "Plan a repair: what to grind, cut, mix and buy, and on which days."),
    "product": ("product", "The catalogue with its cure sheets: add, list, show, set."),
    "prove": ("store:prove", "Check the books, and that nothing was changed past the program."),
    "restore": ("store:restore", "Put a backup in the store's place; the old one is kept."),
    "return": ("movements:bring_back", "Bring back what a job did not use."),
    "scrap": ("movements:scrap", "Write off stock, with the reason."),
    "serve": ("serve", "Serve the store to other machines and programs."),
    "sequence": ("sequence", "Steps kept by name for 'plan days': keep, list, show."),
    "shopping": (
        "shopping",
        "Show what to buy, by supplier: what open jobs lack, and what is below its reorder point.",
    ),
    "surface": (
        "surface",
        "What happened to the surfaces of a job, such as rain or a wash: note, list, undo.",
    ),
    "token": ("token", "Who may use the yard, and in which role: add, list, revoke, keep."),
    "trace": ("trace", "Show where a lot went: every pot, layup and job."),
    "undo": ("undo", "Undo the last thing that you entered, or a line of the ledger."),
    "yard": (
        "yard",
        "The yard's time zone, units, currency, address, gates and sureness: show, set.",
    ),
    "use": ("use", "Set the job and the bay of commands that name none, or show them."),
}
"""For each command its module and its line in the listing, which is shown without the module."""

SECTIONS = {
    "Every day": ("now", "dose", "mix", "layup", "draw", "return", "count", "batch", "undo", "use"),
    "Stock": ("lot", "product", "scrap", "shopping", "trace"),
    "Jobs and bays": ("job", "plan", "sequence", "bay", "leak", "photo", "calendar"),
    "Wetness": ("finding", "moisture", "surface", "meter"),
    "Tables and probes": ("import", "export", "listen"),
    "The yard": ("yard", "token", "phone", "logbook"),
    "The store": ("serve", "backup", "restore", "prove", "move-store"),
    "Help": ("help", "demo", "completion"),
}
"""The headings of the listing, daily work first."""


@click.command(
    "cureyard",
    cls=Lazy,
    table=COMMANDS,
    package=f"{__package__}.commands",
    sections=SECTIONS,
    context_settings={"help_option_names": ["-h", "--help"]},
)
@click.option("--url", metavar="URL", help="The server, instead of CUREYARD_URL.")
@click.option("--database", metavar="FILE", help="The store, instead of CUREYARD_DATABASE.")
@click.option("--zone", metavar="ZONE", help="A new yard's time zone, such as Europe/Lisbon.")
@click.option("--hand", metavar="NAME", help="Your name for the records, instead of your login.")
@click.version_option(package_name="cureyard")
@click.pass_context
def program(ctx: click.Context, /, **flags: str | None) -> None:
    """Materials by lot, catalyst doses and cure times for a composite repair yard.

    It keeps a store on this machine, or uses a server's if CUREYARD_URL is set. Every command
    has --json for a program's answer, and --help with an example.

    Start with: cureyard demo, and for all else: cureyard help
    """
    from .asking import Start

    if ctx.obj is None:
        ctx.obj = Start(flags)


def run(start: Callable[[], Any]) -> int:
    """Run the program, and return its exit code."""
    try:
        ended = start()
    except click.ClickException as error:
        error.show()
        return error.exit_code
    except click.Abort:
        return INTERRUPTED
    return ended if isinstance(ended, int) else 0


def main() -> None:
    """Run `cureyard` from a shell."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):  # so that a screen without ° or ² still shows the answer
            stream.reconfigure(errors="replace")
    status = run(lambda: program.main(_arguments(), "cureyard", standalone_mode=False))
    gc.freeze()  # the process ends: looking through all that it holds would take a tenth of it
    sys.exit(status)


def _arguments() -> list[str]:
    arguments = sys.argv[1:]
    try:
        "".join(arguments).encode()
    except UnicodeEncodeError as error:
        raise Stopped("What you typed is not readable text.", "Type it again.") from error
    return arguments
