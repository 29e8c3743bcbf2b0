"""How a command ends early: the message for the person and the exit code for a script.

| exit | means |
| --- | --- |
| 1 | the state of the store forbids it |
| 2 | the command was wrong |
| 3 | no server answers, or this person may not do it |
| 4 | the server failed |
| 130 | interrupted with Ctrl-C |
"""

from __future__ import annotations

from typing import IO, Any

import click

from .answers import Record

INTERRUPTED = 130


class Stopped(click.ClickException):
    """A command that ends early because it was wrong; the base of all that end early.

    Args:
        message: what was wrong.
        advice: what to do, in one sentence; empty when the message says it.
    """

    exit_code = 2

    def __init__(self, message: str, advice: str = "") -> None:
        super().__init__(message)
        self.advice = advice
        self.done: list[str] = []
        """What was done before it, and stays."""

    def show(self, file: IO[Any] | None = None) -> None:
        """Write the message to stderr, or to a file."""
        from .rendering.columns import plain  # late: most commands end well

        for line in self.lines():
            click.echo(plain(line), file=file, err=file is None)

    def lines(self) -> list[str]:
        """What was wrong, and what to do."""
        return [*self.done, f"Error: {self.message}", *([self.advice] if self.advice else [])]


class Forbidden(Stopped):
    """The state of the store forbids it."""

    exit_code = 1


class Unreached(Stopped):
    """No server answers, or this person may not do it."""

    exit_code = 3


class Faulty(Stopped):
    """The server failed."""

    exit_code = 4


class Refused(Stopped):
    """The service refused the request. Made by `refusal`, which chooses the exit code.

    Args:
        status: the HTTP status.
        problem: the `application/problem+json` document.
        text: that document as it came.
    """

    def __init__(self, status: int, problem: Record, text: str = "{}") -> None:
        message = problem.get("detail") or problem.get("title") or f"HTTP status {status}"
        super().__init__(str(message), str(problem.get("advice") or ""))
        self.status = status
        self.said = self.message
        """What was wrong, with fields named as the command's options."""
        self.problem = problem
        self.text = text
        self.commands: list[str] = []
        """What may be typed about it: see `hints`."""

    @property
    def slug(self) -> str:
        """The last part of the problem's type: `short-stock`, `unit-missing` and so on."""
        return str(self.problem.get("type", "")).rpartition("/")[2]

    def lines(self) -> list[str]:
        """What was wrong, each fault, that nothing was changed, what to do, and what to type."""
        head = "Error" if self.status >= 500 else "Refused"
        faults = _faults(self.problem.get("errors")) + _open(self.problem.get("open"))
        lines = [*self.done, f"{head}: {self.said}", *faults]
        if self.problem.get("changed") is False and not self.done:
            lines.append("Nothing was changed.")
        if self.advice:
            lines.append(self.advice)
        first, *others = self.commands or [""]
        return [*lines, *([f"Type: {first}"] if first else []), *(f"Or: {each}" for each in others)]


class _RefusedByState(Refused, Forbidden):
    """Refused because of what is in the store."""


class _RefusedAccess(Refused, Unreached):
    """Refused because of who asked, or because the server is busy."""


class _Failed(Refused, Faulty):
    """Not done because the server failed."""


_BY_STATUS: dict[int, type[Refused]] = {
    401: _RefusedAccess,
    403: _RefusedAccess,
    404: _RefusedByState,
    409: _RefusedByState,
    412: _RefusedByState,
    428: _RefusedByState,
    429: _RefusedAccess,
    503: _RefusedAccess,
}


def refusal(status: int, problem: Record, text: str = "{}") -> Refused:
    """The refusal of a request that was answered with an HTTP status of 400 or more."""
    kind = _BY_STATUS.get(status, _Failed if status >= 500 else Refused)
    return kind(status, problem, text)


def _faults(errors: Any) -> list[str]:
    """A line for each fault in a list of errors; anything that is no fault is left out.

    Of more than four of one kind in one column, the first three and how many more there are.
    """
    listed = [each for each in errors if isinstance(each, dict)] if isinstance(errors, list) else []
    alike: dict[tuple[str, str], list[Record]] = {}
    for each in listed:
        column = str(each.get("pointer") or "").rpartition("/")[2]
        alike.setdefault((str(each.get("slug")), column), []).append(each)
    lines: list[str] = []
    for same in alike.values():
        told = same if len(same) <= 4 else same[:3]
        lines += [_fault(each) for each in told]
        lines += [f"  and {len(same) - 3} more like these."] if told is not same else []
    return lines


def _open(points: Any) -> list[str]:
    """A line for each point of a job that is open, with its words."""
    listed = [each for each in points if isinstance(each, dict)] if isinstance(points, list) else []
    return [f"  {each.get('item')}: {each.get('found')}" for each in listed]


def _fault(error: Record) -> str:
    pointer = str(error.get("pointer") or "").lstrip("/").replace("/", ", ")
    return f"  {pointer}: {error.get('detail', '')}" if pointer else f"  {error.get('detail', '')}"
