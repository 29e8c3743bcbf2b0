"""What a probe sends by itself: whose bay, how old, believed or doubted, heard or silent."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.bays import air, bay, readings, take_back
from cureyard_service.acts.bays.import_readings import import_readings
from cureyard_service.acts.bays.probe import BACK_MAX_S, ProbeView
from cureyard_service.acts.bays.readings import ReadingsView, ReadingView
from cureyard_service.acts.wall.now import AirView, what_now
from cureyard_service.acts.wall.wall import wall
from cureyard_service.acts.yard import finding, recognising, settings, tokens
from cureyard_service.core import errors
from cureyard_service.store import bays as log
from cureyard_service.store.yard.hands import Hand
from peewee import Database

from .. import sample_yard as yard
from ..sample_yard import DAY, HAND, MIN, NOW, H

pytestmark = pytest.mark.usefixtures("books")

KEEPER = Hand("Keeper", verified=False, role="admin")


def sensor(code: str = "SHED") -> Hand:
    """The sensor of a bay, as its token makes it known."""
    tokens.add_token(name="Ada", role="admin", now=NOW, hand=KEEPER)
    made = tokens.add_token(name="Probe", role="sensor", bay=code, now=NOW, hand=KEEPER)
    known = recognising.recognised(made.token)
    assert known is not None
    return Hand(known.name, verified=True, role=known.role, bay_id=known.bay_id)


def reading(celsius: float, at: int = NOW, **facts: Any) -> dict[str, Any]:
    """A reading as the interface gives it."""
    return {"at": at, "temperature": yard.heat(f"{celsius} degC"), **facts}


def probed(*celsius: float, at: int = NOW, every: int = MIN, **facts: Any) -> ReadingsView:
    """Readings of the shed's probe, the last one at a moment."""
    first = at - every * (len(celsius) - 1)
    told = [reading(each, first + n * every) for n, each in enumerate(celsius)]
    asked = {"bay": "SHED", "now": at, "hand": HAND, "probe": True} | facts
    return readings.read_bay(readings=told, **asked)


def listed() -> list[ReadingView]:
    """Every reading of the shed on record, the last first."""
    return readings.list_readings(finding.bay("SHED").id, None, 50)


def doubts() -> list[str | None]:
    """The doubt of each reading of the shed, the first first."""
    return [row.doubt for row in reversed(listed())]


def here(now: int = NOW) -> AirView:
    """The shed in 'now'."""
    return next(each for each in what_now(now).bays if each.code == "SHED")


def heard(now: int = NOW) -> ProbeView:
    """The shed's probe."""
    found = here(now).probe
    assert found is not None
    assert bay.show_bay(finding.bay("SHED"), now).probe == found
    return found


def test_a_sensor_speaks_of_its_own_bay_alone(books: Database) -> None:
    """Of another bay it is told no more than of one that is not there."""
    probe = sensor()
    assert probed(19, hand=probe, probe=False).recorded == 1
    assert listed()[0].probe
    before = yard.contents(books)
    for other in ("TENT", "NONE"):
        with pytest.raises(errors.NotAllowed) as refused:
            probed(19, hand=probe, bay=other, at=NOW + MIN)
        assert refused.value.detail == "Probe is the sensor of SHED alone."
    assert yard.contents(books) == before


@pytest.mark.parametrize("role", ["viewer", "hand", "lead", "admin"])
def test_a_sensor_is_below_every_person(role: Any) -> None:
    """Whatever an act asks for, it is not enough."""
    with pytest.raises(errors.NotAllowed, match="Probe is a sensor here"):
        sensor().must_be(role)


def test_how_old_a_sensors_reading_may_be(books: Database) -> None:
    """A weekend; what is older a hand enters."""
    probe = sensor()
    assert probed(19, at=NOW - BACK_MAX_S, now=NOW, hand=probe).recorded == 1
    before = yard.contents(books)
    with pytest.raises(errors.Invalid, match="at most 72 h old"):
        probed(19, at=NOW - BACK_MAX_S - 1, now=NOW, hand=probe)
    assert yard.contents(books) == before
    assert probed(19, at=NOW - 10 * DAY, now=NOW).recorded == 1


def test_no_probe_reads_what_is_to_come(books: Database) -> None:
    """A clock a little ahead of ours says now; one that is wrong is refused."""
    assert probed(19, at=NOW + 300, now=NOW).recorded == 1
    assert listed()[0].at == NOW
    before = yard.contents(books)
    with pytest.raises(errors.Invalid, match="in the future"):
        probed(19, at=NOW + 301, now=NOW)
    assert yard.contents(books) == before


def test_a_probe_corrects_nothing(books: Database) -> None:
    """Twice the same second is once; another value then is refused."""
    probe = sensor()
    probed(19, hand=probe)
    assert probed(19, hand=probe) == ReadingsView(0, 1, 0)
    before = yard.contents(books)
    with pytest.raises(errors.ReadingDiffers):
        probed(20, hand=probe)
    with pytest.raises(errors.Invalid, match="corrects nothing"):
        readings.read_bay(
            bay="SHED", readings=[reading(20, replaces=True, reason="no")], now=NOW, hand=probe
        )
    assert yard.contents(books) == before


