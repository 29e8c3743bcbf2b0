"""`cureyard completion`: what a shell reads so that Tab completes."""

from __future__ import annotations

import click

from ..asking import Ask, asks
from ..completing import script


@click.command("completion")
@click.argument("shell", type=click.Choice(["bash", "zsh", "fish"]))
@asks
def command(ask: Ask, shell: str) -> None:
    """Print what makes Tab complete commands, jobs, products, bays and lots.

    \b
    Examples:
      cureyard completion bash >> ~/.bashrc
      cureyard completion zsh >> ~/.zshrc
      cureyard completion fish > ~/.config/fish/completions/cureyard.fish
    """
    ask.print({"script": script(shell)}, lambda told, view: [told["script"]])
