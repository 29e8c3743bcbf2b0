"""Groups of commands that meet a mistyped one with its nearest names."""

from __future__ import annotations

from difflib import get_close_matches

import click


class Noun(click.Group):
    """The commands of one noun."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """As click does, with the nearest names where there is no such command."""
        known = self.list_commands(ctx)
        if args and args[0] not in known and not args[0].startswith("-"):
            raise unknown(args[0], known, ctx.command_path)
        return super().resolve_command(ctx, args)


def unknown(name: str, known: list[str], path: str) -> click.UsageError:
    """Words for a command that does not exist."""
    near = get_close_matches(name, known, n=3, cutoff=0.5)
    hint = f"Did you mean {' or '.join(map(repr, near))}?" if near else f"See '{path} --help'."
    return click.UsageError(f"There is no command {name!r}. {hint}")
