"""`cureyard plan moisture`: when a joint that cures by moisture skins, and is cured through."""

from __future__ import annotations

from typing import Any

import click

from ...answers import Record
from ...asking import Ask, asks
from ...options.common import filled, number
from ...options.stored import PRODUCT
from ...rendering.amounts import amount, span
from ...rendering.columns import View, labelled, marked, spaced


@click.command("moisture")
@click.argument("product", type=PRODUCT)
@click.option("--thickness", metavar="SIZE", help="How thick it is, under its open face.")
@click.option("--tight-width", metavar="LENGTH", help="How wide it is, between two tight faces.")
@click.option("--temperature", "-t", required=True, metavar="TEMP", help="Of the air.")
@click.option(
    "--humidity",
    "humidity_percent",
    type=number,
    required=True,
    metavar="PERCENT",
    help="Of the air.",
)
@asks
def command(ask: Ask, **given: Any) -> None:
    """Work out when a joint that cures by moisture skins, and when it is cured through.

    Between tight faces (metal, laminate) it cures from its edges alone.

    \b
    Example:
      cureyard plan moisture SEAL-1 --thickness "6 mm" -t "10 degC" --humidity 60
    """
    ask.show(ask.api.post("/v1/estimates/moisture", filled(**given)), _shown)


def _shown(answer: Record, view: View) -> list[str]:
    comes = "from its open face" if answer["comes"] == "open_face" else "from each edge"
    skin = answer["skin"]
    pairs = [
        ("cures", f"{amount(answer['depth'])} deep, {comes}"),
        ("tool", f"within {span(skin['earliest'], 'down')}: then it may skin" if skin else ""),
        ("skins", _band(skin)),
        ("through", _band(answer["through"]) or "not within ten years"),
    ]
    return spaced(labelled(pairs, view.width), marked(answer["cautions"], view.width))


def _band(times: Record | None) -> str:
    if not times:
        return ""
    ends = f"{span(times['earliest'], 'down')} to {span(times['latest'], 'up')}"
    return f"likely after {span(times['at'])} ({ends})"
