"""`cureyard completion`: the script with which a shell completes commands and names."""

from __future__ import annotations

import click
from click.shell_completion import BashComplete, FishComplete, ShellComplete, ZshComplete

from ..asking import Ask, asks
from ..options.common import Choice

SHELLS: dict[str, type[ShellComplete]] = {
    "bash": BashComplete,
    "zsh": ZshComplete,
    "fish": FishComplete,
}


@click.command("completion")
@click.argument("shell", type=Choice(list(SHELLS)))
@asks
def command(ask: Ask, shell: str) -> None:
    """Print the script that lets Tab complete commands, jobs, products, bays and lots.

    \b
    Examples:
      cureyard completion bash >> ~/.bashrc
      cureyard completion zsh >> ~/.zshrc
      cureyard completion fish > ~/.config/fish/completions/cureyard.fish
    """
    complete = SHELLS[shell](click.Command("cureyard"), {}, "cureyard", "_CUREYARD_COMPLETE")
    ask.print({"script": complete.source()}, lambda answer, view: [answer["script"]])
