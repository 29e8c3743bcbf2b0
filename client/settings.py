"""The settings of a command: a flag beats the environment, which beats the settings file."""

from __future__ import annotations

import os
import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from .addresses import refuse_password
from .exits import Stopped

NAMES = ("url", "token", "database", "zone", "units", "currency", "hand", "job", "bay")
IN_FILE = tuple(name for name in NAMES if name != "token")
"""A token is not: it is kept where nobody else can read it, see `token_file`."""


@dataclass(frozen=True)
class Settings:
    """What a person has set; None means not set.

    Attributes:
        url: the server; without one, the store is opened in this process.
        token: the token of this person; only the environment sets it.
        database: the store's URL or SQLite file, when there is no server.
        zone: IANA time zone of a new yard.
        units: `us` or `metric`; without it, the yard's own.
        currency: ISO 4217 code of a new yard's costs.
        hand: the name that is recorded with each act, where there is no token.
        job, bay: those of a command that names none.
    """

    url: str | None = None
    token: str | None = None
    database: str | None = None
    zone: str | None = None
    units: str | None = None
    currency: str | None = None
    hand: str | None = None
    job: str | None = None
    bay: str | None = None


def load(environment: Mapping[str, str] | None = None, file: Path | None = None) -> Settings:
    """The settings of the environment and of the file.

    Args:
        environment: the process's by default.
        file: `settings.toml` in the user's config folder by default; it need not exist.

    Raises:
        Stopped: an unknown setting, a wrong value, or a file that is not TOML.
    """
    environment = os.environ if environment is None else environment
    chosen = _read(file or default_file())
    for name in NAMES:
        if value := environment.get(f"CUREYARD_{name.upper()}"):
            chosen[name] = value
    return checked(Settings(**chosen))


def override(settings: Settings, **flags: str | None) -> Settings:
    """The settings, changed by a command's flags; a flag of None changes nothing.

    `--database` also unsets a server that was set elsewhere.
    """
    given = {name: value for name, value in flags.items() if value is not None}
    if "database" in given and "url" in given:
        raise Stopped("--url and --database name two different stores.", "Give one of them.")
    if "database" in given:
        refuse_password(given["database"])
        settings = replace(settings, url=None)
    return checked(replace(settings, **given))


def default_file() -> Path:
    """`settings.toml` in the user's config folder."""
    import platformdirs  # late: only a command that runs needs it

    return platformdirs.user_config_path("cureyard", appauthor=False) / "settings.toml"


def keep(changes: Mapping[str, str | None], file: Path | None = None) -> Path:
    """Write some settings into the settings file, beside what is there; None takes one out.

    Returns:
        The file.

    Raises:
        Stopped: the file can't be read or written.
    """
    import json

    file = file or default_file()
    kept = {name: value for name, value in {**_read(file), **changes}.items() if value}
    # A plain string is the same in TOML as in JSON.
    lines = [f"{name} = {json.dumps(value, ensure_ascii=False)}\n" for name, value in kept.items()]
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text("".join(lines), encoding="utf-8")
    except OSError as error:
        raise Stopped(f"{file} can't be written: {error.strerror}.") from error
    return file


def are_kept(names: Collection[str], file: Path) -> bool:
    """Whether the settings file has any of these settings."""
    return not _read(file).keys().isdisjoint(names)


def _read(file: Path) -> dict[str, str]:
    if not file.is_file():
        return {}
    import tomllib

    try:
        table = tomllib.loads(file.read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        raise Stopped(f"{file} can't be read: {error}.", "Mend it or move it away.") from error
    for name, value in table.items():
        if name == "token":
            raise Stopped(
                f"{file} has a token in it, which does not belong there.",
                "Take it out, and keep it with: cureyard token keep",
            )
        if name not in IN_FILE or not isinstance(value, str):
            raise Stopped(
                f"{file}: {name!r} is not a setting, or not a text.",
                f"Settings are texts named {', '.join(IN_FILE)}.",
            )
    return table


def checked(settings: Settings) -> Settings:
    """The same settings.

    Raises:
        Stopped: one of them can't be right.
    """
    if settings.units not in (None, "us", "metric"):
        raise Stopped(f"Units are 'us' or 'metric', not {settings.units!r}.")
    if settings.url is not None and not settings.url.startswith(("http://", "https://")):
        raise Stopped(
            f"{settings.url!r} is not a server's address.",
            "Write it with http:// or https://, such as http://127.0.0.1:8765",
        )
    if settings.token is not None and not re.fullmatch(r"[\x21-\x7e]+", settings.token):
        raise Stopped("That is not a token.", "Copy it again, without spaces.")
    return settings


def hand(settings: Settings) -> str | None:
    """The name to record: the one that was set, or the machine's login."""
    import getpass

    if settings.hand:
        return settings.hand
    try:
        return getpass.getuser()
    except (KeyError, OSError, ImportError):  # there are no logins, as in a container
        return None
