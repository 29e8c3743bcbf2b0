"""What a bay's air is taken to be at a moment, and how that is said and shown."""

from __future__ import annotations

from typing import Annotated, Literal

from ...core.amounts.quantities import TEMPERATURE
from ...core.amounts.sentences import heat
from ...core.amounts.views import Code, Moment, View
from ...core.frozen import frozen
from ...core.words import Text, say
from ...store.bays import Bay
from ..yard import moments

AirBasis = Literal["measured", "assumed"]


@frozen
class ReadView(View):
    """A bay's last reading; the humidity where it was read too."""

    temperature: Annotated[float, TEMPERATURE]
    at: Moment
    humidity_percent: float | None = None


@frozen
class AirTakenView(View):
    """The air of the bay that a part will lie in: what it is taken to be, and what was read."""

    bay: Code
    temperature: Annotated[float, TEMPERATURE]
    basis: AirBasis
    read: ReadView | None


@frozen
class Taken:
    """The temperature, K, that a bay's air is taken to have at a moment, epoch s.

    Attributes:
        basis: `measured` for `air.FRESH_S` after a reading, whose temperature it then has, and
            between two readings within the bay's gap. Later the air follows the pattern: `assumed`.
        read: the last reading within the gap.
    """

    bay: Bay
    at: int
    temperature: float
    basis: AirBasis
    read: ReadView | None

    def words(self, now: int) -> Text:
        """The reading and the assumption, such as 'SHED read 16.6 °C at 17:00, taken to be …'."""
        here, code = heat(self.temperature), self.bay.code
        then = "now" if self.at == now else f"at {moments.face(self.at, now)}"
        if self.basis == "measured":
            return say("{} was read {} {}", code, here, then)
        if self.read is None:
            return say("nobody read {} of late: taken to be {} {}", code, here, then)
        clock, read = moments.face(self.read.at, now), heat(self.read.temperature)
        return say("{} read {} at {}, taken to be {} {}", code, read, clock, here, then)

    def show(self) -> AirTakenView:
        """For an answer."""
        return AirTakenView(self.bay.code, self.temperature, self.basis, self.read)
