"""What every command does alike: find the service, ask it, and show what it answers."""

from __future__ import annotations

import functools
import json
import shutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import click

from . import clock
from . import settings as chosen
from .exits import Refused, Stopped
from .rendering.columns import View
from .settings import Settings

if TYPE_CHECKING:
    from .api import Answer, Api

Render = Callable[[Any, View], list[str]]


@dataclass
class Start:
    """What the program was started with: its flags, over settings that are read late."""

    flags: Mapping[str, str | None] = field(default_factory=dict)
    given: Settings | None = None

    def settings(self) -> Settings:
        """The settings of one command."""
        return chosen.override(self.given or chosen.load(), **self.flags)


class Ask:
    """One command's questions to the service, and the showing of its answers.

    Attributes:
        settings: where the store is.
        as_json: whether the answer is for a program.
        units: `us` or `metric` for this command alone.
        own: whether the settings are the person's own, who may start a yard with them.
    """

    def __init__(
        self,
        settings: Settings,
        as_json: bool = False,
        units: str | None = None,
        own: bool = False,
    ) -> None:
        self.settings = settings
        self.as_json = as_json
        self.units = units
        self.own = own

    @functools.cached_property
    def api(self) -> Api:
        """The server's, or with none set the service in this process."""
        from .api import Api
        from .keeping import kept_for

        if self.own and self.settings.url is None and not self.as_json:
            from .first_run import settled

            self.settings = settled(self.settings)
        given, known = self.settings, self._known()
        known["token"] = given.token or kept_for(given)
        if given.url is not None:
            return Api(given.url, **known)
        from .door import HERE, open_door

        return Api(HERE, adapter=open_door(given), **known)

    def on_the_store(self, name: str) -> Api:
        """The service in this process, asked by whoever keeps the store: no token is needed."""
        self.need_no_server(name)
        from .api import Api
        from .door import HERE, open_door

        return Api(HERE, adapter=open_door(self.settings, keeper=True), **self._known())

    def _known(self) -> dict[str, Any]:
        return {"hand": chosen.hand(self.settings), "units": self.units or self.settings.units}

    @functools.cached_property
    def view(self) -> View:
        """The person's screen, and the time."""
        return View(shutil.get_terminal_size((100, 24)).columns, clock.now())

    def show(self, answer: Answer, render: Render) -> None:
        """Print an answer: as it came, or for a person."""
        if self.as_json:
            click.echo(answer.text.rstrip("\n"))
        else:
            self.print(answer.body, render)

    def print(self, body: Any, render: Render) -> None:
        """Print what did not come over the interface: as JSON, or for a person."""
        if self.as_json:
            click.echo(json.dumps(body, ensure_ascii=False))
        else:
            for line in render(body, self.view):
                click.echo(line)

    def show_list(self, answer: Answer, render: Callable[[list[Any], View], list[str]]) -> None:
        """Print one page of a list, and how to see more."""
        self.show(answer, lambda body, view: render(body["items"], view))
        if self.as_json:
            return
        if answer.body.get("next"):
            self.say(f"There is more: add --after {answer.body['next']}")
        elif not answer.body["items"]:
            self.say("There are none.")

    def say(self, words: str) -> None:
        """Words for the person, beside the data."""
        click.echo(words, err=True)

    def need_no_server(self, name: str) -> None:
        """Refuse a command that opens the store itself while a server is set."""
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

    def today(self) -> str:
        """Today on the yard's clock, as `YYYY-MM-DD`."""
        return clock.today(self.view.now, self.zone())

    def zone(self) -> str:
        """The yard's IANA time zone."""
        return str(self.api.get("/v1/yard").body["zone"])

    def moment(self, text: str | None) -> str | None:
        """A moment as a person types it, as RFC 3339 on the yard's clock."""
        if text is None:
            return None
        exact = clock.moment(text, self.view.now, self.zone)
        if clock.is_spoken(text):
            self.say(f"'{text}' is {clock.shown(exact, self.zone())}.")
        return exact

    def day(self, text: str | None) -> str | None:
        """A day as a person types it, as `YYYY-MM-DD`."""
        return None if text is None else clock.day(text, self.view.now, self.zone)


def asks(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command its `Ask`, and the two options that every command has."""

    @click.option("--json", "as_json", is_flag=True, help="Print the service's own answer.")
    @click.option("--units", type=click.Choice(["us", "metric"]), help="Units of the answer.")
    @click.pass_obj
    @functools.wraps(command)
    def run(start: Start, /, as_json: bool, units: str | None, **given: Any) -> None:
        ask = Ask(start.settings(), as_json, units, own=start.given is None)
        try:
            command(ask, **_days(ask, given))
        except Refused as refused:
            if as_json:
                click.echo(refused.text)
            from . import hints

            ctx = click.get_current_context()
            if not given.get("cure"):  # a file of JSON has the fields themselves
                refused.advice = hints.by_option(refused.advice, ctx.command.params)
            refused.commands = hints.refusal(refused.problem, refused.advice, ctx.params)
            raise

    return run


def _days(ask: Ask, given: dict[str, Any]) -> dict[str, Any]:
    """What was given, with the days that are said in words as dates."""
    params = click.get_current_context().command.params
    said = {p.name for p in params if p.metavar == "DATE"}

    def read(value: Any) -> Any:
        return tuple(map(ask.day, value)) if isinstance(value, tuple) else ask.day(value)

    return {name: read(value) if name in said else value for name, value in given.items()}
