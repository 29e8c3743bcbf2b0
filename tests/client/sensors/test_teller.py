"""Readings on their way to a service that comes and goes."""

from __future__ import annotations

from typing import Any

import pytest
from cureyard_client.answers import Record
from cureyard_client.api import Answer
from cureyard_client.exits import Refused, Stopped, Unreached, refusal
from cureyard_client.sensors import patience
from cureyard_client.sensors.teller import Heard, Teller

DONE = Answer(201, "{}")


class Service:
    """Answers from a script: an answer, or an error to raise."""

    def __init__(self, *script: Answer | Exception) -> None:
        self.script = list(script)
        self.asked: list[tuple[str, Record, str]] = []

    def post(self, path: str, body: Record, *, key: str) -> Answer:
        """The next of the script."""
        self.asked.append((path, body, key))
        step = self.script.pop(0) if self.script else DONE
        if isinstance(step, Exception):
            raise step
        return step


@pytest.fixture(autouse=True)
def pauses(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """The pauses that were made, none of which lasts."""
    made: list[float] = []
    monkeypatch.setattr(patience.time, "sleep", made.append)
    return made


def refused(status: int) -> Refused:
    """A refusal of the service's."""
    return refusal(status, {"detail": f"no {status}"})


def heard(second: int) -> Heard:
    """A reading of its own second."""
    return Heard(f"2026-03-20T09:46:{second:02}+00:00", f"{second} degC")


def tells(service: Service, *readings: Heard, most: int = 100) -> tuple[list[str], list[str], Any]:
    """What was said, the readings that were told, and why it ended."""
    said: list[str] = []
    told: list[str] = []
    teller = Teller(
        service,  # type: ignore[arg-type]  # all that it asks for
        "SHED", said.append, lambda each, _: told.append(each.temperature), most,
    )  # fmt: skip
    for each in readings:
        teller.hear(each)
    teller.stop(Stopped("the end"))
    with pytest.raises(Stopped) as ended:
        teller.tell()
    return said, told, ended.value


def test_in_order_each_with_a_key_of_its_own() -> None:
    """As a probe's."""
    service = Service()
    _, told, _ = tells(service, heard(1), heard(2))
    assert told == ["1 degC", "2 degC"]
    assert len({key for _, _, key in service.asked}) == 2
    assert service.asked[0][:2] == (
        "/v1/bays/SHED/readings",
        {"readings": [{"at": heard(1).at, "temperature": "1 degC"}], "probe": True},
    )


@pytest.mark.parametrize(
    "away", [Unreached("none answers"), refused(503), refused(507), refused(500)]
)
def test_what_is_not_taken_is_sent_again_with_its_key(away: Exception, pauses: list[float]) -> None:
    """The pauses grow to half a minute; it is said once, and once that it is over."""
    service = Service(*[away] * 8)
    said, told, _ = tells(service, heard(1), heard(2))
    assert told == ["1 degC", "2 degC"]
    assert len({key for _, _, key in service.asked[:9]}) == 1
    assert pauses == [1, 2, 4, 8, 16, 30, 30, 30]
    assert len(said) == 2
    assert said[1] == "The service answers again."


@pytest.mark.parametrize("status", [400, 409, 422])
def test_one_that_is_refused_is_told_and_passed_over(status: int) -> None:
    """The next one counts."""
    said, told, _ = tells(Service(refused(status)), heard(1), heard(2))
    assert told == ["2 degC"]
    assert said == [f"Passed over, 1 degC of {heard(1).at}: no {status}"]


@pytest.mark.parametrize("status", [401, 403, 404])
def test_what_each_would_meet_ends_it(status: int) -> None:
    """The token, or the bay."""
    _, told, ended = tells(Service(refused(status)), heard(1), heard(2))
    assert (told, ended.message) == ([], f"no {status}")


def test_of_one_second_the_first_counts() -> None:
    """It is said once."""
    said, told, _ = tells(Service(), heard(1), heard(1), heard(1), heard(2))
    assert told == ["1 degC", "2 degC"]
    assert len(said) == 1


def test_the_oldest_are_given_up() -> None:
    """Where too many wait; it is said once."""
    said, told, _ = tells(Service(), *map(heard, range(1, 8)), most=4)
    assert told == ["5 degC", "6 degC", "7 degC"]
    assert said == ["4 readings wait: the oldest are given up."]
