"""What may be meant while a line is still being typed: job numbers, codes, lots of the store.

Only loaded while a shell asks. Whatever goes wrong, it has nothing to offer and says nothing:
a person is in the middle of a line.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click
from click.shell_completion import (
    BashComplete,
    CompletionItem,
    FishComplete,
    ShellComplete,
    ZshComplete,
    add_completion_class,
)

ANSWERED_WITHIN_S = (0.5, 1.0)
"""Seconds to connect, and to be answered: who presses Tab does not wait."""

MOST = 200

Row = dict[str, Any]
Named = Callable[[Row], tuple[str, str]]
"""How a record is typed, and what is said beside it."""

KINDS: dict[str, tuple[str, dict[str, str], Named]] = {
    "job": ("/v1/jobs", {"state": "open"}, lambda job: (job["number"], job["title"])),
    "product": ("/v1/products", {}, lambda product: (product["code"], product["name"])),
    "bay": ("/v1/bays", {}, lambda bay: (bay["code"], bay["title"])),
    "lot": ("/v1/lots", {}, lambda lot: (_lot(lot), f"{lot['on_hand']['value']:g} "
                                                    f"{lot['on_hand']['unit']}, {lot['state']}")),
    "layup": ("/v1/layups", {}, lambda layup: (str(layup["id"]), layup["title"])),
    "batch": ("/v1/batches", {}, lambda batch: (str(batch["id"]), batch["job"])),
}  # fmt: skip
"""Each kind of record: where it is listed, which of them, and how one is typed."""

_BY_NAME = {
    "resin": "product", "catalyst": "product", "partners": "product", "cloth": "product",
    "putty": "product", "what": "product", "need": "job", "resin_lot": "lot",
    "catalyst_lot": "lot", **{kind: kind for kind in KINDS},
}  # fmt: skip
_BY_NOUN = {("job", "number"): "job", ("product", "code"): "product", ("bay", "code"): "bay"}
_MAKING = frozenset({"add", "open", "receive"})
"""Commands whose own code or number is a new one."""


def kind_of(noun: str, command: str, name: str) -> str | None:
    """The kind of record that a parameter names, or None.

    Args:
        noun, command: of the line, such as `job` and `close`; alike for a daily verb.
        name: the parameter's.
    """
    if (noun, name) in _BY_NOUN:
        return None if command in _MAKING else _BY_NOUN[noun, name]
    return _BY_NAME.get(name)


def offered(ctx: click.Context, name: str, incomplete: str) -> list[CompletionItem]:
    """The records that may be meant."""
    words = ctx.command_path.split()[1:]
    kind = kind_of(words[0], words[-1], name) if words else None
    if kind is None:
        return []
    where, query, named = KINDS[kind]
    if words[:2] == ["job", "reopen"]:
        query = {"state": "closed"}
    try:
        rows = _asked(ctx, where, query)
        pairs = [named(row) for row in rows]
    except Exception:  # in the middle of a line nothing may be said, whatever it is
        return []
    said = incomplete.casefold()
    return [CompletionItem(n, help=h) for n, h in pairs if n.casefold().startswith(said)]


class Live(ShellComplete):
    """Completion that also knows what the store has."""

    def get_completions(self, args: list[str], incomplete: str) -> list[CompletionItem]:
        """The library's own offers, or else the store's."""
        found = super().get_completions(args, incomplete)
        if found:
            return found
        from click.shell_completion import _resolve_context, _resolve_incomplete

        ctx = _resolve_context(self.cli, self.ctx_args, self.prog_name, args)
        param, incomplete = _resolve_incomplete(ctx, args, incomplete)
        return (
            offered(ctx, param.name or "", incomplete) if isinstance(param, click.Parameter) else []
        )


class LiveBash(Live, BashComplete):
    """For bash."""


class LiveZsh(Live, ZshComplete):
    """For zsh."""


class LiveFish(Live, FishComplete):
    """For fish."""


def register() -> None:
    """Have click use these."""
    for shell in (LiveBash, LiveZsh, LiveFish):
        add_completion_class(shell)


def script(shell: str) -> str:
    """What a shell reads once, so that it asks this program."""
    found = {each.name: each for each in (LiveBash, LiveZsh, LiveFish)}[shell]
    return found(click.Command("cureyard"), {}, "cureyard", "_CUREYARD_COMPLETE").source()


def _asked(ctx: click.Context, where: str, query: dict[str, str]) -> list[Row]:
    """The records listed at an address, by the server, or of a store that is there."""
    from requests.adapters import HTTPAdapter

    from .api import Api
    from .asking import Start
    from .keeping import kept_for

    root = ctx.find_root().params
    flags = {name: root.get(name) for name in ("url", "database")}
    given = Start(flags).settings()
    known: dict[str, Any] = {"token": given.token or kept_for(given)}
    if given.url is not None:
        known |= {"adapter": HTTPAdapter(max_retries=0), "timeouts": ANSWERED_WITHIN_S}
        return list(Api(given.url, **known).get(where, limit=MOST, **query).body["items"])
    from .door import HERE, open_door, service_settings

    address = service_settings(given).database
    if (
        not address.startswith("postgresql://")
        and not Path(address.removeprefix("sqlite:///")).exists()
    ):
        return []
    api = Api(HERE, adapter=open_door(given), **known)
    return list(api.get(where, limit=MOST, **query).body["items"])


def _lot(lot: Row) -> str:
    container = f"/{lot['container']}" if lot["container"] != "1" else ""
    return f"{lot['product']}/{lot['number']}{container}"
