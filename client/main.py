"""The program `cureyard`: a group whose commands are imported when they are called."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from typing import Any

import click

from .exits import INTERRUPTED, Stopped
from .groups import Late

COMMANDS = {
    "backup": ("backup", "Back the store up into a new file, while others go on working."),
    "batch": ("batch", "Mixed pots: list, show, note what was seen, undo that, label."),
    "bay": ("bay", "Places with their own temperature: add, read, undo, list, show, set."),
    "calendar": (
        "calendar",
        "Windows and milestones for a phone: show, subscribe, list, revoke.",
    ),
    "completion": (
        "completion",
        "Print what makes Tab complete commands, jobs, products, bays and lots.",
    ),
    "count": ("count", "Say how much of a lot is really there."),
    "demo": ("demo", "Show a day at an invented yard, in a store of its own."),
    "dose": ("dose", "Work out the catalyst for one pot; nothing is drawn."),
    "draw": ("draw", "Take stock for a job."),
    "export": ("export_table", "Write a table for a spreadsheet: CSV or a workbook."),
    "help": ("help", "Explain a topic, such as plan, people or safety; without TOPIC, list them."),
    "import": ("import_table", "Take in a table: products, deliveries, a logger's readings."),
    "job": (
        "job",
        "Jobs: open, list, show, set, need, needs, plan, gates, override, usage, close, reopen.",
    ),
    "layup": ("layup", "What lies curing: start, list, show, observe, undo, move, set."),
    "logbook": (
        "logbook",
        "What was decided beside the rules: overrides, holds, extensions, tokens.",
    ),
    "lot": (
        "lot",
        "Lots: receive, list, show, set, hold, release, open, move, test, extend, label, accept.",
    ),
    "mix": ("mix", "Dose a pot, draw it from stock and print its mix card."),
    "move-store": ("move_store", "Take the store over to another database, row by row."),
    "now": ("now", "What to do now: windows, what can be sanded, what runs out of date."),
    "plan": ("plan", "Plan a repair: the sums, from the damage to the pots and the days."),
    "product": ("product", "The catalogue with its cure sheets: add, list, show, set."),
    "prove": ("prove", "Prove the books from their rows."),
    "restore": ("restore", "Put a backup in the store's place; the old one is kept."),
    "return": ("bring_back", "Bring back what a job did not use."),
    "scrap": ("scrap", "Write off stock, with the reason."),
    "serve": ("serve", "Serve the store to other machines and programs."),
    "shopping": (
        "shopping",
        "What to buy, by supplier: what open jobs are short of, and reorder points.",
    ),
    "token": ("token", "Who may ask, and in what role: add, list, revoke, keep."),
    "trace": ("trace", "Where a lot went: every pot, layup and job."),
    "undo": ("undo", "Undo the last thing that you entered, or a line of the ledger."),
    "yard": ("yard", "The yard's own clock, units, currency, address and gates: show, set."),
}
"""Each command's module, and its line in the listing: shown without importing it."""


@click.command(
    "cureyard",
    cls=Late,
    table=COMMANDS,
    package=f"{__package__}.commands",
    context_settings={"help_option_names": ["-h", "--help"]},
)
@click.option("--url", metavar="URL", help="A server, instead of CUREYARD_URL.")
@click.option("--database", metavar="FILE", help="A store, instead of CUREYARD_DATABASE.")
@click.option("--zone", metavar="ZONE", help="A new yard's time zone, such as Europe/Lisbon.")
@click.option("--hand", metavar="NAME", help="Who is at it, instead of the login name.")
@click.version_option(package_name="cureyard")
@click.pass_context
def program(ctx: click.Context, /, **flags: str | None) -> None:
    """Materials by lot, catalyst doses and cure times for a composite repair yard.

    Works on a store of its own, or with CUREYARD_URL on a server's. Every command has
    --json for the plain answer, and --help with an example.

    Start with: cureyard demo, and for all else: cureyard help
    """
    from .asking import Start

    if ctx.obj is None:
        ctx.obj = Start(flags)


def run(start: Callable[[], Any]) -> int:
    """Run the program and say how it ended, as an exit number."""
    try:
        ended = start()
    except click.ClickException as error:
        error.show()
        return error.exit_code
    except click.Abort:
        return INTERRUPTED
    return ended if isinstance(ended, int) else 0


def main() -> None:
    """The entry point: `cureyard`, from a shell."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):  # a screen without ° or ² still gets its answer
            stream.reconfigure(errors="replace")
    if "_CUREYARD_COMPLETE" in os.environ:
        from .completing import register

        register()
    sys.exit(run(lambda: program.main(_arguments(), "cureyard", standalone_mode=False)))


def _arguments() -> list[str]:
    arguments = sys.argv[1:]
    try:
        "".join(arguments).encode()
    except UnicodeEncodeError as error:
        raise Stopped("What was typed is not readable text.", "Type it again.") from error
    return arguments
