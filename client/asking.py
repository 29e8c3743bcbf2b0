"""What all commands have in common: find the service, make requests, and show the answers."""

from __future__ import annotations

import functools
import gc
import json
import shutil
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import click

from . import clock
from . import settings as chosen
from .answers import Record
from .exits import Refused, Stopped
from .rendering.columns import View, json_text, plain
from .settings import Settings

if TYPE_CHECKING:
    from .api import Answer, Api

PLAIN = "cureyard.plain"
"""Where a command's context keeps that rows are wanted for a program."""
PAST_DAYS = frozenset({"made_on", "opened_on", "received_on"})
"""Days that are over: `16 Nov` is the last one there, elsewhere the next."""

Render = Callable[[Record, View], list[str]]
"""Makes the lines on the screen from an answer."""


@dataclass
class Start:
    """The flags that the program was started with; the settings are read only when needed."""

    flags: Mapping[str, str | None] = field(default_factory=dict)
    given: Settings | None = None

    def settings(self) -> Settings:
        """The settings of one command."""
        return chosen.override(self.given or chosen.load(), **self.flags)


class Ask:
    """The requests of one command, and the showing of their answers.

    Attributes:
        settings: where the store is.
        as_json: whether to print the answer for a program.
        units: `us` or `metric`, for this command only.
        own: whether these are the person's own settings, so that the command may start a yard.
    """

    def __init__(
        self, settings: Settings, as_json: bool = False, units: str | None = None, own: bool = False
    ) -> None:
        self.settings = settings
        self.as_json = as_json
        self.units = units
        self.own = own

    @functools.cached_property
    def api(self) -> Api:
        """The service: the server's, or if none is set the one in this process."""
        from .token_file import kept_for

        if self.own and self.settings.url is None and not self.as_json:
            from .first_run import settled

            self.settings = settled(self.settings)
        return self._api(token=self.settings.token or kept_for(self.settings))

    def on_the_store(self, name: str) -> Api:
        """The service in this process, for the person who keeps the store: without a token."""
        self.need_no_server(name)
        return self._api(keeper=True)

    @functools.cached_property
    def keeping(self) -> Api:
        """For what an admin does: the server with the token or, without one, as on the store."""
        return self.api if self.settings.url is not None else self._api(keeper=True)

    def _api(self, *, token: str | None = None, keeper: bool = False) -> Api:
        from .api import Api

        given = self.settings
        hand, units = chosen.hand(given), self.units or given.units
        if given.url is not None:
            return Api(given.url, token=token, hand=hand, units=units)
        # Half of a command is imports: 60,000 to 90,000 things, of which none can be collected.
        gc.set_threshold(150_000)
        from .embedded import HERE, open_service

        service = open_service(given, keeper=keeper)
        return Api(HERE, token=token, hand=hand, units=units, transport=service)

    @functools.cached_property
    def view(self) -> View:
        """The width of the screen, and the current time."""
        ctx = click.get_current_context(silent=True)
        plain = ctx is not None and bool(ctx.meta.get(PLAIN))
        return View(shutil.get_terminal_size((100, 24)).columns, clock.now(), plain)

    def show(self, answer: Answer, render: Render) -> None:
        """Print an answer: as it came, or for a person."""
        if self.as_json:
            click.echo(json_text(answer.text.rstrip("\n")))
        else:
            self.print(answer.body, render)

    def print(self, body: Record, render: Render) -> None:
        """Print something that did not come over the interface: as JSON, or for a person."""
        if self.as_json:
            click.echo(json_text(json.dumps(body, ensure_ascii=False)))
        else:
            _show(render(body, self.view))

    def show_list(self, answer: Answer, render: Callable[[list[Record], View], list[str]]) -> None:
        """Print one page of a list, and how to see the next."""
        self.show(answer, lambda body, view: render(body["items"], view))
        if self.as_json:
            return
        if answer.body.get("next"):
            self.say(f"There is more: add --after {answer.body['next']}")
        elif not answer.body["items"]:
            self.say("There are none.")

    def say(self, words: str) -> None:
        """Print a sentence to stderr, apart from the answer."""
        click.echo(plain(words), err=True)

    @property
    def can_confirm(self) -> bool:
        """Whether a person is there who can be asked yes or no."""
        return not self.as_json and at_a_terminal()

    def need_no_server(self, name: str) -> None:
        """Refuse a command that opens the store itself if a server is set."""
        if self.settings.url is not None:
            raise Stopped(
                f"'{name}' works on a store itself, and a server is set: {self.settings.url}",
                "Run it on the machine that has the store, with CUREYARD_URL unset.",
            )

    def lot_id(self, text: str) -> int:
        """The id of the lot that a person names."""
        from .lookup import lot_id

        return lot_id(self.api, text)

    def lot(self, text: str) -> str:
        """The path of the lot that a person names."""
        return f"/v1/lots/{self.lot_id(text)}"

    def batch_id(self, text: str) -> int:
        """The id of the pot that a person names."""
        from .lookup import batch_id

        return batch_id(self.api, text)

    def batch(self, text: str) -> str:
        """The path of the pot that a person names."""
        return f"/v1/batches/{self.batch_id(text)}"

    def usual(self, name: str, given: str | None) -> str | None:
        """The `job` or `bay` that was given, or else the one in use; then that is said."""
        kept: str | None = getattr(self.settings, name)
        if given is not None or kept is None:
            return given
        self.say(f"{name.capitalize()} {kept}: the one in use.")
        return kept

    def needed(self, name: str, given: str | None) -> str:
        """As `usual`.

        Raises:
            Stopped: neither was given nor set.
        """
        found = self.usual(name, given)
        if found is None:
            raise Stopped(
                f"Which {name}?", f"Give --{name}, or set one: cureyard use --{name} {name.upper()}"
            )
        return found

    def today(self) -> str:
        """The date on the yard's clock, as `YYYY-MM-DD`."""
        return clock.today(self.view.now, self.zone())

    def zone(self) -> str:
        """The yard's IANA time zone."""
        return str(self.api.get("/v1/yard").body["zone"])

    def moment(self, text: str | None, *, ahead: bool = False) -> str | None:
        """A moment as a person types it, as RFC 3339; one in words is also read back.

        Args:
            ahead: whether `Thu 10:00` is to come, not past.
        """
        if text is None:
            return None
        exact = clock.moment(text, self.view.now, self.zone, ahead=ahead)
        if clock.is_spoken(text):
            self.say(f"'{text}' is {clock.shown(exact, self.zone())}.")
        return exact

    def day(self, text: str | None, *, ahead: bool = True) -> str | None:
        """A day as a person types it, as `YYYY-MM-DD`; `ahead` as for `moment`."""
        return None if text is None else clock.day(text, self.view.now, self.zone, ahead=ahead)


