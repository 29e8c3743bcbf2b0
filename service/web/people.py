"""Who is asking, and what that person may do.

While nobody has to log in, the service answers only its own machine (see `guards`), so
whoever asks is the one person there: a lead, by the name that the request gives, which
nothing proves.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal
from urllib.parse import unquote

from flask import current_app, request

from ..core.errors import Invalid, NotAllowed
from ..store.hands import Hand

Role = Literal["viewer", "hand", "lead", "admin"]
ROLES: tuple[Role, ...] = ("viewer", "hand", "lead", "admin")
"""Each may do what those before it may."""

HEADER = "Cureyard-Hand"
LONGEST_NAME = 64


@dataclass(frozen=True)
class Person:
    """Who asks.

    Attributes:
        hand: the name that is recorded beside what is done.
        role: what it may do.
        scope: what tells this person's idempotency keys from another's.
    """

    hand: Hand
    role: Role
    scope: str

    def must_be(self, role: Role) -> None:
        """Refuse what the person's role does not cover.

        Raises:
            NotAllowed: the role is below the one that it takes.
        """
        if ROLES.index(self.role) < ROLES.index(role):
            raise NotAllowed(
                f"That takes the role '{role}', and this is '{self.role}'.",
                advice=f"Ask somebody who is '{role}'.",
            )


def who_asks() -> Person:
    """The person behind the request being answered.

    Raises:
        Invalid: the header with the name is not a name.
    """
    given = request.headers.get(HEADER)
    name = current_app.extensions["cureyard"].settings.hand if given is None else _name(given)
    return Person(Hand(name, verified=False), "lead", scope="")


def _name(given: str) -> str:
    try:
        name = unquote(given, errors="strict").strip()
    except UnicodeDecodeError:
        name = ""
    if not name.isprintable() or not re.search(r"\w", name) or len(name) > LONGEST_NAME:
        raise Invalid(
            f"{HEADER} is not a name.",
            advice=f"Give 1 to {LONGEST_NAME} printable characters, percent-encoded as UTF-8.",
        )
    return name
