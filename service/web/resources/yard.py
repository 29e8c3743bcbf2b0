"""The yard's own settings."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.yard import settings
from ...acts.yard.settings import YardView
from ...core.gates.profiles import PROFILES
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Body
from ..fields.views import answer
from ..http import versions
from ..http.access import reads, writes
from ..http.blueprint import Blueprint
from .lots import Currency

blp = Blueprint("yard", __name__, url_prefix="/v1/yard", description="The yard itself.")


UNITS = ("metric", "us")


class YardChange(Body):
    """What may be changed of the yard."""

    zone = fields.Text(most=64)
    units = fields.Choice(UNITS)
    currency = Currency()
    address = fields.Text()
    profile = fields.Choice(PROFILES)


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
    def patch(self, body: dict[str, Any]) -> Any:
        """Change the yard's settings; what is on record stays as it is."""
        versions.match(settings.show_yard().version)
        shown = settings.change_yard(**body, now=now(), hand=hand())
        return shown, 200, versions.etag(shown.version)
