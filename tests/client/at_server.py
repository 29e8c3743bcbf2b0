"""Commands typed at a server that answers from a script."""

from __future__ import annotations

from typing import Any

from click.testing import CliRunner, Result
from cureyard_client.main import program


def typed(server: Any, *arguments: str, stdin: Any = None) -> Result:
    """Run a command against the server, without a terminal; what it came to."""
    asked = ["--url", server.url, *arguments]
    return CliRunner().invoke(program, asked, input=stdin, env={"COLUMNS": "100"})


def sent(server: Any, *arguments: str, before: tuple[Any, ...] = (), stdin: Any = None) -> Any:
    """The last request that a command makes; the server refuses it, so nothing is shown."""
    server.answer(*before, server.refusal(409, "job-closed"))
    done = typed(server, *arguments, stdin=stdin)
    assert done.exit_code == 1, done.output
    return server.requests[-1]
