"""Whether the service is alive, and whether it could do a person's work now."""

from __future__ import annotations

from flask.views import MethodView

from ...core.errors import Busy
from ...store.engine.database import writing
from ...store.engine.faults import StoreUnusable
from ...store.engine.turns import Turn
from .. import fields
from ..fields.schemas import Answer
from ..http.access import storeless
from ..http.blueprint import Blueprint
from ..problems import NotReady

blp = Blueprint("health", __name__, description="The health of the service.")


class StateOut(Answer):
    """How the service is."""

    state = fields.Choice(("alive", "ready"), required=True)


@blp.route("/healthz")
class Alive(MethodView):
    """The process itself."""

    @storeless()
    @blp.response(200, StateOut)
    def get(self) -> dict[str, str]:
        """Say that the service runs, whatever its store does."""
        return {"state": "alive"}


@blp.route("/readyz")
class Ready(MethodView):
    """The process and its store."""

    @storeless()
    @blp.response(200, StateOut)
    def get(self) -> dict[str, str]:
        """Say that the store is of this program's version and can be written now."""
        try:
            with writing(Turn.BESIDE):  # locks and checks the version, as any act does
                return {"state": "ready"}
        except (Busy, StoreUnusable):
            raise
        except Exception as error:  # whatever the reason, no act could be done
            raise NotReady(
                "The store does not answer.", advice="Look into the service's log."
            ) from error
