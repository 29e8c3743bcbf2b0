"""What HTTP itself makes the service refuse, beside the trade's refusals in `core.errors`."""

from __future__ import annotations

from ...core.errors import Refusal


class Unreadable(Refusal):
    """The body of a request could not be read at all."""

    slug = "unreadable"


class Method(Refusal):
    """The address is there, but does not take that method."""

    slug = "method"


class MediaType(Refusal):
    """The body is of a kind that the address does not take."""

    slug = "media-type"


class TooLarge(Refusal):
    """The body is larger than the service reads."""

    slug = "too-large"


class NotAuthenticated(Refusal):
    """A token is needed, and none came that is known."""

    slug = "not-authenticated"


class SlowDown(Refusal):
    """Too many wrong tokens came from one address. `retry_after_s`: seconds to wait."""

    slug = "slow-down"


class StreamsFull(Refusal):
    """As many streams are open as there may be. `retry_after_s`: seconds to wait."""

    slug = "streams-full"


class ForeignHost(Refusal):
    """Nobody has to log in here, so only this machine itself is answered."""

    slug = "foreign-host"


class CrossSite(Refusal):
    """A page of another site tried to change the store through a person's browser."""

    slug = "cross-site"


class NotReady(Refusal):
    """The service runs, but could not do a person's work now."""

    slug = "not-ready"


class Fault(Refusal):
    """The service itself failed. The id stands in its log."""

    slug = "fault"
