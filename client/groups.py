"""Groups of commands: imported when they are called, and with near names for a mistyped one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from difflib import get_close_matches
from importlib import import_module
from shutil import get_terminal_size
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem


SENTENCE = 200
"""The listing shows this many characters of a command's first sentence."""


class Noun(click.Group):
    """The commands of one noun, such as `lot`."""

    def make_context(
        self, info_name: str | None, args: list[str], parent: click.Context | None = None,
        **extra: Any,
    ) -> click.Context:  # fmt: skip
        """As click does, but with help as wide as the screen: click's is never under 50."""
        if parent is None:
            extra.setdefault("terminal_width", min(get_terminal_size((80, 24)).columns, 80))
        return super().make_context(info_name, args, parent, **extra)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """As click does, but with the nearest names if there is no such command."""
        known = self.list_commands(ctx)
        if args and args[0] not in known and not args[0].startswith("-"):
            raise unknown(args[0], known, ctx.command_path)
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands, each with its whole first sentence."""
        commands = [(name, self.get_command(ctx, name)) for name in self.list_commands(ctx)]
        with formatter.section("Commands"):
            formatter.write_dl(
                [(name, each.get_short_help_str(SENTENCE)) for name, each in commands if each]
            )


class OfJob(click.Command):
    """A command on a job's record that says itself what click can't.

    Args:
        minus: what to do with a number below zero, which click takes for an option.
    """

    def __init__(self, *args: Any, minus: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.minus = minus

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """As click does, with words of our own for the two."""
        typed = list(args)
        try:
            return super().parse_args(ctx, args)
        except click.NoSuchOption as error:
            if self.minus and error.option_name[1:2].isdigit():
                raise click.UsageError(self.minus, ctx) from error
            raise
        except click.BadParameter as error:
            wanted = [each for each in self.params if isinstance(each, click.Argument)]
            if typed and typed[-1].isdigit() and len(typed) < len(wanted):
                words = f"The job comes first: {ctx.command_path} JOB {' '.join(typed)}"
                raise click.UsageError(words, ctx) from error
            raise


class Lazy(Noun):
    """Commands that are imported when they are called.

    Args:
        table: for each command its module and its line in the listing. A module with several
            commands names the one, as in `movements:draw`; else it is called `command`.
        package: the package of the modules.
        sections: the listing's headings, each with its commands; without them there is one.
    """

    def __init__(
        self, *args: Any, table: Mapping[str, tuple[str, str]], package: str,
        sections: Mapping[str, Sequence[str]] | None = None, **kwargs: Any,
    ) -> None:  # fmt: skip
        super().__init__(*args, **kwargs)
        self.table = table
        self.sections = {"Commands": tuple(table)} if sections is None else sections
        self.package = package

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The names of all commands."""
        return list(self.table)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command with a name, or None."""
        if cmd_name not in self.table:
            return None
        module, _, name = self.table[cmd_name][0].partition(":")
        command: click.Command = getattr(
            import_module(f".{module}", self.package), name or "command"
        )
        return command

    def shell_complete(self, ctx: click.Context, incomplete: str) -> list[CompletionItem]:
        """The commands or options that begin so, without importing a command."""
        from click.shell_completion import CompletionItem

        if incomplete.startswith("-"):
            return click.Command.shell_complete(self, ctx, incomplete)
        return [
            CompletionItem(name, help=text)
            for name, (_, text) in self.table.items()
            if name.startswith(incomplete)
        ]

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands without importing them."""
        for heading, names in self.sections.items():
            with formatter.section(heading):
                formatter.write_dl([(name, self.table[name][1]) for name in names])


def unknown(name: str, known: list[str], path: str) -> click.UsageError:
    """The error for a command that does not exist."""
    near = get_close_matches(name, known, n=3, cutoff=0.5)
    hint = f"Did you mean {' or '.join(map(repr, near))}?" if near else f"See '{path} --help'."
    return click.UsageError(f"There is no command {name!r}. {hint}")
