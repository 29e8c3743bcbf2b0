"""The steps of a chain on one part: layers, work, waits and holds, one after another."""

from __future__ import annotations

from ..cure.layer import Layer
from ..frozen import frozen


@frozen
class Lay:
    """A layer that cures.

    Attributes:
        layer: begun at any time; its application takes `finished - started` s.
        abrade: s that abrading the layer below takes, if the window is missed; None if that is not
            allowed, so that the layer must go on inside the window.
    """

    title: str
    layer: Layer
    abrade: float | None = None

    @property
    def length(self) -> float:
        """Hands-on time, s, without abrading."""
        return self.layer.finished - self.layer.started


@frozen
class Work:
    """Hands-on work on the hard part, length in s; it leaves a face ready for the next layer."""

    title: str
    length: float


@frozen
class Wait:
    """A time (s) without work: drying, cooling, settling."""

    title: str
    length: float


@frozen
class Hold:
    """A moment (epoch s) before which nothing goes on: an inspection, a delivery."""

    title: str
    until: float


Step = Lay | Work | Wait | Hold


@frozen
class Ground:
    """The layer that the first step goes on, if the part has one already; epoch s.

    Attributes:
        opens, closes: its recoat window, latest opening to earliest closing; infinity and minus
            infinity without one.
        ready: the latest time by which it is hard enough to be abraded.
    """

    opens: float
    closes: float
    ready: float
