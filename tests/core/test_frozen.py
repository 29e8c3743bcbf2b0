"""`frozen` behaves as the standard library's `dataclass(frozen=True)` does (Python 3.11 manual)."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field, fields, replace
from pathlib import Path
from typing import Any

import pytest
from cureyard_service.core.frozen import frozen
from hypothesis import given
from hypothesis import strategies as st


def _pot(decorate: Any) -> Any:
    @decorate
    class Pot:
        grams: float
        lots: tuple[str, ...] = ()
        notes: list[str] = field(default_factory=list, hash=False)
        kept: dict[str, int] = field(default_factory=dict, compare=False, repr=False)

    return Pot


OURS, THEIRS = _pot(frozen), _pot(dataclass(frozen=True))
POTS = st.tuples(
    st.floats() | st.integers(-1, 1),
    st.lists(st.sampled_from("ab"), max_size=2).map(tuple),
    st.lists(st.sampled_from("ab"), max_size=1),
    st.dictionaries(st.sampled_from("ab"), st.integers(0, 1), max_size=1),
)


@given(POTS, POTS)
def test_equal_where_the_librarys_are(one: Any, other: Any) -> None:
    """Also of NaN, and never of another class."""
    assert (OURS(*one) == OURS(*other)) is (THEIRS(*one) == THEIRS(*other))
    assert OURS(*one) != THEIRS(*one)


@given(POTS)
def test_shown_copied_and_hashed_as_the_librarys(values: Any) -> None:
    """Field by field."""
    ours, theirs = OURS(*values), THEIRS(*values)
    assert repr(ours) == repr(theirs)
    assert asdict(ours) == asdict(theirs)
    assert replace(ours) == ours
    assert [each.name for each in fields(ours)] == [each.name for each in fields(theirs)]
    assert hash(ours) == hash(OURS(*values[:2]))


def test_equal_ones_hash_alike() -> None:
    """As a set needs it."""
    assert hash(OURS(1, ("a",))) == hash(OURS(1.0, ("a",)))
    assert len({OURS(1), OURS(1), OURS(2)}) == 2


def test_a_field_without_a_hash_is_refused() -> None:
    """A list among the hashed ones."""
    with pytest.raises(TypeError, match="unhashable"):
        hash(OURS(1, ["a"]))


def test_what_a_class_says_of_itself_holds() -> None:
    """A method of its own is not replaced."""

    @frozen
    class Named:
        name: str

        def __repr__(self) -> str:
            return self.name

    assert repr(Named("gel")) == "gel"


def test_a_class_below_compares_its_own_fields_too() -> None:
    """And is no equal of the one above."""

    @frozen
    class Base:
        one: int

    @frozen
    class Below(Base):
        two: int = 0

    assert Below(1, 2) == Below(1, 2)
    assert Below(1, 2) != Below(1, 3)
    assert Below(1) != Base(1)


def test_the_house_uses_it() -> None:
    """A data class that nothing changes is `@frozen`; a few want more of the library than that."""
    service = Path(__file__).parents[2] / "service"
    found = {
        path.relative_to(service).as_posix()
        for path in service.rglob("*.py")
        if "frozen=True" in path.read_text(encoding="utf-8")
    }
    by_name_alone, arrays = {"acts/cure/lay_up.py", "acts/pots/mix.py"}, "core/products/evidence.py"
    assert found == {*by_name_alone, arrays, "core/frozen.py", "topics/__init__.py"}
