"""Who acts: the name that goes beside every recorded row, and what that person may do."""

from __future__ import annotations

import re
from typing import Literal

from ...core.amounts.visible import is_seen
from ...core.errors import NotAllowed
from ...core.frozen import frozen

Role = Literal["viewer", "hand", "lead", "admin", "sensor"]
ROLES: tuple[Role, ...] = ("viewer", "hand", "lead", "admin")
"""The roles of people: each may do what those before it may. A sensor is none of them: it may post
readings of its bay, and look at nothing."""
LONGEST_NAME = 64
NAMES_ARE = f"Give 1 to {LONGEST_NAME} printable characters."


@frozen
class Hand:
    """A person at work.

    Attributes:
        name: what is recorded beside what the person does.
        verified: whether a login proved the name.
        role: what the person may do; no more than a hand's work unless it is said.
        bay_id: of a sensor, the one bay that it speaks of.
    """

    name: str
    verified: bool
    role: Role = "hand"
    bay_id: int | None = None

    def signed(self, now: int) -> dict[str, object]:
        """The columns that say who recorded a row and when (epoch seconds)."""
        return {"recorded_at": now, "who": self.name, "verified": self.verified}

    def is_at_least(self, role: Role) -> bool:
        """Whether the person may do what that role may."""
        return self.role in ROLES and ROLES.index(self.role) >= ROLES.index(role)

    def must_be(self, role: Role, what: str = "That") -> None:
        """Refuse what the person's role does not cover.

        Args:
            role: the least role that may.
            what: is asked for, as a sentence begins.

        Raises: NotAllowed, which says who may.
        """
        if not self.is_at_least(role):
            above = ROLES[ROLES.index(role) + 1 :]
            whom = " or ".join(_one(each) for each in (role, *above))
            raise NotAllowed(
                f"{what} needs {_one(role)}, and {self.name} is {_one(self.role)} here.",
                advice=f"Ask {whom}.",
                role=role,
            )


def is_name(text: str) -> bool:
    """Whether a text can stand for a person: printable, not only signs, and not too long."""
    name = text.strip()
    marks = is_seen(name) and bool(re.search(r"\w", name))
    return name.isprintable() and marks and len(name) <= LONGEST_NAME


def _one(role: Role) -> str:
    return f"an {role}" if role == "admin" else f"a {role}"
