"""Mix a pot by thumb, in three steps: ask, weigh, card.

The first changes nothing, so its answer has an address. The second shows what the third would draw.
If that has changed meanwhile, nothing is mixed, and the new amounts are shown.
"""

from __future__ import annotations

import re
from typing import Any

from flask import Flask, request, url_for
from flask.typing import ResponseReturnValue

from ...acts.pots import mix
from ...acts.pots.card import BatchView
from ...acts.pots.mix import WeighedView
from ...acts.products.product import list_products
from ...acts.yard import finding
from ...core.amounts.quantities import GEL_TIME, MASS, TEMPERATURE, VOLUME
from ...core.errors import Invalid, Refusal
from ...core.products.materials import CURING_ROLES
from ...store.engine.database import reading
from ...store.engine.turns import Turn
from ...store.stock import lots as shelf
from .. import fields
from ..context.request import hand, now, units
from ..fields.schemas import Loaded
from ..http import forms
from . import base
from .lots import open_jobs

MOST_PRODUCTS = 200
"""Most resins to choose from."""
ASKED = ("resin", "amount", "amount.unit", "temperature", "temperature.unit", "target_gel",
         "target_gel.unit", "catalyst_percent", "catalyst", "resin_lot", "job")  # fmt: skip
"""The fields of the first step, which the second sends along."""


class AskForm(forms.Form):
    """A pot to mix: so much resin, so warm, to gel in a wanted time or at a percent."""

    resin = fields.Code(required=True)
    amount = fields.AnyQuantity((MASS, VOLUME), required=True, positive=True)
    temperature = fields.Quantity(TEMPERATURE, required=True)
    target_gel = fields.Quantity(GEL_TIME, positive=True)
    catalyst_percent = fields.Number(above=0, most=100)
    catalyst = fields.Code()
    resin_lot = fields.Integer(least=1)
    job = fields.Code(required=True)


class MixForm(AskForm):
    """The same, with what was shown to be weighed."""

    weighed = fields.Text(required=True, most=1000)


_ASK = AskForm()


def add(app: Flask) -> None:
    """Add these pages to an application."""
    app.add_url_rule("/mix", "mix_page", base.looks(ask))
    forms.add_act(app, "/mix/weigh", "mix_weigh", weigh, keep, MixForm, turn=Turn.BESIDE)


def ask() -> str:
    """The first step."""
    refusal = forms.again().refusal
    if not refusal:
        forms.fill(request.args.to_dict())
    asked = request.args.get("lot") or forms.again().value("resin_lot")
    row = shelf.find_lot(int(asked)) if re.fullmatch(r"\d{1,18}", asked, re.ASCII) else None
    metric = units() == "metric"
    return base.sheet(
        "mix_ask.html",
        lot=row,
        resins=_resins(),
        jobs=open_jobs(),
        mass=MASS.metric if metric else MASS.us,
        heat=TEMPERATURE.metric if metric else TEMPERATURE.us,
        partners=[(each, each) for each in refusal.fields.get("partners", [])] if refusal else [],
    )


def weigh() -> ResponseReturnValue:
    """The second step: what to weigh, worked out for the address or for a form that was refused."""
    asked = {name: request.args[name] for name in ASKED if name in request.args}
    sent = dict(forms.again().typed) or asked
    refused = forms.again().refusal
    try:
        hand().must_be("hand", "To mix")
        with reading():
            return _weigh(sent)
    except Refusal as refusal:
        return forms.show_again(base.looks(ask), sent, refused or refusal)


def _weigh(sent: dict[str, str]) -> str:
    pot = mix.to_weigh(now=now(), hand=hand(), **_read(sent))
    return base.sheet(
        "mix_weigh.html",
        pot=pot,
        asked={name: sent[name] for name in ASKED if sent.get(name)},
        weighed=_weighed(pot),
        job=finding.job(pot.job),
    )


def keep(read: Loaded) -> str:
    """The third step: the pot is mixed.

    Raises: Invalid: what is to be weighed is no longer what was shown.
    """
    weighed = read.pop("weighed")
    pot = mix.mix(now=now(), hand=hand(), **read)
    if _weighed(pot) != weighed:
        raise Invalid(
            "What is to be weighed has changed since it was shown.",
            advice="Look at the new amounts; they count.",
        )
    return url_for("batch_page", batch=pot.id, mixed=1)


def _read(sent: dict[str, str]) -> dict[str, Any]:
    return forms.read(_ASK, {name: sent[name] for name in ASKED if name in sent})


def _weighed(pot: BatchView | WeighedView) -> str:
    """What a hand is told to weigh, to see whether it is still so."""
    return " ".join(f"{part.lot}:{part.quantity[0]}" for part in pot.parts)


def _resins() -> list[tuple[str, str]]:
    """What a pot may be of: code and words."""
    roles = CURING_ROLES - {"filler"}
    listed = list_products(None, MOST_PRODUCTS)
    return [(each.code, f"{each.code}, {each.name}") for each in listed if each.role in roles]
