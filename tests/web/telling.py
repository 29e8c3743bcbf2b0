"""What a served process says on its error output, so that a test knows how far it has come."""

TELLING = """
import sys
from cureyard_service.web.context.settings import Settings
from cureyard_service.web.context.streams import Streams
from cureyard_service.web.http import keys
from cureyard_service.web.resources import milestones
from cureyard_service.web.serve import serve


def told(words, of, name):
    plain = getattr(of, name)

    def telling(*given, **named):
        print(words, file=sys.stderr, flush=True)
        return plain(*given, **named)

    setattr(of, name, telling)


milestones.HEARTBEAT_S = 10_000  # so that no heartbeat tells who hung up
told("it writes", keys, "once")
told("it stops", Streams, "end_all")
"""
"""The head of a program for `python -c`, which goes on with a call of `serve`."""
