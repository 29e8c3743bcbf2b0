"""`cureyard undo`: take back what one entered last, as far as the store still allows."""

from __future__ import annotations

import sys
from typing import Any

import click

from ..api import Answer, at
from ..asking import Ask, asks
from ..exits import FORBIDDEN, Stopped
from ..rendering import entries, layups, pots, stock
from ..rendering.entries import Entry


@click.command("undo")
@click.argument("number", required=False, type=click.IntRange(1))
@click.option("--of", "hand", metavar="HAND", help="What somebody else entered last (a lead).")
@click.option("--yes", is_flag=True, help="Do it without asking.")
@click.option("--not-mixed", is_flag=True, help="It was drawn for a pot, which was never mixed.")
@click.option("--reason", metavar="TEXT", default="undone", help="Why (undone).")
@asks
def command(
    ask: Ask, number: int | None, hand: str | None, yes: bool, not_mixed: bool, reason: str
) -> None:
    """Undo the last thing that you entered, or a line of the ledger.

    NUMBER is the line's, as 'draw' and 'trace' show it. Stock is reversed by lines of its own,
    all of one draw together; a layup, what was noted of it or of a pot, and a reading are taken
    back. The mistake stays on record. What was drawn for a pot goes back only with --not-mixed,
    all of the pot. What it would undo is said first, and on a terminal you are asked. 'layup
    undo', 'batch undo' and 'bay undo' take back what is not the last, and 'job reopen' opens a
    job again.

    \b
    Examples:
      cureyard undo --yes
      cureyard undo 4 --yes --reason "the wrong drum"
    """
    entry = _line(ask, number, hand) if number is not None else _last(ask, hand)
    for words in entries.told(entry, ask.view):
        ask.say(f"To undo: {words}")
    _check_pot(entry, not_mixed)
    if yes or _asked(ask):
        _undo(ask, entry, reason)


def _line(ask: Ask, number: int, hand: str | None) -> Entry:
    if hand is not None:
        raise click.UsageError("A line is of whoever wrote it: leave --of out.")
    line = ask.api.get(at("movements", number)).body
    return {"kind": "movement", "movements": [line], "batch": line.get("batch")}


def _last(ask: Ask, hand: str | None) -> Entry:
    entry: Entry | None = ask.api.get("/v1/entries/last", hand=hand).body["entry"]
    if entry is None:
        raise Stopped(f"{hand or 'You'} left nothing to undo.", code=FORBIDDEN)
    return entry


def _check_pot(entry: Entry, not_mixed: bool) -> None:
    """Refuse to undo what a pot drew unless it is said that it was never mixed."""
    batch = entry.get("batch") if entry["kind"] == "movement" else None
    if batch is not None and not not_mixed:
        raise Stopped(
            f"That was drawn for pot {batch}.",
            "If it was never mixed, add --not-mixed. If it was: "
            f"cureyard batch observe {batch} lost",
        )
    if batch is None and not_mixed:
        raise Stopped("That was drawn for no pot.", "Leave --not-mixed out.")


def _asked(ask: Ask) -> bool:
    """Whether a person at a terminal wants it.

    Raises:
        Stopped: there is nobody to ask.
    """
    if ask.as_json or not (sys.stdin.isatty() and sys.stderr.isatty()):
        raise Stopped("Nothing was undone: there is nobody to ask.", "With --yes it is done.")
    return click.confirm("Undo it?", err=True)


def _undo(ask: Ask, entry: Entry, reason: str) -> None:
    match entry["kind"]:
        case "movement" if entry.get("batch") is not None:
            body = {"kind": "not_mixed", "note": reason}
            ask.show(ask.api.post(at("batches", entry["batch"], "observations"), body), pots.mixed)
        case "movement":
            ask.show(_reversed(ask, entry, reason), stock.moved)
        case "layup":
            unlaid(ask, entry["layup"], reason)
        case "layup_observation":
            unseen(ask, "layups", entry["layup"], entry["observation"], reason)
        case "batch_observation":
            unseen(ask, "batches", entry["batch"], entry["observation"], reason)
        case _:
            unread(ask, entry["bay"], entry["reading"], reason, whole_entry=True)


def _reversed(ask: Ask, entry: Entry, reason: str) -> Answer:
    lines = [line["id"] for line in entry["movements"]]
    named = {"reverses": lines[0]} if len(lines) == 1 else {"reverses_all": lines}
    return ask.api.post("/v1/movements", {"kind": "reversal", **named, "reason": reason})


def unlaid(ask: Ask, layup: int | str, reason: str) -> None:
    """Say that a layup was not laid."""
    ask.show(ask.api.post(at("layups", layup, "withdrawal"), {"reason": reason}), layups.shown)


def unseen(ask: Ask, noun: str, of: int | str, observation: int, reason: str) -> None:
    """Take back what was noted of one of `layups` or `batches`."""
    path = at(noun, of, "observations", observation, "withdrawal")
    render = layups.shown if noun == "layups" else pots.mixed
    ask.show(ask.api.post(path, {"reason": reason}), render)


def last_seen(seen: list[dict[str, Any]], kind: str, of: str) -> int:
    """The id of what was last noted of a kind.

    Raises: Stopped: nothing such stands.
    """
    for each in reversed(seen):
        if each["kind"] == kind:
            return int(each["id"])
    noted = ", ".join(dict.fromkeys(each["kind"] for each in seen)) or "nothing"
    raise Stopped(f"{kind!r} was not noted of {of}.", f"Noted of it: {noted}.", FORBIDDEN)


def unread(ask: Ask, bay: str, reading: int, reason: str, *, whole_entry: bool) -> None:
    """Take back a reading, or all that was entered with it."""
    body = {"reason": reason, "whole_entry": whole_entry}
    path = at("bays", bay, "readings", reading, "withdrawal")
    ask.show(ask.api.post(path, body), entries.taken_back)
