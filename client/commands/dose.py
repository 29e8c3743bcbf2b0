"""`cureyard dose`: the catalyst for one pot; nothing is drawn."""

from __future__ import annotations

from typing import Any

import click

from ..asking import Ask, asks
from ..options.common import filled, why_option
from ..options.dose import bag_option, dose_options, fillers_option
from ..rendering import pots


@click.command("dose")
@dose_options
@bag_option
@fillers_option
@why_option
@asks
def command(ask: Ask, why: bool, **given: Any) -> None:
    """Work out the catalyst for one pot; nothing is drawn.

    The answer is in grams first: weigh the catalyst. Give either the gel time or the percent.

    \b
    Examples:
      cureyard dose LAM-PE "2 kg" --bay SHED --gel "25 min"
      cureyard dose LAM-PE "500 g" --bay SHED --temperature "19 degC" --percent 2
    """
    given["bay"] = ask.usual("bay", given["bay"])
    ask.show(ask.api.post("/v1/doses", filled(**given, budget=why or None)), pots.dosed)
