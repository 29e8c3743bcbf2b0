"""A QR code (ISO/IEC 18004) for a terminal: a camera reads it on a dark screen and a light one.

Each character is two squares, one above the other. Dark and light are said outright, by the fixed
256 colours that every theme leaves alone: a code in the theme's own colours is a negative on half
of all screens.
"""

from __future__ import annotations

QUIET = 4
"""Light squares that a reader needs around a code."""
_HALVES = {(0, 0): " ", (1, 0): "▀", (0, 1): "▄", (1, 1): "█"}
_BLACK_ON_WHITE, _END = "\x1b[38;5;16;48;5;231m", "\x1b[0m"


def lines(text: str) -> list[str]:
    """The lines of a text's code."""
    import segno  # late: few commands draw one

    rows = [
        [int(bool(square)) for square in row]
        for row in segno.make(text, error="l", micro=False).matrix_iter(border=QUIET)
    ]
    if len(rows) % 2:
        rows.append([0] * len(rows[0]))
    return [
        _BLACK_ON_WHITE + "".join(_HALVES[pair] for pair in zip(*pairs, strict=True)) + _END
        for pairs in zip(rows[::2], rows[1::2], strict=True)
    ]
