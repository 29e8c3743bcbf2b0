"""Which connection makes way when there are too many."""

from __future__ import annotations

from typing import Any

from cureyard_service.web.lan.crowd import Caller, Crowd


class Task:
    """Something that can be ended."""

    ended = False

    def cancel(self) -> None:
        """End it."""
        self.ended = True


def caller(address: str, moved: float, *, asking: bool = True) -> Caller:
    """A connection."""
    task: Any = Task()
    return Caller(address, moved, asking, task)


def crowd_of(most_each: int, most: int, *callers: Caller) -> list[int]:
    """Which of some connections were ended, as they came one after the other."""
    crowd = Crowd(most_each, most)
    for each in callers:
        crowd.add(each)
    ended: list[Any] = [each.task for each in callers]
    return [number for number, task in enumerate(ended) if task.ended]


def test_of_one_address_the_one_that_waits_longest_makes_way() -> None:
    """One that is answered stays; so does another address, however old."""
    old = caller("10.0.0.9", 0)
    mine = [caller("10.0.0.1", at, asking=at != 1) for at in (1, 2, 3, 4)]
    assert crowd_of(3, 9, old, *mine) == [2]


def test_where_all_are_answered_the_quietest_makes_way() -> None:
    """So the next is taken in any case."""
    assert crowd_of(2, 9, *(caller("10.0.0.1", at, asking=False) for at in (5, 4, 6))) == [1]


def test_in_all_the_address_that_has_most_makes_way() -> None:
    """Not the one that comes."""
    few = [caller("10.0.0.2", 0), caller("10.0.0.3", 0)]
    many = [caller("10.0.0.1", at) for at in (7, 8, 9)]
    assert crowd_of(9, 5, *few, *many, caller("10.0.0.4", 10)) == [2]


def test_a_machine_has_all_addresses_of_its_ipv6_network() -> None:
    """RFC 4291, 2.5.1: the last 64 bits are the machine's own to choose."""
    mine = [caller(f"fd00::{number}", number) for number in (1, 2, 3)]
    assert crowd_of(2, 9, *mine, caller("fd00:0:0:1::1", 4)) == [0]
