"""The tokens that this user keeps, one for each service, in a file that nobody else can read.

A token is sent only to its own service. It is never an argument of a command, where every user
of the machine could read it.
"""

from __future__ import annotations

import json
import os
import stat
from contextlib import suppress
from pathlib import Path

from .exits import Stopped
from .settings import Settings


def default_file() -> Path:
    """`tokens.json` in the user's config folder."""
    import platformdirs  # late: only a command that runs needs it

    return platformdirs.user_config_path("cureyard", appauthor=False) / "tokens.json"


def kept_for(settings: Settings) -> str | None:
    """The token kept for the service that the settings name, or None.

    Raises:
        Stopped: other users can read the file, or there are no tokens in it.
    """
    return _read(default_file()).get(_service(settings))


def keep(settings: Settings, token: str) -> Path:
    """Keep a token for the service that the settings name, and return the file.

    Raises:
        Stopped: as `kept_for`, or the file can't be written.
    """
    import tempfile  # late: few commands keep a token

    file = default_file()
    tokens = {**_read(file), _service(settings): token}
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        handle, fresh = tempfile.mkstemp(dir=file.parent, prefix=file.name)  # mode 0600
        with os.fdopen(handle, "w", encoding="utf-8") as written:
            json.dump(tokens, written, indent=1)
        os.replace(fresh, file)
    except OSError as error:
        with suppress(NameError, OSError):
            os.unlink(fresh)
        raise Stopped(f"{file} can't be written: {error}.", "Check its folder.") from error
    return file


def _service(settings: Settings) -> str:
    """The name of a service in the file: its address, or where its store is."""
    if settings.url is not None:
        return settings.url.rstrip("/")
    return f"store {settings.database or ''}".strip()


def _read(file: Path) -> dict[str, str]:
    try:
        with file.open(encoding="utf-8") as opened:
            _check_mode(file, os.fstat(opened.fileno()).st_mode)
            tokens = json.load(opened)
    except FileNotFoundError:
        return {}
    except (OSError, ValueError) as error:
        raise Stopped(f"{file} can't be read: {error}.", "Mend it or move it away.") from error
    if not isinstance(tokens, dict) or not all(isinstance(t, str) for t in tokens.values()):
        raise Stopped(f"{file} is no file of tokens.", "Move it away, and keep them again.")
    return tokens


def _check_mode(file: Path, mode: int) -> None:
    if os.name == "posix" and stat.S_IMODE(mode) & 0o077:
        raise Stopped(
            f"{file} has tokens in it, and others may read it.",
            f"Run: chmod 600 '{file}'. If somebody may have read it, have the tokens revoked.",
        )
