"""Types of options that name a record of the store: a job, product, bay, lot, layup or pot.

With Tab a shell asks for such names while a person is typing: of the server, or else of the store's
own file. So no fault may print anything; there is just nothing offered.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import click
from click.types import StringParamType

from ..answers import Record
from ..exits import Stopped

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem

    from ..api import Api
    from ..settings import Settings
    from ..stored_names import Noun

ANSWERED_WITHIN_S = (0.5, 1.0)
"""Seconds to wait for a connection and for an answer: nobody waits long after pressing Tab."""

MOST = 200
"""Records that are asked for."""


class Stored(StringParamType):
    """The name of a record in the store.

    Args:
        metavar: how help writes it.
        noun: of the records, in a store's file.
        path: where the records are listed.
        typed: the name that a person types for a record, and what a shell shows beside it.
        query: which of the records are offered.
    """

    def __init__(
        self, metavar: str, noun: Noun, path: str, typed: Callable[[Record], tuple[str, str]],
        **query: str,
    ) -> None:  # fmt: skip
        self.metavar = metavar
        self.noun = noun
        self.path = path
        self.typed = typed
        self.query = query

    def get_metavar(self, param: click.Parameter, ctx: click.Context | None = None) -> str | None:
        """The metavar of an option; an argument is called by its own name."""
        return self.metavar if isinstance(param, click.Option) else None

    def shell_complete(
        self, ctx: click.Context, param: click.Parameter, incomplete: str
    ) -> list[CompletionItem]:
        """The names in the store that begin so, in any case."""
        from click.shell_completion import CompletionItem

        try:
            pairs = self._pairs(ctx)
        except Exception:  # nothing may be printed here, whatever went wrong
            return []
        begun = incomplete.casefold()
        return [CompletionItem(n, help=h) for n, h in pairs if n.casefold().startswith(begun)]

    def _pairs(self, ctx: click.Context) -> list[tuple[str, str]]:
        """Each name and a word beside it, of the store that the line names so far."""
        given = _settings(ctx)
        if given.url is None:
            from ..stored_names import in_file

            found = in_file(given, self.noun)
            if found is not None:
                return found
        api = _api(given)
        if api is None:
            return []
        items = api.get(self.path, limit=MOST, **self.query).body["items"]
        return [self.typed(record) for record in items]


class _LayupId(Stored):
    """The id of a layup: a layup has no other name."""

    def convert(self, value: str, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """The id as it was typed."""
        if not (value.isascii() and value.isdecimal()):
            raise Stopped(f"{value!r} is no layup.", "'cureyard layup list' shows what there is.")
        return value


def _lot(lot: Record) -> tuple[str, str]:
    container = f"/{lot['container']}" if lot["container"] != "1" else ""
    held = f"{lot['on_hand']['value']:g} {lot['on_hand']['unit']}, {lot['state']}"
    return f"{lot['product']}/{lot['number']}{container}", held


def _job(job: Record) -> tuple[str, str]:
    return job["number"], job["title"]


JOB = Stored("NUMBER", "jobs", "/v1/jobs", _job, state="open")
CLOSED_JOB = Stored("NUMBER", "closed jobs", "/v1/jobs", _job, state="closed")
PRODUCT = Stored(
    "CODE", "products", "/v1/products", lambda product: (product["code"], product["name"])
)
BAY = Stored("CODE", "bays", "/v1/bays", lambda bay: (bay["code"], bay["title"]))
LOT = Stored("LOT", "lots", "/v1/lots", _lot)
LAYUP = _LayupId("ID", "layups", "/v1/layups", lambda layup: (str(layup["id"]), layup["title"]))
BATCH = Stored("ID", "batches", "/v1/batches", lambda batch: (str(batch["id"]), batch["job"]))


def _settings(ctx: click.Context) -> Settings:
    from .. import settings

    flags = ctx.find_root().params
    return settings.override(settings.load(), url=flags.get("url"), database=flags.get("database"))


def _api(given: Settings) -> Api | None:
    """The service that the settings name; None where the store does not exist yet."""
    from ..api import Api
    from ..token_file import kept_for

    token = given.token or kept_for(given)
    if given.url is not None:
        from ..network import Network

        once = Network(given.url, ANSWERED_WITHIN_S, retried=False)
        return Api(given.url, token=token, transport=once)
    from ..embedded import HERE, has_store, open_service

    if not has_store(given):
        return None
    return Api(HERE, token=token, transport=open_service(given))
