"""`cureyard help`: what the commands' own `--help` has no room for."""

from __future__ import annotations

from dataclasses import asdict
from difflib import get_close_matches

import click
from click.shell_completion import CompletionItem
from cureyard_service import topics

from ..asking import Ask, asks
from ..exits import Stopped
from ..rendering import topics as rendering


def _offered(ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem]:
    return [CompletionItem(name) for name in topics.names() if name.startswith(incomplete)]


@click.command("help")
@click.argument("topic", required=False, shell_complete=_offered)
@asks
def command(ask: Ask, topic: str | None) -> None:
    """Explain a topic, such as plan, people or safety; without TOPIC, list them.

    \b
    Examples:
      cureyard help
      cureyard help plan
    """
    if topic is None:
        titles = {name: topics.topic(name).title for name in topics.names()}
        ask.print(titles, rendering.topic_list)
        ask.say("'cureyard help TOPIC' shows one.")
        return
    try:
        found = topics.topic(topic)
    except KeyError as error:
        raise _unknown(topic) from error
    ask.print(asdict(found), lambda _, view: rendering.topic(found.title, found.blocks, view))


def _unknown(name: str) -> Stopped:
    from ..main import COMMANDS

    advice = [f"'cureyard {name} --help' explains that command."] if name in COMMANDS else []
    advice += [f"'cureyard help {each}' tells of it." for each in topics.telling_of(name)[:1]]
    if not advice:
        near = get_close_matches(name, topics.names(), n=3, cutoff=0.5)
        advice = [f"Did you mean {' or '.join(map(repr, near))}?"] if near else []
    return Stopped(
        f"There is no topic {name!r}.", " ".join(advice) or "'cureyard help' lists the topics."
    )