def _show(lines: list[str]) -> None:
    """Print lines; through a pager if they are more than a terminal's screen shows."""
    text = "".join(f"{line}\n" for line in lines)
    if sys.stdout.isatty() and len(lines) >= shutil.get_terminal_size((100, 24)).lines:
        click.echo_via_pager(text)
    else:
        click.echo(text, nl=False)


def at_a_terminal() -> bool:
    """Whether a person can read a question here and answer it."""
    return sys.stdin.isatty() and sys.stderr.isatty()


def asks(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command its `Ask`, and the two options that every command has."""

    @click.option("--json", "as_json", is_flag=True, help="Print the service's own answer.")
    @click.option("--units", type=click.Choice(["us", "metric"]), help="Units of the answer.")
    @click.pass_obj
    @functools.wraps(command)
    def run(start: Start, /, as_json: bool, units: str | None, **given: Any) -> None:
        ask = Ask(start.settings(), as_json, units, own=start.given is None)
        try:
            command(ask, **_with_days(ask, given))
        except Refused as refused:
            if as_json:
                click.echo(json_text(refused.text))
            from . import hints

            ctx = click.get_current_context()
            if not given.get("cure"):  # a JSON file uses the names of the fields themselves
                refused.advice = hints.by_option(refused.advice, ctx.command.params)
                refused.said = hints.by_option(refused.said, ctx.command.params)
            refused.commands = hints.refusal(refused.problem, refused.advice, ctx.params)
            refused.advice = hints.spoken(refused.advice, refused.commands)
            raise

    return run


def _with_days(ask: Ask, given: Mapping[str, Any]) -> Mapping[str, Any]:
    """The given options, where each day in words has become a date."""
    params = click.get_current_context().command.params
    days = {p.name for p in params if p.metavar == "DATE"}

    def read(value: Any, ahead: bool) -> Any:
        if isinstance(value, tuple):
            return tuple(ask.day(each, ahead=ahead) for each in value)
        return ask.day(value, ahead=ahead)

    return {
        name: read(value, name not in PAST_DAYS) if name in days else value
        for name, value in given.items()
    }
