"""Sends a logger's new lines to the service as they come; a line that it refuses is passed over."""

from __future__ import annotations

import re
import time
from collections.abc import Callable, Mapping
from pathlib import Path

from ..answers import Record
from ..api import Answer, Api, at
from ..exits import Refused, Stopped
from ..tables import reading
from . import patience
from .growing import Growing

EVERY_S = 1.0
"""Seconds between two looks at the file."""
_STOPS = frozenset({401, 403, 404})
_ROW = re.compile(r"/row (\d+)")


class Follower:
    """A logger's file on its way to the service.

    Args:
        api: the service. bay: whose readings they are. path: of the file.
        query: how the file is to be read, as for an import.
        say: tells a person. added: shows the service's answer to new lines.
    """

    def __init__(
        self,
        api: Api,
        bay: str,
        path: Path,
        query: Mapping[str, str],
        say: Callable[[str], None],
        added: Callable[[Answer], None],
    ) -> None:
        self._api, self._to = api, at("imports", "readings", bay)
        self._file, self._query = Growing(path), dict(query)
        self._say, self._added = say, added
        self._head: list[bytes] = []
        self._dates: str | None = None
        self._tried: list[bytes] = []

    def follow(self) -> None:
        """Send what is there and what comes, until interrupted.

        Raises: Stopped: the service takes nothing of this file, or it can't be read.
        """
        while True:
            if not self.look():
                time.sleep(EVERY_S)

    def look(self) -> bool:
        """Send what is new; whether anything was sent."""
        first, lines = self._file.read()
        if first:
            self._head, self._dates = [], None
        if not lines:
            return False
        if first and lines == self._tried:  # no more than what had no readings
            self._file.again()
            return False
        self._tried = lines
        return self._send(lines)

    def _send(self, lines: list[bytes]) -> bool:
        """Send lines, without those that are refused; False if there must be more first."""
        lines = self._readable(lines)
        while lines:
            try:
                answer = self._asked(lines)
            except Refused as refused:
                if refused.status in _STOPS:
                    raise
                rows = _rows(refused.problem)
                if not rows and not self._head:
                    return self._wait(refused)
                kept = self._without(lines, rows, refused)
                if len(kept) == len(lines):
                    raise
                lines = kept
            else:
                self._learn(lines, answer.body)
                self._added(answer)
                return True
        return True

    def _asked(self, lines: list[bytes]) -> Answer:
        """The answer to lines; to send them again does no harm: known rows stay as they are."""
        table, _ = reading.text(_joined([*self._head, *lines]), str(self._file.path))
        query = self._query | ({"dates": self._dates} if self._dates else {})
        return patience.until_answered(
            lambda: self._api.post_csv(self._to, table, probe="true", **query), self._say
        )

    def _learn(self, lines: list[bytes], answer: Record) -> None:
        """From the first answer, which lines name the columns, and what its dates begin with."""
        if not self._head:
            self._head, self._dates = lines[: answer["headings"]], answer["dates"]

    def _wait(self, refused: Refused) -> bool:
        """Nothing of the file can be read yet: it may have no readings so far."""
        self._say(f"{refused.message} More lines are waited for.")
        self._file.again()
        return False

    def _without(
        self, lines: list[bytes], rows: Mapping[int, str], refused: Refused
    ) -> list[bytes]:
        """The lines but those that were refused, which are told; without rows, none."""
        if not rows:
            self._say(f"Passed over, {len(lines)} lines: {refused.message}")
            return []
        numbers = {row - 1 - len(self._head): why for row, why in rows.items()}
        for number, why in numbers.items():
            if 0 <= number < len(lines):
                self._say(f"Passed over, {_shown(lines[number])}: {why}")
        return [line for number, line in enumerate(lines) if number not in numbers]

    def _readable(self, lines: list[bytes]) -> list[bytes]:
        """The lines but those that are no text."""
        kept = []
        for line in lines:
            try:
                reading.text(line, str(self._file.path))
            except Stopped:
                self._say(f"Passed over, {_shown(line)}: it is not in UTF-8.")
            else:
                kept.append(line)
        return kept


def _joined(lines: list[bytes]) -> bytes:
    return b"".join(line + b"\n" for line in lines)


def _shown(line: bytes) -> str:
    return repr(line[:60].decode(errors="replace").strip())


def _rows(problem: Record) -> dict[int, str]:
    """Row → why it was refused."""
    faults = problem.get("errors") or [problem]
    found = ((_ROW.match(str(fault.get("pointer"))), fault) for fault in faults)
    return {int(row[1]): str(fault.get("detail", "")) for row, fault in found if row}
