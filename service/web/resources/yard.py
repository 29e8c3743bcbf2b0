"""The yard's own settings."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.yard import settings
from ...acts.yard.settings import YardView
from ...core.amounts.quantities import DIFFERENCE
from ...core.gates.profiles import PROFILES
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Body, Loaded
from ..fields.views import answer
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
    sureness = fields.Integer(least=90, most=99)
    jump = fields.Quantity(DIFFERENCE, positive=True)


@blp.route("")
class Yard(MethodView):
    """The yard."""

    @reads()
    @blp.response(200, answer(YardView))
    def get(self) -> Any:
        """Show the yard's settings."""
        shown = settings.show_yard()
        return shown, 200, versions.etag(shown.version)

    @blp.arguments(YardChange)
    @writes(role="admin", versioned=True)
    @blp.response(200, answer(YardView))
    def patch(self, body: Loaded) -> Any:
        """Change the yard's settings; records stay as they are."""
        versions.match(settings.show_yard().version)
        shown = settings.change_yard(**body, now=now(), hand=hand())
        return shown, 200, versions.etag(shown.version)
