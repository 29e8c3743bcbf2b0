"""The names in a store's own file, for Tab: without the service, which takes longer to start."""

from __future__ import annotations

from cureyard_service.store.names import Noun as Noun
from cureyard_service.store.names import names
from cureyard_service.web.context.settings import default_database

from .settings import Settings


def in_file(settings: Settings, noun: Noun) -> list[tuple[str, str]] | None:
    """Each name and a word beside it; None where the store that the settings name is in no file.

    Raises: as `names`.
    """
    found: list[tuple[str, str]] | None = names(settings.database or default_database(), noun)
    return found
