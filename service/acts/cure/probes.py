"""Probes of a layup's post-cure: bays whose readings tell its own temperature.

One to six, each a bay. Of several the coolest counts. Where none is named, the bay that the layup
lies in tells its temperature.
"""

from __future__ import annotations

from ...core.cure.post_cure import MOST_PROBES
from ...core.errors import AlreadyExists, Invalid
from ...store.cure import probes
from ...store.cure.layups import Layup
from ...store.engine.database import writing
from ...store.engine.turns import Turn
from ...store.yard import withdrawals
from ...store.yard.hands import Hand
from ..yard import finding, permissions
from . import take_back, watch
from .show import LayupView, show_layup


def add_probes(row: Layup, *, bays: list[str], on_part: bool, now: int, hand: Hand) -> LayupView:
    """Name bays as probes of a layup.

    Args:
        on_part: whether they are fixed to the part; else they tell the air around it.

    Raises:
        Invalid: more than six in all; its sheet asks for no post-cure; it was taken back.
        AlreadyExists: one is a probe of it already. UnknownReference: no such bay.
    """
    with writing(Turn.CLOCK):
        finding.refuse_signed(row.job)
        finding.must_be_laid(row)
        if watch.watch(row, now).post_cure is None:
            raise Invalid(
                f"The cure sheet of layup {row.id} asks for no post-cure, so there is nothing to "
                "count.",
                advice="Enter it on the sheet, as 'post_cure', before the layup is laid.",
            )
        known = {each.bay_id: each for each in probes.of_layups([row.id])}
        named = [finding.bay(code, f"/bays/{n}") for n, code in enumerate(bays)]
        for n, bay in enumerate(named):
            if bay.id in known or bay in named[:n]:
                raise AlreadyExists(
                    f"{bay.code} is a probe of layup {row.id} already.",
                    advice="Name each once. To say that it is fixed to the part, take it back "
                    "first.",
                    pointer=f"/bays/{n}",
                )
        if len(known) + len(named) > MOST_PROBES:
            raise Invalid(
                f"Layup {row.id} would have {len(known) + len(named)} probes.",
                advice=f"Name at most {MOST_PROBES}.",
                pointer="/bays",
            )
        for bay in named:
            probes.add(row.id, bay.id, on_part=on_part, now=now, hand=hand)
        return show_layup(watch.watch(finding.layup(row.id), now))


def take_back_probe(row: Layup, probe: int, *, reason: str, now: int, hand: Hand) -> LayupView:
    """Take a probe of a layup back: what it told does not count, nor did it ever.

    Raises: NotFound: the layup has no such probe. AlreadyExists; NotAllowed, as
        `permissions.may_undo`; Invalid: the layup was handed over.
    """
    with writing(Turn.CLOCK):
        finding.refuse_signed(row.job)
        found = probes.find_probe(probe)
        if found is None or found.layup_id != row.id:
            raise take_back.not_noted(probe, f"layup {row.id}", "probe")
        withdrawals.refuse_twice("layup_probe", probe, f"Probe {probe}")
        permissions.may_undo(found, now, hand)
        take_back.refuse_handed_over(row)
        withdrawals.withdraw("layup_probe", probe, reason, now=now, hand=hand)
        return show_layup(watch.watch(finding.layup(row.id), now))
