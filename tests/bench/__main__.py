"""How fast it is, each figure against a floor of the same run: `python -m tests.bench`."""

from __future__ import annotations

import json
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import asdict
from pathlib import Path

import click

from . import (
    backup,
    chain,
    cold,
    crowd,
    draws,
    ledger,
    memory,
    milestones,
    readings,
    seals,
    what_now,
)
from .harness import Row, Scale, calm, machine

FAMILIES: dict[str, Callable[[Scale, Path], Iterator[Row]]] = {
    "draws": draws.rows,
    "now": what_now.rows,
    "milestones": milestones.rows,
    "ledger": ledger.rows,
    "seals": seals.rows,
    "cold": cold.rows,
    "chain": chain.rows,
    "readings": readings.rows,
    "crowd": crowd.rows,
    "memory": memory.rows,
    "backup": backup.rows,
}
UNJUDGED = ("crowd", "memory", "backup")
"""What a short run leaves out: it is only told, or takes long to tell."""
FIGURES = Path(__file__).with_name("figures.txt")
"""The table of the last whole run, as it was printed."""
TRIES = 3
"""Of a family with a row beyond the gross limit: what noise did once it does not do thrice."""


@click.command()
@click.option("--short", is_flag=True, help="In a minute or so; fails on a gross regression alone.")
@click.option("--only", type=click.Choice([*FAMILIES]), multiple=True, help="This family.")
@click.option("--json", "file", type=click.Path(path_type=Path), help="Write the rows here too.")
def main(short: bool, only: tuple[str, ...], file: Path | None) -> None:
    """Measure, print the table as it comes, and say what is beyond its limit.

    A whole run also writes its table to figures.txt, beside this program.
    """
    if short and not calm():
        click.echo(f"Nothing was measured: others keep this machine busy ({machine()}).")
        return
    began = time.monotonic()
    scale = Scale(short)
    printed = [f"{machine()}\n{_line('what', 'ratio', 'spread', 'limit', 'n')}"]
    click.echo(printed[0])
    found = []
    for name in only or [name for name in FAMILIES if not (short and name in UNJUDGED)]:
        for row in _measured(FAMILIES[name], scale):
            printed.append(_shown(row))
            click.echo(printed[-1])
            found.append(row)
    if not short and not only:
        FIGURES.write_text("\n".join(printed) + "\n")
    click.echo(f"{time.monotonic() - began:.0f} s")
    if file is not None:
        file.write_text(json.dumps([asdict(row) for row in found], indent=2) + "\n")
    sys.exit(any(row.gross for row in found) if short else not all(row.holds for row in found))


def _measured(family: Callable[[Scale, Path], Iterator[Row]], scale: Scale) -> Iterator[Row]:
    """A family's rows; in a short run the best of a few tries for what looks broken."""
    best: dict[str, Row] = {}
    for _ in range(TRIES if scale.short else 1):
        with tempfile.TemporaryDirectory(prefix="cureyard-bench-") as folder:
            for row in family(scale, Path(folder)):
                if not scale.short:
                    yield row
                best[row.what] = min(best.get(row.what, row), row, key=lambda row: row.low or 0)
        if not any(row.gross for row in best.values()):
            break
    if scale.short:
        yield from best.values()


def _shown(row: Row) -> str:
    ratio = "–" if row.ratio is None else f"{row.ratio:.3f}"
    spread = "–" if row.low is None else f"{row.low:.2f}–{row.high:.2f}"
    limit = "–" if row.limit is None else f"{row.limit:.4g}"
    words = [_line(row.what, ratio, spread, limit, str(row.n)) + ("" if row.holds else "  BEYOND")]
    if row.seconds is not None and row.floor_seconds is not None:
        took = f"{1000 * row.seconds:.2f} ms against {1000 * row.floor_seconds:.2f} ms"
        words.append(f"    {took}: {row.floor}")
    words += [f"    {word}" for word in (row.note, row.fault) if word]
    return "\n".join(words)


def _line(what: str, *figures: str) -> str:
    return f"{what:<66}" + "".join(f"{figure:>{width}}" for figure, width in
                                   zip(figures, (8, 14, 7, 7), strict=True))  # fmt: skip


if __name__ == "__main__":
    main()
