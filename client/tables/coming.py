"""A table that comes in pieces, as lines of text."""

from __future__ import annotations

import codecs
from collections.abc import Iterable, Iterator


class Lines:
    """The lines of a text in UTF-8 that comes in pieces, each with its end; read once.

    A mark at its start is left out. No more than a line and a piece are in memory.

    Attributes:
        count: how many were read so far.
    """

    def __init__(self, pieces: Iterable[bytes]) -> None:
        self.count = 0
        self._pieces = pieces

    def __iter__(self) -> Iterator[str]:
        """The lines; what follows the last end is one too."""
        decoder, rest = codecs.getincrementaldecoder("utf-8-sig")("replace"), ""
        for piece in self._pieces:
            *whole, rest = (rest + decoder.decode(piece)).split("\n")
            for line in whole:
                self.count += 1
                yield f"{line}\n"
        if rest := rest + decoder.decode(b"", final=True):
            self.count += 1
            yield rest
