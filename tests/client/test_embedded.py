"""The service in this process: the same answers as over a socket, from a store of its own."""

from __future__ import annotations

import json
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from cureyard_client import embedded
from cureyard_client.api import Api, at
from cureyard_client.exits import Refused, Stopped
from cureyard_client.main import program
from cureyard_client.settings import Settings

from ..waiting import HANGS_S


@pytest.fixture
def settings(tmp_path: Path) -> Iterator[Settings]:
    """A store that is not there yet."""
    yield Settings(database=str(tmp_path / "deep" / "yard.sqlite"), zone="Europe/Lisbon")
    embedded.close()


@pytest.fixture
def api(settings: Settings) -> Api:
    """The service in this process."""
    return Api(embedded.HERE, hand="Zoë", transport=embedded.open_service(settings))


def test_a_store_is_made_where_there_is_none(api: Api, settings: Settings) -> None:
    """The first question makes the folder, the store and its yard."""
    assert api.get("/v1/yard").body["zone"] == "Europe/Lisbon"
    assert Path(settings.database or "").is_file()


def test_what_is_done_stays(api: Api, settings: Settings) -> None:
    """A job opened by one session is seen by the next, with who did it."""
    api.post("/v1/jobs", {"number": "D-7", "title": "Stemsår", "craft": "Teal"})
    embedded.close()
    again = Api(embedded.HERE, transport=embedded.open_service(settings))
    assert again.get(at("jobs", "D-7")).body["title"] == "Stemsår"


def test_a_query_and_its_refusal(api: Api) -> None:
    """Queries, ETags and problem documents come through as over a socket."""
    assert api.get("/v1/jobs", limit=1).body == {"items": [], "next": None}
    with pytest.raises(Refused) as caught:
        api.get("/v1/jobs", limit=1, colour="red")
    assert (caught.value.status, caught.value.problem["changed"]) == (422, False)
    api.post("/v1/jobs", {"number": "D-7", "title": "Stem", "craft": "Teal"})
    assert api.get(at("jobs", "D-7")).etag
    assert api.patch(at("jobs", "D-7"), {"title": "Stem, port"}).body["title"] == "Stem, port"


def test_a_path_that_is_no_code(api: Api) -> None:
    """A slash inside a code stays inside it, and is refused as no such thing."""
    with pytest.raises(Refused) as caught:
        api.get(at("jobs", "a/b"))
    assert caught.value.status == 404


@pytest.mark.parametrize(
    ("given", "code"),
    [
        ({"database": "postgres:/nowhere"}, 3),
        ({"database": "mysql://yard"}, 3),
        ({"zone": "Mars/Olympus"}, 2),
    ],
)
def test_settings_that_can_not_be(tmp_path: Path, given: dict[str, str], code: int) -> None:
    """What can't be opened is told in words, with its exit."""
    chosen = Settings(**{"database": str(tmp_path / "yard.sqlite"), **given})
    if given.get("database") == "postgres:/nowhere":
        (tmp_path / "file").write_text("not a store")
        chosen = Settings(database=str(tmp_path / "file"))
    with pytest.raises(Stopped) as caught:
        embedded.open_service(chosen)
    assert caught.value.exit_code == code
    assert caught.value.message


def test_prove_says_where_the_books_break(settings: Settings, api: Api) -> None:
    """Sound books pass; a figure changed behind the store's back is found, with exit 1."""
    api.post("/v1/products", {"code": "MICROS", "name": "Microspheres", "role": "filler"})
    api.post("/v1/lots", {"product": "MICROS", "number": "M-1", "quantity": "5 kg"})
    line = ["--database", settings.database or "", "prove"]
    assert CliRunner().invoke(program, line).exit_code == 0
    embedded.close()
    with sqlite3.connect(settings.database or "") as file:
        file.execute("UPDATE lot SET on_hand = on_hand + 1")
    file.close()
    done = CliRunner().invoke(program, line)
    assert done.exit_code == 1
    assert "BROKEN  lots are the sum of their lines" in done.stdout
    assert "M-1" in done.stdout
    assert "do not hold" in done.stderr
    proofs = json.loads(CliRunner().invoke(program, [*line, "--json"]).stdout)["proofs"]
    assert "lots are the sum of their lines" in {p["name"] for p in proofs if not p["ok"]}


def served(settings: Settings, *more: str) -> subprocess.Popen[str]:
    """`cureyard serve` in a process of its own."""
    line = [sys.executable, "-c", "from cureyard_client.main import main; main()"]
    line += ["--database", settings.database or "", "serve", "--port", "0", *more]
    return subprocess.Popen(line, stderr=subprocess.PIPE, text=True)


def test_the_same_answers_as_over_a_socket(settings: Settings) -> None:
    """`serve` answers the same as the service in this process, but for the time."""
    with served(settings) as process:
        assert process.stderr is not None
        url = process.stderr.readline().rpartition(" ")[2].strip()
        remote = Api(url, hand="Zoë")
        body = {"code": "SHED", "title": "Shed", "day": "20 degC", "night": "14 degC",
                "day_from": "07:00", "day_until": "18:00"}  # fmt: skip
        made = remote.post("/v1/bays", body)
        with pytest.raises(Refused) as far:
            remote.post("/v1/bays", body)
        remote.close()
        process.terminate()
    here = Api(embedded.HERE, transport=embedded.open_service(settings))
    assert here.get(at("bays", "SHED")).text == made.text
    with pytest.raises(Refused) as near:
        here.post("/v1/bays", body)
    alike: list[dict[str, Any]] = [
        {name: value for name, value in caught.value.problem.items() if name != "type"}
        for caught in (far, near)
    ]
    assert alike[0] == alike[1]
    assert far.value.slug == near.value.slug == "already-exists"


@pytest.mark.parametrize(
    ("more", "code", "words"),
    [(("--host", "0.0.0.0"), 2, "other machines"), (("--port", "70000"), 2, "70000")],
)
def test_where_it_may_not_serve(
    settings: Settings, more: tuple[str, ...], code: int, words: str
) -> None:
    """An address that lets others in, or that is none, is refused before anything is opened."""
    with served(settings, *more) as process:
        _, told = process.communicate(timeout=HANGS_S)
    assert process.returncode == code
    assert words in told


def test_a_port_that_is_taken(settings: Settings, server: Any) -> None:
    """Exit 3, and what to do."""
    with served(settings, "--port", server.url.rpartition(":")[2]) as process:
        _, told = process.communicate(timeout=HANGS_S)
    assert process.returncode == 3
    assert "--port" in told
