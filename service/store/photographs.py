"""Photographs of jobs, layups, lots and findings; a list leaves their bytes where they are."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from typing import Literal, NamedTuple

from . import tables
from .engine.columns import LARGEST
from .engine.rows import Reader, insert, matching, query, scalar
from .yard import recorded, withdrawals
from .yard.hands import Hand
from .yard.overrides import JobNumber

Of = Literal["job", "layup", "lot", "finding"]
"""What a photograph is of; one of a finding is of its job too."""

_STANDING = withdrawals.standing("photograph")
_SHOWS_A_FINDING = (
    "SELECT 1 FROM finding_photograph AS shown WHERE shown.photograph_id = photograph.id"
)
_OF_FINDING = f"EXISTS ({_SHOWS_A_FINDING} AND shown.finding_id = ?)"


class Photograph(NamedTuple):
    """What is known of a photograph, without its bytes."""

    id: int
    job_id: int | None
    layup_id: int | None
    lot_id: int | None
    shows: str
    width_px: int
    height_px: int
    size_bytes: int
    sha256: str
    recorded_at: int
    who: str
    verified: bool
    job: JobNumber | None


_PHOTOGRAPHS = Reader(Photograph, tables.Photograph)

find_photograph = _PHOTOGRAPHS.by_id


def add(
    of: Mapping[Of, int],
    jpeg: bytes,
    *,
    shows: str,
    width_px: int,
    height_px: int,
    now: int,
    hand: Hand,
    finding: int | None = None,
) -> Photograph:
    """Keep a photograph of the one thing that `of` names, by its id; `now` in epoch s.

    Args:
        finding: of the job, by its id, which the photograph shows.
    """
    row = insert(
        tables.Photograph,
        **{f"{name}_id": of_id for name, of_id in of.items()},
        shows=shows,
        width_px=width_px,
        height_px=height_px,
        size_bytes=len(jpeg),
        sha256=digest(jpeg),
        jpeg=jpeg,
        **hand.signed(now),
    )
    if finding is not None:
        insert(tables.FindingPhotograph, finding_id=finding, photograph_id=row, **hand.signed(now))
    return _PHOTOGRAPHS.of_id(row)


def findings_of(ids: Iterable[int]) -> dict[int, int]:
    """Photograph's id → the finding that it shows, of those of some that show one."""
    wanted = list(ids)
    sql = "SELECT photograph_id, finding_id FROM finding_photograph WHERE photograph_id IN (?*)"
    return dict(query(sql, wanted)) if wanted else {}


def digest(jpeg: bytes) -> str:
    """The SHA-256 of a photograph's bytes, in hexadecimal."""
    return hashlib.sha256(jpeg).hexdigest()


def jpeg_of(row_id: int) -> bytes:
    """The bytes of a photograph that is there."""
    return bytes(scalar("SELECT jpeg FROM photograph WHERE id = ?", row_id))


def find_same(of: Mapping[Of, int], sha256: str) -> Photograph | None:
    """The photograph of a thing that has a digest, if one stands."""
    ((name, of_id),) = of.items()
    own = {
        "finding": _OF_FINDING,
        "job": f"photograph.job_id = ? AND NOT EXISTS ({_SHOWS_A_FINDING})",
    }.get(name, f"photograph.{name}_id = ?")
    rest = f"WHERE {own} AND photograph.sha256 = ? AND {_STANDING}"
    return _PHOTOGRAPHS.first(f"{rest} ORDER BY photograph.id", of_id, sha256)


def page(of: Of, of_id: int, after: int | None, limit: int) -> list[Photograph]:
    """Photographs of a thing, the newest first, after the one with that id.

    Those of a job are its own and its layups'. Those that were taken back are among them.
    """
    rest = f"WHERE {_of(of)} AND photograph.id < ? ORDER BY photograph.id DESC LIMIT ?"
    return _PHOTOGRAPHS.all(rest, *_ids(of, of_id), LARGEST if after is None else after, limit)


def standing_of(of: Of, of_id: int) -> list[Photograph]:
    """Those of a thing that were not taken back, oldest first; as `page`."""
    rest = f"WHERE {_of(of)} AND {_STANDING} ORDER BY photograph.id"
    return _PHOTOGRAPHS.all(rest, *_ids(of, of_id))


def last_kept(by: Hand | str) -> Photograph | None:
    """The one that a hand kept last, or anybody of a name, and nobody took back; or None."""
    where, values = matching(recorded.by("photograph", by), _STANDING)
    return _PHOTOGRAPHS.first(f"{where} ORDER BY photograph.id DESC", *values)


def _of(of: Of) -> str:
    """The SQL condition that a photograph is of a thing."""
    if of == "finding":
        return _OF_FINDING
    if of != "job":
        return f"photograph.{of}_id = ?"
    layups = f"SELECT id FROM layup WHERE job_id = ? AND {withdrawals.standing('layup')}"
    return f"(photograph.job_id = ? OR photograph.layup_id IN ({layups}))"


def _ids(of: Of, of_id: int) -> list[int]:
    return [of_id, of_id] if of == "job" else [of_id]
