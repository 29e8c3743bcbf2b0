"""Which lines of the ledger may still be undone, and which only together."""

from __future__ import annotations

from ...core import errors
from . import lines
from .lines import Movement, counted_since, drawn_of, is_reversed


def undone_together(movement_id: int, *, whole_batch: bool) -> list[Movement]:
    """The lines that are undone with a line: itself, or all that its pot drew.

    Raises: errors.UnknownReference; errors.PartOfBatch when it was drawn for a pot and the
    whole of that was not asked for.
    """
    line = lines.find_line(movement_id)
    if line is None:
        raise errors.UnknownReference(
            f"There is no movement {movement_id}.",
            advice="Look up its id in the lot's movements.",
            pointer="/reverses",
        )
    if line.batch_id is None or line.kind == "reversal" or is_reversed(line.id):
        return [line]
    if not whole_batch:
        raise errors.PartOfBatch(
            f"Movement {movement_id} was drawn for pot {line.batch_id}.",
            advice="If the pot was never mixed, say 'not mixed' of it: that undoes all its draws.",
            batch=line.batch_id,
        )
    return lines.of_batch(line.batch_id)


def refuse_if_final(line: Movement) -> None:
    """Refuse to undo a line that a later one builds on.

    Raises: errors.Invalid for a reversal; errors.AlreadyExists when it was reversed;
    errors.CountedSince; errors.ShortStock for a delivery that was drawn from, or a draw of
    which something came back.
    """
    if line.kind == "reversal":
        raise errors.Invalid(
            f"Movement {line.id} is itself a reversal.",
            advice="Enter the movement again instead.",
            pointer="/reverses",
        )
    if is_reversed(line.id):
        raise errors.AlreadyExists(
            f"Movement {line.id} was reversed before.", advice="Nothing is left to do."
        )
    if _counted_since(line):
        raise errors.CountedSince(
            f"The lot was counted after movement {line.id}, so the count already holds the truth.",
            advice="Count the lot again.",
            lot=line.lot_id,
        )
    if line.kind == "receipt" and lines.used_beside(line):
        raise errors.ShortStock(
            f"Stock was drawn from the delivery of movement {line.id}.",
            advice="Reverse what was drawn first, or count the lot.",
            lot=line.lot_id,
        )
    if line.kind == "draw" and line.job_id and drawn_of(line.job_id, line.lot_id) < -line.amount:
        raise errors.ShortStock(
            f"Part of what movement {line.id} drew was returned.",
            advice="Reverse the return first, or count the lot.",
            lot=line.lot_id,
        )


def _counted_since(line: Movement) -> bool:
    """Whether a standing count, recorded later, was made at or after the line's moment."""
    moment = line.at if line.counted_at is None else line.counted_at
    return counted_since(line.lot_id, moment, after=line.id)
