"""Tokens: who may ask, and in what role. A secret is shown once, when it is made."""

from __future__ import annotations

from typing import Any, get_args

from flask.views import MethodView

from ...acts.yard import tokens
from ...acts.yard.tokens import NewTokenView, TokenView
from ...core.errors import NotAllowed
from ...store.yard.hands import LONGEST_NAME, Role
from .. import fields
from ..context.people import is_keeper
from ..context.request import hand, now
from ..fields.schemas import Body, Loaded
from ..fields.views import answer
from ..http import paging
from ..http.access import reads, writes
from ..http.blueprint import Blueprint

blp = Blueprint("tokens", __name__, url_prefix="/v1/tokens", description="Who may use the service.")


class TokenIn(Body):
    """Whom a token is for; `bay` of a sensor alone."""

    name = fields.Text(required=True, most=LONGEST_NAME)
    role = fields.Choice(get_args(Role), required=True)
    bay = fields.Code(load_default=None)


class RevocationIn(Body):
    """Why a token is revoked."""

    reason = fields.Text(load_default=None)


@blp.route("")
class Tokens(MethodView):
    """The tokens."""

    @blp.arguments(paging.Page, location="query")
    @reads(role="admin")
    @blp.response(200, paging.listing(answer(TokenView)))
    def get(self, query: Loaded) -> paging.Listed:
        """List tokens, revoked ones too, newest first."""
        return paging.page(query, tokens.list_tokens)

    @blp.arguments(TokenIn)
    @writes(role="admin", shown_once="token")
    @blp.response(201, answer(NewTokenView))
    def post(self, body: Loaded) -> Any:
        """Make a token; its secret is in this answer alone, so a retry with its key is refused."""
        need_proof()
        return tokens.add_token(**body, now=now(), hand=hand()), 201


@blp.route("/<id:token>/revocation")
class Revocation(MethodView):
    """The revocation of a token."""

    @blp.arguments(RevocationIn)
    @writes(role="admin")
    @blp.response(201, answer(TokenView))
    def post(self, body: Loaded, token: int) -> Any:
        """Revoke a token for good; it stays on record."""
        need_proof()
        return tokens.revoke_token(token, **body, now=now(), hand=hand()), 201


def need_proof() -> None:
    """Refuse, if a program of this machine could lock its people out: nothing proves the name."""
    if not (hand().verified or is_keeper()):
        raise NotAllowed(
            "The first token is made on the store itself.",
            advice="There, with CUREYARD_URL unset: cureyard token add NAME --role admin",
        )
