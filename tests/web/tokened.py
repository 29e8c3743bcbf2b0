"""People of a yard where everybody shows a token."""

from __future__ import annotations

from dataclasses import dataclass

from cureyard_service.acts.yard import tokens
from cureyard_service.store.engine.database import db
from cureyard_service.store.yard.hands import ROLES, Hand, Role
from flask import Flask

from .conftest import MORNING

KEEPER = Hand("Keeper", verified=False, role="admin")
"""Who makes tokens on the store itself."""


@dataclass(frozen=True)
class Known:
    """A person with a token."""

    id: int
    name: str
    secret: str

    @property
    def bearer(self) -> dict[str, str]:
        """The header that shows the token."""
        return {"Authorization": f"Bearer {self.secret}"}


def given(name: str, role: Role, bay: str | None = None) -> Known:
    """A person who was given a token, or the sensor of a bay."""
    made = tokens.add_token(name=name, role=role, bay=bay, now=MORNING, hand=KEEPER)
    return Known(made.id, name, made.token)


def one_of_each() -> dict[Role, Known]:
    """A person of each role."""
    return {role: given(role.title(), role) for role in ROLES}


def database_of(app: Flask) -> str:
    """The address of the store that a service is on, let go so that another may open it."""
    address: str = app.extensions["cureyard"].settings.database
    db.close()
    return address