def test_a_hand_is_always_believed() -> None:
    """Whatever was read a minute before; and the probe is then near it."""
    probed(19, at=NOW - MIN)
    readings.read_bay(bay="SHED", readings=[reading(50)], now=NOW, hand=HAND)
    assert probed(51, at=NOW + MIN).doubted == 0
    assert doubts() == [None, None, None]


def test_a_probe_that_a_hand_contradicts_confirms_nothing() -> None:
    """However often it says so, before or after: a hand reads the bay every quarter of an hour."""
    times = [NOW - quarter * 15 * MIN for quarter in range(4)]
    read = [reading(10, at) for at in times]
    readings.read_bay(bay="SHED", readings=read, now=NOW, hand=HAND)
    hot = [reading(38, at + 5 + 35 * n) for at in times[1:] for n in range(20)]
    became = readings.read_bay(bay="SHED", readings=hot, now=NOW, hand=HAND, probe=True)
    assert became.doubted == len(hot)
    assert here().temperature == pytest.approx(float(yard.heat("10 degC")))


def test_half_an_hour_after_a_hand_a_probe_is_believed_again() -> None:
    """A door that stays open is believed in the end, from when it was opened."""
    readings.read_bay(bay="SHED", readings=[reading(20)], now=NOW, hand=HAND)
    said = [probed(4, at=NOW + n * 5 * MIN).doubted for n in range(1, 8)]
    assert said == [1, 1, 1, 1, 1, 0, 0]
    assert set(doubts()) == {None}


def test_a_hands_reading_replaces_a_probes_of_the_same_second() -> None:
    """A probe that speaks each second keeps no hand out."""
    probed(20)
    hand = Hand("Rui", verified=True, role="hand")
    became = readings.read_bay(bay="SHED", readings=[reading(14.2)], now=NOW, hand=hand)
    assert became.replaced == 1
    assert listed()[0].reason == readings.BY_HAND
    assert here().temperature == pytest.approx(float(yard.heat("14.2 degC")))
    assert probed(14.2).unchanged == 1


def test_what_jumped_is_kept_and_used_by_nothing() -> None:
    """The air, its trace, its log, its humidity and the bay's last reading are the others'."""
    yard.receive("LAM", "20 kg")
    shed = finding.bay("SHED")
    told = [reading(19, NOW - MIN, humidity_percent=Decimal(50)),
            reading(44, NOW, humidity_percent=Decimal(95))]  # fmt: skip
    became = readings.read_bay(bay="SHED", readings=told, now=NOW, hand=HAND, probe=True)
    assert became == ReadingsView(recorded=2, unchanged=0, replaced=0, doubted=1)
    assert doubts() == [None, "jumped"]
    assert air.taken(shed, NOW).temperature == pytest.approx(292.15)
    assert air.trace(shed, NOW - H, NOW + H).T.max() == pytest.approx(293.15)  # the pattern's
    assert log.hourly_means([shed.id], DAY, NOW) == {shed.id: [(NOW - MIN, 292_150.0)]}
    damp = log.humidity_near(shed.id, NOW, H)
    assert damp is not None
    assert damp.humidity_ppm == 500_000
    shown = bay.show_bay(shed, NOW)
    assert shown.latest is not None
    assert shown.latest.at == NOW - MIN
    found = heard().doubted
    assert found is not None
    assert (found.temperature, found.at, found.doubt) == (pytest.approx(317.15), NOW, "jumped")
    (page,) = readings.pages_in_force(shed.id, 10)
    assert [row.doubt for row in page] == [None, "jumped"]


def test_a_layups_hours_do_not_move_by_a_jump() -> None:
    """The same milestones, with and without forty degrees for a minute."""
    yard.stocked()
    probed(19, 19, 19, 19)
    laid = yard.laid(yard.pot().id)
    probed(19, 19, 19, at=NOW + H, every=10 * MIN)
    before = what_now(NOW + H).layups[0].milestones
    assert probed(60, at=NOW + H + MIN).doubted == 1
    later = {each.id: each for each in what_now(NOW + H).layups}[laid.id]
    assert later.milestones == before


def test_what_follows_confirms_it() -> None:
    """A heater was lit: from the second reading on all of the level counts."""
    shed = finding.bay("SHED")
    probed(19, 35)
    assert air.taken(shed, NOW).temperature < 293
    assert probed(36, at=NOW + MIN).doubted == 0
    assert doubts() == [None, None, None]
    assert air.taken(shed, NOW).temperature == pytest.approx(308.15)
    assert heard(NOW + MIN).doubted is None
    # as it was known before
    assert air.trace(shed, NOW - H, NOW, as_known_at=NOW).at(NOW) < 293
    assert air.trace(shed, NOW - H, NOW, as_known_at=NOW + MIN).at(NOW) == pytest.approx(308.15)


def test_the_confirmation_taken_back() -> None:
    """What it confirmed is in doubt again."""
    probed(19, 35)
    probed(36, at=NOW + MIN)
    take_back.take_back_reading(
        finding.bay("SHED"), listed()[0].id, reason="not so", now=NOW + MIN, hand=HAND
    )
    assert doubts() == [None, "jumped", None]


