"""What ends a command early: the words for the person and the number for a script.

| exit | means |
| --- | --- |
| 1 | what stands in the store forbids it |
| 2 | it was asked for wrongly |
| 3 | no server answers, or it may not be done by this person |
| 4 | the server's own fault |
| 130 | interrupted |
"""

from __future__ import annotations

from typing import IO, Any

import click

FORBIDDEN, MISUSED, UNREACHED, FAULTY, INTERRUPTED = 1, 2, 3, 4, 130

_BY_STATUS = {
    401: UNREACHED,
    403: UNREACHED,
    404: FORBIDDEN,
    409: FORBIDDEN,
    412: FORBIDDEN,
    428: FORBIDDEN,
    429: UNREACHED,
    503: UNREACHED,
}


def exit_code(status: int) -> int:
    """The exit of a command whose request was answered with an HTTP status of 400 or more."""
    return _BY_STATUS.get(status, FAULTY if status >= 500 else MISUSED)


class Stopped(click.ClickException):
    """A command that ends early, with what to do about it.

    Args:
        message: what was wrong.
        advice: what to do, in one sentence; empty when the message says it.
        code: the exit of the program.
    """

    def __init__(self, message: str, advice: str = "", code: int = MISUSED) -> None:
        super().__init__(message)
        self.advice = advice
        self.exit_code = code  # type: ignore[misc]  # click types it as the class's own

    def show(self, file: IO[Any] | None = None) -> None:
        """Write the words on stderr, or on a file."""
        from .rendering.columns import plain  # late: most commands end well

        for line in self.lines():
            click.echo(plain(line), file=file, err=file is None)

    def lines(self) -> list[str]:
        """What was wrong, and what to do."""
        return [f"Error: {self.message}", *([self.advice] if self.advice else [])]


class Refused(Stopped):
    """The service answered, and said no.

    Args:
        status: the HTTP status.
        problem: its `application/problem+json` document.
        text: that document just as it came.
    """

    def __init__(self, status: int, problem: dict[str, Any], text: str = "{}") -> None:
        words = problem.get("detail") or problem.get("title") or f"HTTP status {status}"
        super().__init__(str(words), str(problem.get("advice") or ""), exit_code(status))
        self.status = status
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
        lines = [f"{head}: {self.message}", *_faults(self.problem.get("errors"))]
        if self.problem.get("changed") is False:
            lines.append("Nothing was changed.")
        if self.advice:
            lines.append(self.advice)
        first, *others = self.commands or [""]
        return [*lines, *([f"Type: {first}"] if first else []), *(f"Or: {each}" for each in others)]


def _faults(errors: Any) -> list[str]:
    """A line for each of several faults, as far as they are told as they should be."""
    told = errors if isinstance(errors, list) else []
    return [_fault(error) for error in told if isinstance(error, dict)]


def _fault(error: dict[str, Any]) -> str:
    pointer = str(error.get("pointer") or "").lstrip("/").replace("/", ", ")
    return f"  {pointer}: {error.get('detail', '')}" if pointer else f"  {error.get('detail', '')}"
