"""What a dose is worked out from: the resin, its amount, its temperature and the gel time."""

from __future__ import annotations

import click

from .common import F, number
from .stored import BAY, PRODUCT


def _bag(
    _context: click.Context, _option: click.Parameter, times: tuple[str, str, str] | None
) -> dict[str, str] | None:
    """The three times of a bag, as the interface takes them."""
    return dict(zip(("laying", "bagging", "pumping"), times, strict=True)) if times else None


_OPTIONS = (
    click.argument("resin", type=PRODUCT),
    click.argument("amount"),
    click.option("--catalyst", type=PRODUCT, help="Which catalyst, if the resin has several."),
    click.option("--bay", "-b", type=BAY,
                 help="Where the part will lie: for the night's cold, and for the resin's "
                 "temperature if you don't give it."),
    click.option("--temperature", "-t", metavar="TEMP",
                 help="The resin's own temperature: better than the bay's."),
    click.option("--gel", "-g", "target_gel", metavar="TIME", help="The gel time that you want."),
    click.option("--percent", "catalyst_percent", type=number, metavar="PERCENT",
                 help="The percent of catalyst, instead of --gel."),
    click.option("--mixing", metavar="TIME", help="How long the mixing takes."),
)  # fmt: skip

bag_option = click.option(
    "--bag",
    nargs=3,
    metavar="TIME TIME TIME",
    callback=_bag,
    help="Under a vacuum bag: how long laying, bagging and pumping down take.",
)

fillers_option = click.option(
    "--filled", is_flag=True, default=None, help="Fillers go into the mix as well."
)


def dose_options(command: F) -> F:
    """Give a command the arguments and options of a dose."""
    for option in reversed(_OPTIONS):
        command = option(command)
    return command
