"""Photographs from files: sent, listed, saved, taken back."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from cureyard_client.main import program

from .. import pictures
from .conftest import Hand

TAPER = ("--shows", "taper ground")


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where somebody has photographs and something else."""
    monkeypatch.chdir(tmp_path)
    for number, name in enumerate(("stem.jpg", "core.jpg")):
        (tmp_path / name).write_bytes(pictures.jpeg((90 * number, 9, 9)))
    (tmp_path / "plan.png").write_bytes(pictures.coded(pictures.drawn(), "PNG"))
    (tmp_path / "notes.jpg").write_text("no picture")
    return tmp_path


def test_several_files_are_kept_and_shown_with_the_job(yard: Hand, folder: Path) -> None:
    """JPEG and PNG; each is said, and the job's own record lists them."""
    said = yard("job", "photo", "26-014", "stem.jpg", "plan.png", *TAPER)
    assert said.count("taper ground") == 2
    assert "job 26-014" in said
    assert "40 × 30 px" in said
    shown = yard("job", "show", "26-014")
    assert shown.count("taper ground") == 2
    assert "photographs" not in json.loads(yard("job", "show", "26-014", "--json"))
    assert yard("photo", "list", "--job", "26-014").count("taper ground") == 2


def test_the_same_file_again_is_kept_once(yard: Hand, folder: Path) -> None:
    """And that is said of that file."""
    yard("lot", "photo", "R-1", "stem.jpg", *TAPER)
    said = yard("lot", "photo", "R-1", "stem.jpg", "core.jpg", *TAPER)
    assert "stem.jpg: the same photograph was kept before" in said
    assert "core.jpg:" not in said
    assert yard("lot", "show", "R-1").count("taper ground") == 2


def test_a_file_that_is_refused_is_named(yard: Hand, folder: Path) -> None:
    """Those before it are kept, and the exit says so."""
    said = yard("job", "photo", "26-014", "stem.jpg", "notes.jpg", "core.jpg", *TAPER, exits=2)
    assert "notes.jpg:" in said
    assert "not a JPEG or a PNG" in said
    listed = json.loads(yard("photo", "list", "--job", "26-014", "--json"))
    assert len(listed["items"]) == 1


@pytest.mark.parametrize(
    "arguments",
    [("job", "photo", "26-014", "stem.jpg"), ("job", "photo", "26-014", *TAPER),
     ("job", "photo", "26-014", "lost.jpg", *TAPER), ("job", "photo", "26-014", ".", *TAPER),
     ("photo", "list"), ("photo", "list", "--job", "26-014", "--lot", "R-1"),
     ("photo", "show", "99"), ("photo", "undo", "0")],
)  # fmt: skip
def test_what_is_typed_wrong_changes_nothing(
    yard: Hand, folder: Path, arguments: tuple[str, ...]
) -> None:
    """A file or word left out, a file that is not there, a thing too many."""
    done = 1 if "99" in arguments else 2
    yard(*arguments, exits=done)
    assert json.loads(yard("photo", "list", "--job", "26-014", "--json"))["items"] == []


def test_a_picture_is_saved_into_a_new_file(yard: Hand, folder: Path) -> None:
    """As it is kept, and never over another file."""
    yard("job", "photo", "26-014", "stem.jpg", *TAPER)
    assert "kept.jpg" in yard("photo", "save", "1", "kept.jpg")
    assert pictures.opened((folder / "kept.jpg").read_bytes()).size == (40, 30)
    assert "there already" in yard("photo", "save", "1", "stem.jpg", exits=2)


def test_the_last_one_is_undone_and_an_earlier_one_by_its_number(yard: Hand, folder: Path) -> None:
    """What is taken back is listed as such, with who and why, and its picture is not had."""
    yard("job", "photo", "26-014", "stem.jpg", "core.jpg", *TAPER)
    assert "photograph 2, taper ground" in yard("undo", "--yes")
    yard("photo", "undo", "1", "--reason", "the wrong boat")
    listed = yard("photo", "list", "--job", "26-014")
    assert "by Ines: the wrong boat" in listed
    assert "by Ines: undone" in listed
    assert "taken back" in yard("photo", "save", "1", "kept.jpg", exits=1)
    assert not (folder / "kept.jpg").exists()


def test_over_the_network_the_file_is_sent_as_it_is(server: Any, folder: Path) -> None:
    """With its type, its caption in the query, and a key of its own for each."""
    kept = {
        "id": 7, "job": "26-014", "layup": None, "lot": None, "shows": "taper ground",
        "width_px": 40, "height_px": 30, "size_bytes": 700, "sha256": "0123456789ab" * 5,
        "at": "2026-03-20T09:46:00+00:00", "who": "Rui", "verified": True, "withdrawn": None,
        "kept_before": False,
    }  # fmt: skip
    server.answer(server.reply(kept, 201))
    done = CliRunner().invoke(
        program, ["--url", server.url, "job", "photo", "26-014", "stem.jpg", "plan.png", *TAPER]
    )
    assert done.exit_code == 0, done.output
    first, second = server.requests
    assert first.body == (folder / "stem.jpg").read_bytes()
    assert first.path == "/v1/jobs/26-014/photographs?shows=taper+ground"
    assert (first.headers["Content-Type"], second.headers["Content-Type"]) == (
        "image/jpeg",
        "image/png",
    )
    assert first.headers["Idempotency-Key"] != second.headers["Idempotency-Key"]
