"""What was done to the store as a whole: a backup, a restore, a move, the proofs of the books."""

from __future__ import annotations

from ..answers import Record
from .columns import View, marked, wrapped
from .heads import pinned


def backed_up(answer: Record, view: View) -> list[str]:
    """The file, and what is in it."""
    lines = wrapped(f"Backed up in {answer['file']}: {_books(answer)}", view.width)
    if answer["head"]:
        lines.append(pinned(answer["head"]))
    return lines + marked(answer["findings"], view.width)


def restored(answer: Record, view: View) -> list[str]:
    """What is in the store now, where the old store is, and what became of the tokens."""
    lines = wrapped(f"Restored from {answer['file']}: {_books(answer)}", view.width)
    if answer["backup_version"] != answer["version"]:
        old, new = answer["backup_version"], answer["version"]
        lines += wrapped(f"It was brought from version {old} to version {new}.", view.width)
    if not answer["checksum"]:
        words = (
            "The backup has no checksum, as those of earlier programs: only its books were checked."
        )
        lines += wrapped(words, view.width)
    if answer["kept"]:
        lines += wrapped(f"The old store is kept as {answer['kept']}.", view.width)
    for sentence in _tokens(answer):
        lines += wrapped(sentence, view.width)
    return lines


def opening(tokens: int | None, view: View, *, carry: bool) -> list[str]:
    """The warning before a backup without a token is restored.

    Args:
        tokens: how many tokens today's store has; None if it can't be read.
        carry: whether they stay valid.
    """
    words = [
        "The backup is older than the yard's first token. With it alone, everybody at this "
        "machine could do everything without a token."
    ]
    if tokens is None:
        words.append("Today's store can't be read, so no token can be carried over.")
    elif carry:
        words.append(f"Today's tokens ({tokens}) are carried over, so a token is still needed.")
    else:
        words.append(f"You leave today's tokens ({tokens}) behind, so no token will be needed.")
    return wrapped(" ".join(words), view.width)


def _tokens(answer: Record) -> list[str]:
    """What became of the tokens, and what to do about it."""
    words, carried = [], answer["carried"]
    if carried is None:
        words.append("No tokens could be carried over; see who has one: cureyard token list")
    elif any(carried.values()):
        made, revoked = carried["tokens"], carried["revocations"]
        words.append(
            f"Carried over from today, tokens made since the backup: {made}; revoked: {revoked}."
        )
    if not answer["has_tokens"] and not answer["kept"]:
        words.append(
            "There is no token: everybody at this machine may do everything. Make the first: "
            "cureyard token add NAME --role admin"
        )
    return words


def moved(answer: Record, view: View) -> list[str]:
    """What is in the new store, and how to use it."""
    lines = wrapped(f"Taken over to {answer['to']}: {_books(answer)}", view.width)
    lines += wrapped("Every row is equal on both sides; the old store stays as it is.", view.width)
    lines += ["Work on the new one with:", f"CUREYARD_DATABASE={answer['to']}"]  # to be copied
    return lines + marked(answer["findings"], view.width)


def proved(answer: Record, view: View) -> list[str]:
    """Each proof and whether it holds; under it, what breaks it."""
    lines: list[str] = []
    for proof in answer["proofs"]:
        lines += wrapped(proof["name"], view.width, "holds   " if proof["ok"] else "BROKEN  ")
        lines += marked(proof["findings"], view.width, "        ! ")
    return [*lines, pinned(answer["head"])] if answer["head"] else lines


def _books(answer: Record) -> str:
    count = answer["movements"]
    hold = "do not hold" if answer["findings"] else "hold"
    return f"{count:,} movement{'' if count == 1 else 's'}, and the books {hold}."
