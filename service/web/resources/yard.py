"""The yard's own settings."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.yard import settings as yard
from ...core.gates.profiles import PROFILES
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Answer, Body, Loaded
from ..http import versions
from ..http.access import reads, writes
from ..http.blueprint import Blueprint

blp = Blueprint("yard", __name__, url_prefix="/v1/yard", description="The yard's settings.")


UNITS = ("metric", "us")


class YardChange(Body):
    """What may be changed of the yard."""

    zone = fields.Text(most=64)
    units = fields.Choice(UNITS)
    currency = fields.Currency()
    address = fields.Text()
    profile = fields.Choice(PROFILES)


class YardOut(Answer):
    """Where the yard's clock stands, and how it shows amounts and costs."""

    zone = fields.Text(required=True)
    units = fields.Choice(UNITS, required=True)
    currency = fields.Text(required=True)
    address = fields.Text(allow_none=True)
    profile = fields.Choice(PROFILES)
    version = fields.Integer()


@blp.route("")
class Yard(MethodView):
    """The yard."""

    @reads()
    @blp.response(200, YardOut)
    def get(self) -> Any:
        """Show the yard's settings."""
        shown = yard.show_yard()
        return shown, 200, versions.etag(shown.version)

    @blp.arguments(YardChange)
    @writes(role="admin", versioned=True)
    @blp.response(200, YardOut)
    def patch(self, body: Loaded) -> Any:
        """Change the yard's settings; records stay as they are."""
        versions.match(yard.show_yard().version)
        shown = yard.change_yard(**body, now=now(), hand=hand())
        return shown, 200, versions.etag(shown.version)
