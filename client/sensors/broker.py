"""Listens to a topic of an MQTT broker, and comes back to a broker that goes away.

The session is a clean one: what a probe sends while nobody listens is lost. A broker that kept it
would not say when it was measured, and a reading without its moment is worse than none. A retained
message is old for the same reason.
"""

from __future__ import annotations

import ssl
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any
from urllib.parse import unquote, urlsplit

from ..exits import Stopped, Unreached

PORTS = {"mqtt": 1883, "mqtts": 8883}
KEEP_ALIVE_S = 30
"""A broker that went away without a word is noticed after one and a half times this."""
FIRST_PAUSE_S, LONGEST_PAUSE_S = 1, 30
AT_LEAST_ONCE = 1
_WRITE = "Write it as in mqtt://broker.example/shed/temperature"


@dataclass(frozen=True)
class Address:
    """A topic of a broker; `secure` by TLS."""

    host: str
    port: int
    topic: str
    secure: bool

    @classmethod
    def of(cls, text: str) -> Address:
        """Read `mqtt://HOST[:PORT]/TOPIC`, or mqtts.

        Raises: Stopped: it is none, has a password in it, or names more than one topic.
        """
        try:
            parts = urlsplit(text)
            port = parts.port
        except ValueError as error:
            raise Stopped(f"{text!r} is not the address of a topic.", _WRITE) from error
        if parts.username is not None or parts.password is not None:
            raise Stopped(
                "The address has a user in it, which others on this machine could read.",
                "Name a file with USER:PASSWORD in CUREYARD_MQTT_LOGIN_FILE.",
            )
        topic = unquote(parts.path[1:])
        if parts.scheme not in PORTS or not parts.hostname or not topic or "\0" in topic:
            raise Stopped(f"{text!r} is not the address of a topic.", _WRITE)
        if parts.query or parts.fragment or text.endswith("#") or "+" in topic or "#" in topic:
            raise Stopped("A bay's probe has one topic, without + or # or ?.", _WRITE)
        secure = parts.scheme == "mqtts"
        return cls(parts.hostname, port or PORTS[parts.scheme], topic, secure)

    def __str__(self) -> str:
        """For a person."""
        return f"{self.topic} at {self.host}:{self.port}"


class Listener:
    """Hears the messages of a topic, on a thread of its own.

    Args:
        address: the topic. login: user and password, or None.
        heard: is given each message. say: tells a person.
        failed: is given why nothing will ever be heard; only before the first 'Listening'.
    """

    def __init__(
        self,
        address: Address,
        login: tuple[str, str] | None,
        heard: Callable[[bytes], None],
        say: Callable[[str], None],
        failed: Callable[[Stopped], None],
    ) -> None:
        self._address, self._heard, self._say, self._failed = address, heard, say, failed
        self._listened = False
        self._away = ""
        self._retained = False
        self._client = self._made(login)

    def start(self) -> None:
        """Begin; whether the broker is there or not."""
        self._client.connect_async(self._address.host, self._address.port, KEEP_ALIVE_S)
        self._client.loop_start()

    def stop(self) -> None:
        """Take leave of the broker."""
        self._client.disconnect()
        self._client.loop_stop()

    def _made(self, login: tuple[str, str] | None) -> Any:
        try:
            from paho.mqtt.client import Client
            from paho.mqtt.enums import CallbackAPIVersion
        except ImportError as error:
            raise Stopped(
                "To listen to a broker takes a library that is not installed.",
                "Install it: pip install 'cureyard[mqtt]'",
            ) from error
        client = Client(CallbackAPIVersion.VERSION2, reconnect_on_failure=True)
        client.reconnect_delay_set(FIRST_PAUSE_S, LONGEST_PAUSE_S)
        if self._address.secure:
            client.tls_set_context(ssl.create_default_context())
        if login is not None:
            client.username_pw_set(*login)
        client.on_connect = self._on_connect
        client.on_connect_fail = self._on_connect_fail
        client.on_disconnect = self._on_disconnect
        client.on_subscribe = self._on_subscribe
        client.on_message = self._on_message
        return client

    def _on_connect(self, client: Any, _data: Any, _flags: Any, reason: Any, _more: Any) -> None:
        if not reason.is_failure:
            client.subscribe(self._address.topic, AT_LEAST_ONCE)
        else:
            self._refused(f"The broker refuses: {reason}.", "Check its user and password.")

    def _on_connect_fail(self, _client: Any, _data: Any) -> None:
        self._is_away("No broker answers, or its certificate is not trusted")

    def _on_disconnect(
        self, _client: Any, _data: Any, _flags: Any, reason: Any, _more: Any
    ) -> None:
        if reason.is_failure:
            self._is_away("The broker is gone")

    def _on_subscribe(self, _client: Any, _data: Any, _id: Any, reasons: Any, _more: Any) -> None:
        if any(reason.is_failure for reason in reasons):
            self._refused(f"The broker refuses the topic {self._address.topic}.", "Ask its keeper.")
            return
        self._listened, self._away = True, ""
        self._say(f"Listening to {self._address}; Ctrl-C ends it.")

    def _on_message(self, _client: Any, _data: Any, message: Any) -> None:
        """Whatever is raised here would end the thread without a word."""
        try:
            if not message.retain:
                self._heard(message.payload)
            elif not self._retained:
                self._retained = True
                self._say("A message that the broker kept is old: it is passed over.")
        except Exception as error:
            self._say(f"A message was passed over: {type(error).__name__}: {error}")

    def _refused(self, why: str, advice: str) -> None:
        if self._listened:
            self._is_away(why)
        else:
            self._failed(Unreached(why, advice))

    def _is_away(self, why: str) -> None:
        if self._away != why:
            self._away = why
            self._say(f"{why}: {self._address.host}:{self._address.port}. It is tried again.")
