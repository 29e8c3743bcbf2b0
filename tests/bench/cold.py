"""Cold starts: a command from the prompt, against importing what it cannot do without."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

from . import stores
from .asking import kept
from .harness import Row, Scale, Timed, compared, timed

CUREYARD = str(Path(sys.executable).parent / "cureyard")
DOSE = ("dose", "LAM", "2 kg", "--temperature", "20 degC", "--percent", "2")
EMBEDDED = "click, flask, marshmallow, peewee"
FLOOR = f"""
import sys
sys.modules |= dict.fromkeys(("psycopg", "psycopg2"))
import {EMBEDDED}
"""
"""Without PostgreSQL's driver: peewee imports it where it is installed, and a file needs none."""


def rows(scale: Scale, folder: Path) -> Iterator[Row]:
    """Help, a call to a server, and a dose without one."""
    n = scale.n(15, 3)
    store = stores.new(stores.at(folder, "cold"))
    home = {**os.environ, "HOME": str(folder), "CUREYARD_ZONE": "UTC"}
    home = {name: value for name, value in home.items() if name != "CUREYARD_URL"}
    embedded = {**home, "CUREYARD_DATABASE": store}
    yield compared(
        "cureyard --help, cold", "python -c 'import click'", 1.5,
        _run(home, CUREYARD, "--help"), _imports(home, "import click"), n,
    )  # fmt: skip
    with kept("cureyard", store) as server:
        get = f"import click, requests; requests.get('{server.url}/v1/now').json()"
        yield compared(
            "cureyard now against a server, cold", "importing click and requests, and one GET", 1.3,
            _run(home, CUREYARD, "--url", server.url, "now"), _imports(home, get), n,
        )  # fmt: skip
    yield compared(
        "an embedded cureyard dose, cold", f"importing {EMBEDDED} without a driver", 1.5,
        _run(embedded, CUREYARD, *DOSE), _imports(home, FLOOR), n,
    )  # fmt: skip


def _imports(environment: dict[str, str], code: str) -> Timed:
    return _run(environment, sys.executable, "-c", code)


def _run(environment: dict[str, str], *command: str) -> Timed:
    def once() -> None:
        subprocess.run(command, env=environment, stdout=subprocess.DEVNULL, check=True)

    return timed(once)
