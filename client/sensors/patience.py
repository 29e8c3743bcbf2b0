"""Sends again what had no answer, until it is answered; with a longer and longer pause."""

from __future__ import annotations

import time
from collections.abc import Callable

from ..api import Answer
from ..exits import Faulty, Refused, Unreached

FIRST_S, LONGEST_S = 1.0, 30.0
"""The first pause and the longest one; each is twice the one before."""
_LATER = frozenset({429, 503, 507})
"""Statuses of a service that is busy or full; above 500 it failed."""


def until_answered(send: Callable[[], Answer], say: Callable[[str], None]) -> Answer:
    """Send something until there is an answer; it must be safe to send it again.

    Args:
        send: makes the request. say: tells a person, once when nothing answers and once after.

    Raises: Refused: that is the answer.
    """
    pause, was_away = FIRST_S, False
    while True:
        try:
            answer = send()
        except (Unreached, Faulty) as error:
            if isinstance(error, Refused) and error.status < 500 and error.status not in _LATER:
                raise
            if not was_away:
                say(f"The service does not take it: {error.message} It is tried again until then.")
            was_away = True
        else:
            if was_away:
                say("The service answers again.")
            return answer
        time.sleep(pause)
        pause = min(2 * pause, LONGEST_S)