def test_what_no_shop_can_have_is_never_confirmed() -> None:
    """A wire that is off says the same all day; a hand's own reading ends it."""
    assert probed(115, 115, 115, 115).doubted == 4
    assert bay.show_bay(finding.bay("SHED"), NOW).latest is None
    assert here().basis == "assumed"
    readings.read_bay(bay="SHED", readings=[reading(19, NOW + MIN)], now=NOW + MIN, hand=HAND)
    assert heard(NOW + MIN).doubted is None


def test_a_file_is_judged_row_by_row_and_beside_what_is_there() -> None:
    """Sent as one or one by one, the doubts are the same."""
    celsius = (19, 19, 44, 19, 30, 30, 31, 85, 30)
    probed(*celsius)
    together = doubts()
    shed, first = finding.bay("SHED").id, NOW - 8 * MIN
    for row in listed():
        take_back.take_back_reading(finding.bay("SHED"), row.id, reason="again", now=NOW, hand=HAND)
    for n, each in enumerate(celsius):
        probed(each, at=first + n * MIN, now=NOW)
    assert doubts()[len(celsius) :] == together
    assert together == [None, None, "jumped", None, None, None, None, "beyond", None]
    assert len(log.readings(shed, 0, NOW)) == 7


def test_a_late_reading_is_judged_by_what_was_before_it() -> None:
    """A queue that is sent after an outage, while the present one came first."""
    probed(25)
    assert probed(19, 19.2, 40, at=NOW - H, every=10 * MIN, now=NOW).doubted == 1


def test_the_yards_own_figure() -> None:
    """Three kelvin in a minute, unless the yard says another."""
    assert probed(19, 24).doubted == 1
    settings.change_yard(now=NOW, hand=KEEPER, jump=Decimal(6))
    assert probed(19, 24, at=NOW + H).doubted == 0
    for none in ("0.4", "31"):
        with pytest.raises(errors.Invalid):
            settings.change_yard(now=NOW, hand=KEEPER, jump=Decimal(none))


def test_a_probe_that_falls_silent() -> None:
    """In 'now' and on the wall; a bay that hands alone read has no probe."""
    probed(*[19] * 9)
    assert heard(NOW + 30 * MIN) == ProbeView(NOW, "heard", None)
    later = NOW + 31 * MIN
    assert heard(later) == ProbeView(NOW, "silent", None)
    silent = {each.air.code: each.silent for each in wall(later).bays}
    assert silent == {"SHED": NOW, "TENT": None, "BARN": None}
    assert [each.probe for each in what_now(NOW).bays if each.code != "SHED"] == [None, None]
    probed(19, at=later)
    assert heard(later).state == "heard"


def test_between_two_readings_a_slow_probe_is_not_silent() -> None:
    """It reads each quarter of an hour; a hand's reading is old after ten minutes."""
    probed(*[19] * 9, every=15 * MIN)
    assert {each.silent for each in wall(NOW + 14 * MIN).bays} == {None}
    readings.read_bay(bay="TENT", readings=[reading(30)], now=NOW, hand=HAND)
    silent = {each.air.code: each.silent for each in wall(NOW + 14 * MIN).bays}
    assert silent == {"SHED": None, "TENT": NOW, "BARN": None}


def test_a_probe_that_says_nonsense_is_not_silent() -> None:
    """It is heard, and not believed."""
    probed(19, at=NOW - H)
    probed(115)
    found = heard(NOW + MIN)
    assert found.state == "heard"
    assert found.doubted is not None
    assert found.doubted.doubt == "beyond"


def test_tokens_of_sensors() -> None:
    """A bay with the role alone; never the first token of all."""
    for role, code in (("sensor", None), ("hand", "SHED")):
        with pytest.raises(errors.Invalid) as refused:
            tokens.add_token(name="P", role=role, bay=code, now=NOW, hand=KEEPER)  # type: ignore[arg-type]
        assert refused.value.pointer == "/bay"
    with pytest.raises(errors.Invalid, match="everybody shows one"):
        tokens.add_token(name="P", role="sensor", bay="SHED", now=NOW, hand=KEEPER)
    sensor("TENT")
    shown = tokens.list_tokens(None, 10)
    assert [(each.role, each.bay) for each in shown] == [("sensor", "TENT"), ("admin", None)]
    with pytest.raises(errors.UnknownReference):
        tokens.add_token(name="P", role="sensor", bay="NONE", now=NOW, hand=KEEPER)


def test_an_import_counts_what_is_not_believed() -> None:
    """A logger that is followed is a probe: 44 and 115 °C between 20 °C are doubted, not lost."""
    told = {n: reading(celsius, NOW + n * MIN) for n, celsius in enumerate((20, 44, 20.2, 115), 1)}
    asked = {"bay": "SHED", "now": NOW + 5 * MIN, "hand": HAND}
    became = import_readings(readings=told, probe=True, **asked)
    assert (became.added, became.doubted) == (4, 2)
    assert [bool(doubt) for doubt in doubts()] == [False, True, False, True]
