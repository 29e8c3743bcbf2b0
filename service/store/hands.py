"""Who acts: the name that goes beside every recorded row."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Hand:
    """A person at work; `verified` says that a login proved the name."""

    name: str
    verified: bool

    def signed(self, now: int) -> dict[str, object]:
        """The columns that say who recorded a row and when (epoch seconds)."""
        return {"recorded_at": now, "who": self.name, "verified": self.verified}
