"""Phones: who may use the service from a browser of their own, let in by a one-time code."""

from __future__ import annotations

from typing import Any

from flask import request
from flask.views import MethodView

from ...acts.yard import phones
from ...acts.yard.phones import NewPhoneView, PhoneView
from ...acts.yard.settings import show_yard
from ...store.yard.hands import LONGEST_NAME
from ...store.yard.phones import PHONE_ROLES
from .. import fields
from ..context.house import house
from ..context.request import hand, now, person
from ..fields.schemas import Body, Loaded
from ..fields.views import answer
from ..http import paging
from ..http.access import reads, writes
from ..http.blueprint import Blueprint
from ..lan import place
from ..problems import NotServed
from .tokens import RevocationIn, need_proof

blp = Blueprint("phones", __name__, url_prefix="/v1/phones", description="Phones of the yard.")


class PhoneIn(Body):
    """Whose phone it is to be."""

    name = fields.Text(required=True, most=LONGEST_NAME)
    role = fields.Choice(PHONE_ROLES, required=True)


class Named(paging.Page):
    """Which phones are wanted."""

    name = fields.Text(
        load_default=None, metadata={"description": "Only phones of exactly this name."}
    )


@blp.route("")
class Phones(MethodView):
    """The phones."""

    @blp.arguments(Named, location="query")
    @reads(role="admin")
    @blp.response(200, paging.listing(answer(PhoneView)))
    def get(self, query: Loaded) -> paging.Listed:
        """List phones, those that are out too, newest first."""
        return paging.page(
            query, lambda after, limit: phones.list_phones(query["name"], after, limit, now())
        )

    @blp.arguments(PhoneIn)
    @writes(role="admin", keyed=False)
    @blp.response(201, answer(NewPhoneView))
    def post(self, body: Loaded) -> Any:
        """Add a phone; the address that lets it in, once and for ten minutes, is here alone."""
        need_proof()
        served = _served()
        row = person().row
        phone, code = phones.add_phone(
            **body, maker_id=None if row is None else row.id, now=now(), hand=hand()
        )
        address = f"{served.address}/pair/{code}"
        fingerprint = served.fingerprint or None
        return NewPhoneView(**vars(phone), address=address, fingerprint=fingerprint), 201


@blp.route("/<id:phone>/revocation")
class PhoneRevocation(MethodView):
    """The revocation of a phone."""

    @blp.arguments(RevocationIn)
    @writes(role="admin")
    @blp.response(201, answer(PhoneView))
    def post(self, body: Loaded, phone: int) -> Any:
        """Remove a phone for good, or a code that waits; it stays on record."""
        need_proof()
        return phones.remove_phone(phone, **body, now=now(), hand=hand()), 201


def _served() -> place.Served:
    """Where phones reach the yard: on its own network, or by the address that a proxy has.

    Raises: NotServed: nowhere with TLS.
    """
    served = place.served(house().settings.database)
    if served is not None:
        return served
    own = show_yard().address or ""
    asked = request.host_url if house().behind_proxy and request.is_secure else ""
    for address in (own, asked):
        if address.startswith("https://"):
            return place.Served(address.rstrip("/"), "")
    raise NotServed(
        "No phone reaches this yard: nothing serves it to other machines.",
        advice="Serve it to the yard's network first.",
    )
