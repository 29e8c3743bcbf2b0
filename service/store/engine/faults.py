"""Why a store can't be opened or used at all; not a refusal of something asked of it."""

from __future__ import annotations


class StoreUnusable(Exception):
    """The store can't be used as it is. It was left as it was.

    Args:
        detail: what is wrong, in one sentence.
        advice: what to do, in one sentence.
    """

    def __init__(self, detail: str, *, advice: str) -> None:
        super().__init__(f"{detail} {advice}")
        self.detail = detail
        self.advice = advice


class NotAStore(StoreUnusable):
    """The address or the file is no store of this program, or is damaged."""


class WrongVersion(StoreUnusable):
    """The store's tables are older or newer than this program's."""


class MigrationFailed(StoreUnusable):
    """A migration broke off, and what it had begun was undone."""


class LockedElsewhere(StoreUnusable):
    """Another process has the store in use, in a way that this act can't share."""


class NoBackup(StoreUnusable):
    """A backup can't be made, restored or taken over as it was asked for."""
