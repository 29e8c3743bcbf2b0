"""Judge a job's quality gates by the yard's profile, and let a lead override one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Annotated, Any

from ...core.amounts.views import Code, Moment, OneOf, View
from ...core.errors import AuthorityMissing, GateStop
from ...core.frozen import frozen
from ...core.gates import air as gates_air
from ...core.gates import authority
from ...core.gates import dry as gates_dry
from ...core.gates import fresh as gates_fresh
from ...core.gates import part as gates_part
from ...core.gates import stock as gates_stock
from ...core.gates.judged import VERDICTS, Before, Judged, Rule, Verdict
from ...core.gates.part import Below
from ...core.gates.profiles import LIMITS, PROFILES
from ...core.words import Text, joined, say
from ...store.bays import Bay
from ...store.cure.pots import Batch
from ...store.engine.database import writing
from ...store.stock.jobs import Job
from ...store.yard import overrides
from ...store.yard.hands import Hand
from ...store.yard.overrides import Override
from ..wetness import places, surface
from ..yard import finding, permissions, settings
from . import gate_facts

LASTS_S = 86_400
"""How long an override holds: air and stock are others tomorrow (common practice, no source)."""


@frozen
class SetAsideView(View):
    """Why a gate was set aside, by whom, and until when."""

    reason: str
    who: str
    until: Moment


@frozen
class GateView(View):
    """A gate's answer: what it found, what would change it, where its figures come from."""

    gate: Annotated[str, OneOf(tuple(LIMITS))]
    title: str
    before: Before
    verdict: Verdict
    found: Text
    change: Text
    source: str
    overridden: SetAsideView | None


@frozen
class GatesView(View):
    """A job's gates by the yard's profile; the verdict is the gravest not overridden."""

    job: Code
    profile: Annotated[str, OneOf(PROFILES)]
    title: str
    refuses: bool
    verdict: Verdict
    gates: list[GateView]


def judge(
    job: Job,
    now: int,
    *,
    bay: str | None = None,
    spraying: bool = False,
    prepared_at: int | None = None,
    pointer: str = "/bay",
) -> list[Judged]:
    """Every gate's answer, in the profile's order.

    Args:
        bay: of the work; else the bay of the job's last layup, else the yard's only one.
        spraying: whether resin will be sprayed. prepared_at: when the surface was abraded and
            wiped, epoch s; without it, the last note of that or the last sanding counts.

    Raises: UnknownReference: no such bay.
    """
    rules = settings.rules().rules
    shop = gate_facts.shop_of(job, bay, pointer, now)
    air = gate_facts.air(shop, now)
    below = gate_facts.below(job, now, rules["cure-time"].limits["floor"])
    to_be_dry = places.of_job(job, now).for_gate()
    known = [each.name for each in to_be_dry]
    fresh = _fresh(rules["surface-fresh"], job, known, shop, below, prepared_at, now)
    rolls = gate_facts.stood(gate_facts.reserved(job, "reinforcement", now), shop, now)
    resins = gate_facts.stood(gate_facts.reserved(job, "resin", now), shop, now)
    return [
        authority.named(rules["authority"], job.structural, job.authority),
        gates_air.shop_warm(rules["shop-warm"], air),
        gates_air.shop_steady(rules["shop-steady"], air),
        gates_air.humidity(rules["humidity"], air, spraying=spraying),
        gates_stock.rolls_rested(rules["rolls-rested"], rolls),
        gates_stock.resin_warm(rules["resin-warm"], resins),
        gates_stock.stored_apart(rules["stored-apart"], *gate_facts.company()),
        gates_dry.dry(rules["dry"], to_be_dry),
        fresh,
        gates_part.mat_on_gel_coat(rules["mat-on-gel-coat"], below, gate_facts.mats(job)),
        gates_part.unwaxed(rules["unwaxed"], below),
        gates_part.sound_below(rules["sound-below"], *gate_facts.soundness(job, now)),
        gates_part.cure_time(rules["cure-time"], below),
        gates_part.hard_enough(rules["hard-enough"], below),
    ]


