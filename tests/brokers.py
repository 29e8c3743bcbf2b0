"""A real MQTT broker, in a process of its own: amqtt, which pip installs with the tests.

Messages are sent by paho-mqtt's own `publish`, as a probe would send them.
"""

from __future__ import annotations

import json
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from paho.mqtt import publish

from .waiting import HANGS_S, until

BEGIN = "import sys; from amqtt.scripts.broker_script import main; sys.argv[0] = 'amqtt'; main()"


@dataclass
class Broker:
    """A broker that is started and stopped at one port.

    Attributes:
        folder: for its settings. login: the one user and the password, if it asks for them.
        certificate: a file with a key and a certificate, if it speaks TLS.
    """

    folder: Path
    login: tuple[str, str] | None = None
    certificate: Path | None = None
    port: int = field(default_factory=lambda: free_port())
    _process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Start it, and wait until it takes connections."""
        settings = self.folder / "broker.json"  # JSON is YAML too
        settings.write_text(json.dumps(self._settings()), encoding="utf-8")
        with (self.folder / "broker.log").open("ab") as log:
            self._process = subprocess.Popen(
                [sys.executable, "-c", BEGIN, "-c", str(settings)], stdout=log, stderr=log
            )
        until(self._answers, "the broker")

    def stop(self) -> None:
        """Take it away as a power cut does."""
        if self._process is not None:
            self._process.kill()
            self._process.wait(HANGS_S)
            self._process = None

    def send(self, payload: str | bytes, topic: str = "shed/temperature", **how: Any) -> None:
        """A message of a probe's, which the broker has when this returns."""
        auth: Any = self.login and dict(zip(("username", "password"), self.login, strict=True))
        tls: Any = self.certificate and {"ca_certs": str(self.certificate)}
        publish.single(
            topic, payload, qos=1, port=self.port, hostname="localhost", auth=auth, tls=tls, **how
        )

    @property
    def address(self) -> str:
        """Its topic, for `cureyard listen`."""
        scheme = "mqtts" if self.certificate else "mqtt"
        return f"{scheme}://localhost:{self.port}/shed/temperature"

    def _answers(self) -> bool:
        assert self._process is not None
        assert self._process.poll() is None, (self.folder / "broker.log").read_text()
        with closing(socket.socket()) as tried:
            return tried.connect_ex(("127.0.0.1", self.port)) == 0

    def _settings(self) -> dict[str, Any]:
        listener: dict[str, Any] = {"type": "tcp", "bind": f"127.0.0.1:{self.port}"}
        if self.certificate is not None:
            file = str(self.certificate)
            listener |= {"ssl": True, "certfile": file, "keyfile": file, "cafile": file}
        return {"listeners": {"default": listener}, "plugins": self._admits()}

    def _admits(self) -> dict[str, Any]:
        if self.login is None:
            return {"amqtt.plugins.authentication.AnonymousAuthPlugin": {"allow_anonymous": True}}
        from pwdlib import PasswordHash  # the broker's own library

        user, password = self.login
        file = self.folder / "users"
        file.write_text(f"{user}:{PasswordHash.recommended().hash(password)}\n", encoding="utf-8")
        return {"amqtt.plugins.authentication.FileAuthPlugin": {"password_file": str(file)}}


def free_port() -> int:
    """A port that nobody listens at."""
    with closing(socket.socket()) as found:
        found.bind(("127.0.0.1", 0))
        port: int = found.getsockname()[1]
        return port


@contextmanager
def running(folder: Path, **how: Any) -> Iterator[Broker]:
    """A broker, until the end."""
    broker = Broker(folder, **how)
    broker.start()
    try:
        yield broker
    finally:
        broker.stop()
