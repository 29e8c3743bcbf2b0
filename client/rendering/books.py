"""What a backup, a restore and a move come to."""

from __future__ import annotations

from typing import Any

from .columns import View, marked, wrapped


def backed_up(answer: dict[str, Any], view: View) -> list[str]:
    """The file, and what is in it."""
    lines = wrapped(f"Backed up in {answer['file']}: {_said(answer)}", view.width)
    return lines + marked(answer["findings"], view.width)


def restored(answer: dict[str, Any], view: View) -> list[str]:
    """What is in the store now, and where the one before it is."""
    lines = wrapped(f"Restored from {answer['file']}: {_said(answer)}", view.width)
    if answer["backup_version"] != answer["version"]:
        was, now = answer["backup_version"], answer["version"]
        lines += wrapped(f"It was of version {was} and was brought to {now}.", view.width)
    if answer["kept"]:
        lines += wrapped(f"The store that was there is kept as {answer['kept']}.", view.width)
    for told in _tokens(answer):
        lines += wrapped(told, view.width)
    return lines


def opening(tokens: int | None, view: View, *, carry: bool) -> list[str]:
    """What is said before a backup is restored that has no token.

    Args:
        tokens: how many the store that is there has; None where it can't be read.
        carry: whether they are to come along.
    """
    words = [
        "The backup is older than the yard's first token. By itself it would let whoever is at "
        "this machine do everything without one."
    ]
    if tokens is None:
        words.append("The store that is there can't be read, so no token can be carried over.")
    elif carry:
        words.append(f"Today's tokens ({tokens}) are carried over, so that they are needed still.")
    else:
        words.append(f"You leave today's tokens ({tokens}) behind, so that is what it will do.")
    return wrapped(" ".join(words), view.width)


def _tokens(answer: dict[str, Any]) -> list[str]:
    """What became of the tokens, and what is to be done."""
    told, carried = [], answer["carried"]
    if carried is None:
        told.append("No tokens could be carried over; see who has one: cureyard token list")
    elif any(carried.values()):
        made, revoked = carried["tokens"], carried["revocations"]
        told.append(
            f"Carried over from today, tokens made since the backup: {made}; revoked: {revoked}."
        )
    if not answer["has_tokens"] and not answer["kept"]:
        told.append(
            "There is no token: whoever is at this machine may do everything. Make the first: "
            "cureyard token add NAME --role admin"
        )
    return told


def moved(answer: dict[str, Any], view: View) -> list[str]:
    """What the new store has, and what to do now."""
    lines = wrapped(f"Taken over to {answer['to']}: {_said(answer)}", view.width)
    lines += wrapped("Every row is equal on both sides; the old store stays as it is.", view.width)
    lines += ["Work on the new one with:", f"CUREYARD_DATABASE={answer['to']}"]  # to be copied
    return lines + marked(answer["findings"], view.width)


def _said(answer: dict[str, Any]) -> str:
    count = answer["movements"]
    hold = "do not hold" if answer["findings"] else "hold"
    return f"{count:,} movement{'' if count == 1 else 's'}, and the books {hold}."
