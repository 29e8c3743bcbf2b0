"""The yard at the end of the worked story, in a process of its own; everybody shows a token."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from itertools import count

from cureyard_service.acts.yard import recognising
from cureyard_service.store.engine.database import db, open_store
from cureyard_service.web.worked import steps

from ..engines import Engine
from .tokened import Known, given
from .worked import play

END = max(int(datetime.fromisoformat(step.at).timestamp()) for step in steps() if step.at)
"""The moment at which the story ends."""

PROGRAM = """
import sys
from cureyard_service.web.serve import serve
from cureyard_service.web.context.settings import Settings
database, moment = sys.argv[1:]
settings = Settings(database=database, zone="UTC")
serve("127.0.0.1", 0, settings, clock=lambda: int(moment), behind_proxy=True)
"""


class ServedYard:
    """A yard, for as long as somebody asks.

    Attributes:
        address: where it is served.
    """

    def __init__(self, address: str) -> None:
        self.address = address
        self._known: Known | None = None
        self._asked = count(1)

    def headers(self) -> dict[str, str]:
        """Headers of a request that shows a token, and comes from a machine of its own.

        So nobody is slowed down by the wrong tokens of another request. A token that a request
        before has revoked is not shown again.
        """
        number = next(self._asked)
        try:
            if self._known is None or recognising.recognised(self._known.secret) is None:
                self._known = given("Ada", "admin")
        finally:
            db.close()  # whoever asks next may be another thread
        machine = f"10.{number >> 16 & 255}.{number >> 8 & 255}.{number & 255}"
        return self._known.bearer | {"X-Forwarded-For": machine}


@contextmanager
def served(engine: Engine) -> Iterator[ServedYard]:
    """The yard, on a store of its own."""
    with engine.copy(lived) as url:
        open_store(url)
        command = [sys.executable, "-c", PROGRAM, url, str(END)]
        with subprocess.Popen(command, stderr=subprocess.PIPE, text=True) as process:
            try:
                line = process.stderr.readline()
                address = re.search(r"http://\S+", line)
                assert address is not None, line + process.stderr.read()
                yield ServedYard(address[0])
            finally:
                process.kill()
                db.close()


def lived(url: str) -> None:
    """Live the worked story through in a store."""
    for _ in play(url):
        pass
