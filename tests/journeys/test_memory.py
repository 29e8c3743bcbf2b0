"""What a service keeps of memory after the largest photographs, one after another."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest
import requests

from .. import makers, pictures
from ..waiting import HANGS_S
from .conftest import CUREYARD, Hand

pytestmark = [
    pytest.mark.only_on("sqlite"),
    pytest.mark.skipif(sys.platform != "linux", reason="reads memory as Linux has it"),
]

TIMES = 16
"""Read into memory whole, so many left 480 MiB behind: some in each of the service's threads."""

MOST_MIB = 60
"""That the service may have grown by; 20 were seen, half of it what the first request imports."""


def resident(process: int) -> int:
    """The memory that a process has, MiB."""
    status = Path(f"/proc/{process}/status").read_text(encoding="utf-8")
    found = re.search(r"VmRSS:\s+(\d+) kB", status)
    assert found is not None
    return int(found[1]) // 1024


def test_the_largest_photographs_leave_it_as_large_as_it_was(tmp_path: Path) -> None:
    """12 million pixels each, and 19 MB: what follows a JPEG's end is no harm to it."""
    raw = pictures.jpeg(size=(4000, 3000))
    raw += bytes(19_000_000 - len(raw))
    hand = Hand.at(tmp_path, database=str(tmp_path / "yard.sqlite"), zone="UTC", hand="Ada")
    command = [CUREYARD, "serve", "--port", "0"]
    with subprocess.Popen(
        command, env=hand.environment, stderr=subprocess.PIPE, text=True
    ) as served:
        try:
            assert served.stderr is not None
            address = served.stderr.readline().split()[-1]
            made = requests.post(f"{address}/v1/jobs", json=makers.job(), timeout=HANGS_S)
            assert made.status_code == 201
            before = resident(served.pid)
            for number in range(TIMES):
                sent = requests.post(
                    f"{address}/v1/jobs/D-7/photographs?shows=step+{number}",
                    data=raw, headers={"Content-Type": "image/jpeg"}, timeout=HANGS_S,
                )  # fmt: skip
                assert sent.status_code == 201, sent.text
            assert resident(served.pid) - before < MOST_MIB
        finally:
            served.kill()
