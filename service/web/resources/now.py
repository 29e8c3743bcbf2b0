"""What to do now: the yard at a glance."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.wall.now import NowView, what_now
from ..context.request import now
from ..fields.views import answer
from ..http.access import reads
from ..http.blueprint import Blueprint

blp = Blueprint("now", __name__, url_prefix="/v1/now", description="What to do now.")


@blp.route("")
class Now(MethodView):
    """The yard at a glance."""

    @reads()
    @blp.response(200, answer(NowView))
    def get(self) -> Any:
        """Show what to do now: windows, layers to sand, pots not laid up, stock near its end."""
        return what_now(now())
