"""The user and the password of a broker: from the environment or a file, never a command line."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

from ..exits import Stopped

VARIABLE, FILE = "CUREYARD_MQTT_LOGIN", "CUREYARD_MQTT_LOGIN_FILE"


def login(environment: Mapping[str, str] | None = None) -> tuple[str, str] | None:
    """User and password; None where neither variable is set.

    Args:
        environment: the process's by default.

    Raises: Stopped: the file can't be read, or the text is not USER:PASSWORD.
    """
    environment = os.environ if environment is None else environment
    text, named = environment.get(VARIABLE), environment.get(FILE)
    if text is None and named is None:
        return None
    if text is None and named is not None:
        try:
            text = Path(named).read_text(encoding="utf-8")
        except (OSError, ValueError) as error:
            raise Stopped(f"{named} can't be read.", f"Mend {FILE}.") from error
    user, colon, password = (text or "").strip().partition(":")
    if not user or not colon:
        raise Stopped(
            "The login of the broker is not USER:PASSWORD.", f"Mend {VARIABLE} or {FILE}."
        )
    return user, password
