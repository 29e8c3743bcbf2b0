"""What to do now: the yard at a glance."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.wall.now import NowView, what_now
from ..context.request import now
from ..fields.views import answer
from ..http.access import reads
from ..http.blueprint import Blueprint
from ..http.still import Shown

_AIR = ("temperature", "uncertainty", "read", "at")

blp = Blueprint("now", __name__, url_prefix="/v1/now", description="What to do now.")


def _moving(shown: Shown) -> dict[str, Any]:
    """The moment and the bays' air move; what is said of a bay and of its probe counts."""
    return {"at": None, "bays": [_said(bay) for bay in shown["bays"]]}


def _said(bay: Shown) -> Shown:
    probe = bay["probe"]
    if probe is not None and probe["state"] == "heard":
        probe = probe | {"at": None}
    kept = {name: value for name, value in bay.items() if name not in _AIR}
    return kept | {"probe": probe, "read": bay["read"] is not None}


@blp.route("")
class Now(MethodView):
    """The yard at a glance."""

    @reads()
    @blp.response(200, answer(NowView), moving=_moving)
    def get(self) -> Any:
        """Show what to do now: windows, layers to sand, pots not laid up, stock near its end."""
        return what_now(now())
