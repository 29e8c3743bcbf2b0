"""A client in Python that a general generator makes of the description: it is typed, and works.

Generating takes as long as many tests, so it wants an extra of its own, `bench`.
"""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import pytest
import requests

from .. import makers
from ..waiting import HANGS_S
from .conftest import Record, recorded

NEEDED = ("openapi_python_client", "openapi_spec_validator", "mypy")
pytestmark = pytest.mark.skipif(
    not all(map(find_spec, NEEDED)), reason="the extra `bench` is not installed"
)

PROGRAMS = Path(__file__).with_name("generated")
RECORD: Record = tuple((noun, body) for noun, bodies in makers.yard().items() for body in bodies)
OPTIONS = {
    # The generator knows JSON and bytes: an image is bytes.
    "content_type_overrides": {
        "image/svg+xml": "application/octet-stream",
        "image/png": "application/octet-stream",
        "image/jpeg": "application/octet-stream",
    },
    "post_hooks": [],
}
MYPY = """
[mypy]
strict = True
[mypy-yard_client.client]
disable_error_code = arg-type
"""
"""The generator's own part passes `*args: object` on, whatever it generates."""


@dataclass(frozen=True)
class Generated:
    """A client, and the yard that it was generated for.

    Attributes:
        folder: has the package `yard_client`, the two programs and `openapi.json`.
        address: of the yard.
        told: what the generator printed.
    """

    folder: Path
    address: str
    told: str

    @property
    def document(self) -> Any:
        """The description."""
        return json.loads((self.folder / "openapi.json").read_text(encoding="utf-8"))


def run(folder: Path, *arguments: str) -> str:
    """Run Python in a folder; what it printed, on stdout and then on stderr."""
    done = subprocess.run(
        [sys.executable, *arguments], cwd=folder, capture_output=True,
        text=True, encoding="utf-8", timeout=HANGS_S,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout + done.stderr


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Generated]:
    """A client of a yard that is served, with products, a bay and a job but no stock."""
    folder = tmp_path_factory.mktemp("generated")
    shutil.copytree(PROGRAMS, folder, dirs_exist_ok=True)
    (folder / "options.json").write_text(json.dumps(OPTIONS))
    (folder / "mypy.ini").write_text(MYPY)
    with recorded(tmp_path_factory.mktemp("yard"), RECORD) as (address, session):
        answer: requests.Response = session.get(f"{address}/openapi.json", timeout=HANGS_S)
        (folder / "openapi.json").write_bytes(answer.content)
        told = run(
            folder, "-m", "openapi_python_client", "generate", "--path", "openapi.json",
            "--meta", "none", "--output-path", "yard_client", "--config", "options.json",
        )  # fmt: skip
        yield Generated(folder, address, told)


def test_the_description_is_valid(client: Generated) -> None:
    """By the schema of OpenAPI 3.1, as another program reads it."""
    run(client.folder, "-m", "openapi_spec_validator", "openapi.json")


def test_all_of_the_description_is_generated(client: Generated) -> None:
    """But for bodies in text/csv and text/plain, which the generator does not know."""
    left_out = re.findall(r"(?:WARNING|ERROR) parsing ([A-Z]+ \S+)", client.told)
    texts = [
        (f"{method.upper()} {path}", kind)
        for path, methods in client.document["paths"].items()
        for method, operation in methods.items()
        if method != "parameters"
        for kind in operation.get("requestBody", {}).get("content", {})
        if kind.startswith("text/")
    ]
    assert sorted(left_out) == sorted(operation for operation, _ in texts)
    for kind in ("text/csv", "text/plain"):
        known = [each for _, each in texts if each == kind]
        assert client.told.count(f"Unsupported content type {kind}") == len(known) > 0


def test_it_is_typed(client: Generated) -> None:
    """All of it, and a program that uses it, in mypy's strict mode."""
    told = run(client.folder, "-m", "mypy", "--cache-dir", "cache", "yard_client", "acts.py")
    assert "Success: no issues found" in told


def test_it_receives_doses_mixes_lays_up_photographs_and_says_what_now(client: Generated) -> None:
    """On a real service; what is refused comes as a problem."""
    found = json.loads(run(client.folder, "-W", "error", "acts.py", client.address))
    assert found.pop("window").keys() == {"from", "until"}
    assert found == {
        "received": ["20 kg", "1 kg"],
        "peroxide": "20 g",
        "drawn": [1, 2],
        "laid": ["laminate", [1]],
        "photographed": [True, False, True, "a ply"],
        "now": [["Ply 1", "SHED", "D-7"]],
        "refused": ["unknown-reference", False],
    }


def test_it_reads_every_worked_example(client: Generated) -> None:
    """And writes it as it was: no field is taken for another, none is lost."""
    told = run(client.folder, "examples.py", "openapi.json").strip()
    assert told.isdigit(), told
    assert int(told) > 150
