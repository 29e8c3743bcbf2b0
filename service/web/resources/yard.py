"""The yard's own settings."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts import yard
from .. import fields
from ..access import reads
from ..blueprint import Blueprint
from ..schemas import Answer

blp = Blueprint("yard", __name__, url_prefix="/v1/yard", description="The yard itself.")


class YardOut(Answer):
    """Where the yard's clock stands, and how it shows amounts and costs."""

    zone = fields.Text(required=True)
    units = fields.Choice(("metric", "us"), required=True)
    currency = fields.Text(required=True)
    address = fields.Text(allow_none=True)
    version = fields.Integer()


@blp.route("")
class Yard(MethodView):
    """The yard."""

    @reads()
    @blp.response(200, YardOut)
    def get(self) -> Any:
        """Show the yard's settings."""
        return yard.show_yard()
