"""`cureyard undo`: take back the last entry, as far as the store still allows."""

from __future__ import annotations

import click

from ..answers import Record
from ..api import Answer, at
from ..asking import Ask, asks
from ..exits import Forbidden, Stopped
from ..rendering import pots, stock, undo
from ..withdrawals import (
    OF_JOB,
    withdraw_layup,
    withdraw_observation,
    withdraw_of_job,
    withdraw_photograph,
    withdraw_reading,
)


@click.command("undo")
@click.argument("number", required=False, type=click.IntRange(1))
@click.option("--of", "hand", metavar="HAND", help="Undo what this person entered (a lead).")
@click.option("--yes", is_flag=True, help="Do it without asking.")
@click.option("--not-mixed", is_flag=True, help="It was drawn for a pot that was never mixed.")
@click.option("--reason", metavar="TEXT", default="undone", help="Why (undone).")
@asks
def command(
    ask: Ask, number: int | None, hand: str | None, yes: bool, not_mixed: bool, reason: str
) -> None:
    """Undo the last thing that you entered, or a line of the ledger.

    NUMBER is the number of the line, as 'draw' and 'trace' show it. The program first says what
    it will undo, and on a terminal it asks.

    Stock is reversed by new lines, all lines of one draw together. A layup, what was seen of a
    layup or a pot, a bay's reading, a photograph, a finding, a moisture reading, a film, a sample,
    a surface note and a leak test are taken back. The mistake stays on record. What was drawn for
    a pot goes back only with --not-mixed, and then for the whole pot.

    Where your last entry can't be undone, such as a held lot, the program names the command that
    serves, and undoes nothing. To take back an earlier entry use 'layup undo', 'batch undo', 'bay
    undo', 'photo undo', 'finding undo', 'moisture undo', 'surface undo' or 'leak undo'; to open a
    closed job again use 'job reopen'.

    \b
    Examples:
      cureyard undo --yes
      cureyard undo 4 --yes --reason "the wrong drum"
    """
    entry = _line(ask, number, hand) if number is not None else _last(ask, hand)
    _check_kept(entry)
    for words in undo.described(entry, ask.view):
        ask.say(f"To undo: {words}")
    _check_pot(entry, not_mixed)
    if yes or _confirmed(ask):
        _undo(ask, entry, reason)


def _line(ask: Ask, number: int, hand: str | None) -> Record:
    if hand is not None:
        raise click.UsageError("A line says who wrote it: leave --of out.")
    line = ask.api.get(at("movements", number)).body
    return {"kind": "movement", "movements": [line], "batch": line.get("batch")}


def _last(ask: Ask, hand: str | None) -> Record:
    entry: Record | None = ask.api.get("/v1/entries/last", hand=hand).body["entry"]
    if entry is None:
        raise Forbidden(f"{f'{hand} has' if hand else 'You have'} nothing left to undo.")
    return entry


def _check_kept(entry: Record) -> None:
    """Refuse what can't be undone, rather than to go on to an older entry."""
    if (kept := undo.kept(entry)) is not None:
        what, command = kept
        raise Forbidden(
            f"The last entry is {what}, and that can't be undone here.",
            f"Enter what is right: {command}. For an earlier entry: 'cureyard undo --help'.",
        )


def _check_pot(entry: Record, not_mixed: bool) -> None:
    """Refuse to undo what was drawn for a pot, unless the pot was never mixed."""
    batch = entry.get("batch") if entry["kind"] == "movement" else None
    if batch is not None and not not_mixed:
        raise Stopped(
            f"That was drawn for pot {batch}.",
            "If it was never mixed, add --not-mixed. If it was: "
            f"cureyard batch observe {batch} lost",
        )
    if batch is None and not_mixed:
        raise Stopped("That was drawn for no pot.", "Leave --not-mixed out.")


def _confirmed(ask: Ask) -> bool:
    """Whether the person says yes.

    Raises:
        Stopped: nobody can be asked.
    """
    if not ask.can_confirm:
        raise Stopped("Nothing was undone: there is nobody to ask.", "With --yes it is done.")
    return click.confirm("Undo it?", err=True)


def _undo(ask: Ask, entry: Record, reason: str) -> None:
    match entry["kind"]:
        case "movement" if entry.get("batch") is not None:
            body = {"kind": "not_mixed", "note": reason}
            ask.show(ask.api.post(at("batches", entry["batch"], "observations"), body), pots.mixed)
        case "movement":
            ask.show(_reverse(ask, entry, reason), stock.moved)
        case "layup":
            withdraw_layup(ask, entry["layup"], reason)
        case "layup_observation":
            withdraw_observation(ask, "layups", entry["layup"], entry["observation"], reason)
        case "photograph":
            withdraw_photograph(ask, entry["photograph"], reason)
        case "batch_observation":
            withdraw_observation(ask, "batches", entry["batch"], entry["observation"], reason)
        case kind if kind in OF_JOB:
            withdraw_of_job(ask, entry["job"], kind, entry["record"], reason)
        case _:
            withdraw_reading(ask, entry["bay"], entry["reading"], reason, whole_entry=True)


def _reverse(ask: Ask, entry: Record, reason: str) -> Answer:
    lines = [line["id"] for line in entry["movements"]]
    named = {"reverses": lines[0]} if len(lines) == 1 else {"reverses_all": lines}
    return ask.api.post("/v1/movements", {"kind": "reversal", **named, "reason": reason})
