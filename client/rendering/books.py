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
    return lines


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