def _fresh(
    rule: Rule, job: Job, known: Iterable[str], shop: Bay | None, below: Below | None,
    prepared_at: int | None, now: int,
) -> Judged:  # fmt: skip
    """The gate of a fresh surface at the place where it is gravest."""
    faces = gate_facts.faces(surface.standing_notes(job, now), known, below)
    ready: dict[str, int | None] = {}
    for place, noted in faces.items():
        said = [each.at for each in noted if each.kind == "prepared"]
        ready[place] = gates_fresh.ready_at(said if prepared_at is None else [prepared_at], below)
    laid = now if below is None else below.laid_at  # where nobody prepared it, it counts from then
    damp = gate_facts.damp(shop, min(laid if at is None else at for at in ready.values()), now)
    found = []
    for place, noted in faces.items():
        came = gate_facts.came(noted, damp)
        judged = gates_fresh.surface_fresh(rule, below, ready[place], now, came)
        words = say("{}: {}", place, judged.found) if place else judged.found
        found.append(replace(judged, found=words))
    return max(found, key=lambda each: VERDICTS.index(each.verdict))


def show_gates(job: Job, now: int, **asked: Any) -> GatesView:
    """A job's gates. The arguments are those of `judge`."""
    profile = settings.rules()
    found = judge(job, now, **asked)
    overridden = _overrides(job, now)
    gravest = max(
        (VERDICTS.index(each.verdict) for each in found if each.rule.gate not in overridden),
        default=0,
    )
    return GatesView(
        job=job.number,
        profile=profile.name,
        title=profile.title,
        refuses=profile.refuses,
        verdict=VERDICTS[gravest],
        gates=[_show(each, overridden.get(each.rule.gate)) for each in found],
    )


def override_gate(job: Job, *, gate: str, reason: str, now: int, hand: Hand) -> GatesView:
    """Set a gate aside for a job, for a day and on record.

    Raises: JobClosed, NotAllowed.
    """
    with writing():
        job = finding.open_job(job.number, "/job")
        hand.must_be("lead", "To override a quality gate")
        permissions.overridden(
            _slug(gate), reason, f"job {job.number}", now=now, hand=hand, job_id=job.id
        )
        return show_gates(job, now)


def stops(job: Job, now: int, bay: str | None = None) -> list[Judged]:
    """The gates before laminating that say stop, and that nobody overrode."""
    overridden = _overrides(job, now)
    return [
        each
        for each in judge(job, now, bay=bay)
        if (each.verdict, each.rule.before) == ("stop", "laminating")
        and each.rule.gate not in overridden
    ]


def check_pot(job: Job, at: int, bay: str | None, override: str | None) -> list[Judged]:
    """The stops that an override sets aside for a pot; none if the yard's profile only warns.

    Raises: GateStop: there are stops, and no override.
    """
    if not settings.rules().refuses:
        return []
    found = stops(job, at, bay)
    if found and override is None:
        raise GateStop(
            joined(" ", words(found)),
            advice=say("{} Or have a lead override it with a reason.", found[0].change),
            gates=[each.rule.gate for each in found],
        )
    return found


def record(found: list[Judged], batch: Batch, reason: str, now: int, hand: Hand) -> None:
    """Record the stops that were set aside for a pot."""
    for each in found:
        permissions.overridden(
            _slug(each.rule.gate),
            reason,
            f"pot {batch.id}, job {batch.job.number}",
            now=now,
            hand=hand,
            batch_id=batch.id,
            job_id=batch.job.id,
        )


def words(found: list[Judged]) -> list[Text]:
    """Stops in words."""
    return [say("Gate {} says stop: {}", each.rule.gate, each.found) for each in found]


def _slug(gate: str) -> str:
    """The slug of an override of a gate. That of authority also lets the work itself go on."""
    return AuthorityMissing.slug if gate == "authority" else f"gate-{gate}"


def _overrides(job: Job, now: int) -> dict[str, Override]:
    """Gate → its last override for a job, of those that still hold."""
    rows = overrides.of_job_alone(job.id, since=now - LASTS_S)
    slugs = {_slug(gate): gate for gate in LIMITS}
    return {slugs[row.slug]: row for row in rows if row.slug in slugs}


def _show(judged: Judged, override: Override | None) -> GateView:
    rule, set_aside = judged.rule, None
    if override is not None:
        set_aside = SetAsideView(override.reason, override.who, override.recorded_at + LASTS_S)
    return GateView(
        gate=rule.gate,
        title=rule.title,
        before=rule.before,
        verdict=judged.verdict,
        found=judged.found,
        change=judged.change,
        source=rule.source,
        overridden=set_aside,
    )
