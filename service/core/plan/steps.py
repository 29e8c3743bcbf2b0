"""The steps of a chain: what is laid, worked on, waited for, one after another on one part."""

from __future__ import annotations

from dataclasses import dataclass

from ..cure.layer import Layer


@dataclass(frozen=True)
class Lay:
    """Something laid down that cures.

    Attributes:
        layer: its length of application is `finished - started`, s; laid at any time.
        abrade: s that abrading the layer below takes, if the window is missed; None where
            it is not to be abraded, so that only the window will do.
    """

    title: str
    layer: Layer
    abrade: float | None = None

    @property
    def length(self) -> float:
        """Hands-on time, s, without abrading."""
        return self.layer.finished - self.layer.started


@dataclass(frozen=True)
class Work:
    """Hands-on work of so many s on the hard part, which leaves a face fit for the next layer."""

    title: str
    length: float


@dataclass(frozen=True)
class Wait:
    """So many s in which nobody is at it: drying, cooling, settling."""

    title: str
    length: float


@dataclass(frozen=True)
class Hold:
    """Nothing goes on before a moment (epoch s): an inspection, a delivery."""

    title: str
    until: float


Step = Lay | Work | Wait | Hold


@dataclass(frozen=True)
class Ground:
    """What the first step goes on, if something was laid before: epoch s.

    Attributes:
        opens, closes: its recoat window, inwards; infinite and minus infinite without one.
        ready: when it is hard enough to be abraded, at the latest.
    """

    opens: float
    closes: float
    ready: float
