"""Tokens: who may ask, and in what role. A secret is told once, when it is made."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.yard import tokens
from ...acts.yard.tokens import NewTokenView, TokenView
from ...core.errors import NotAllowed
from ...store.yard.hands import LONGEST_NAME, ROLES
from .. import fields
from ..context.people import is_keeper
from ..context.request import hand, now
from ..fields.schemas import Body
from ..fields.views import answer
from ..http import paging
from ..http.access import reads, writes
from ..http.blueprint import Blueprint

blp = Blueprint("tokens", __name__, url_prefix="/v1/tokens", description="Who may ask.")


class TokenIn(Body):
    """Whom a token is for."""

    name = fields.Text(required=True, most=LONGEST_NAME)
    role = fields.Choice(ROLES, required=True)


class RevocationIn(Body):
    """Why a token is revoked."""

    reason = fields.Text(load_default=None)


@blp.route("")
class Tokens(MethodView):
    """Everybody who may ask, or might."""

    @blp.arguments(paging.Page, location="query")
    @reads(role="admin")
    @blp.response(200, paging.listing(answer(TokenView)))
    def get(self, query: dict[str, Any]) -> dict[str, Any]:
        """List tokens, revoked ones too, newest first."""
        return paging.page(query, tokens.list_tokens)

    @blp.arguments(TokenIn)
    @writes(role="admin", keyed=False)
    @blp.response(201, answer(NewTokenView))
    def post(self, body: dict[str, Any]) -> Any:
        """Make a token; its secret stands in this answer alone."""
        _proven()
        return tokens.add_token(**body, now=now(), hand=hand()), 201


@blp.route("/<id:token>/revocation")
class Revocation(MethodView):
    """The end of a token."""

    @blp.arguments(RevocationIn)
    @writes(role="admin")
    @blp.response(201, answer(TokenView))
    def post(self, body: dict[str, Any], token: int) -> Any:
        """Revoke a token, for good; it stays on record."""
        _proven()
        return tokens.revoke_token(token, **body, now=now(), hand=hand()), 201


def _proven() -> None:
    """Where nobody has to log in, any program of the machine could shut its people out."""
    if not (hand().verified or is_keeper()):
        raise NotAllowed(
            "The first token is made on the store itself.",
            advice="There, with CUREYARD_URL unset: cureyard token add NAME --role admin",
        )
