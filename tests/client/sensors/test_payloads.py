"""What is read of a broker's message; and a message is never more than passed over."""

from __future__ import annotations

from contextlib import suppress

import pytest
from cureyard_client.sensors.payloads import LARGEST, NoReading, Shape, read
from hypothesis import given
from hypothesis import strategies as st

BARE = Shape("degC")
JSON = Shape("degF", "air.heat", "damp")


@pytest.mark.parametrize(
    ("payload", "shape", "said"),
    [
        (b"19.4", BARE, ("19.4 degC", None)),
        (b" -3\n", BARE, ("-3 degC", None)),
        (b"+19.40", BARE, ("+19.40 degC", None)),
        (b'{"air": {"heat": 67}, "damp": 58.5}', JSON, ("67 degF", 58.5)),
        (b'{"air": {"heat": "67.1"}, "damp": "58"}', JSON, ("67.1 degF", 58.0)),
        (b'{"air": {"heat": 67.123456789012}, "damp": 0}', JSON, ("67.1234568 degF", None)),
        (b'{"heat": 20}', Shape("degC", "heat"), ("20 degC", None)),
        (b'{"air": {"heat": 67}}', JSON, ("67 degF", None)),
        (b'{"air": {"heat": 67}, "damp": null}', JSON, ("67 degF", None)),
        (b'{"air": {"heat": 67}, "damp": 1000}', JSON, ("67 degF", None)),
    ],
)
def test_a_reading(payload: bytes, shape: Shape, said: tuple[str, float | None]) -> None:
    """A temperature with its unit; a humidity that can't be is left out."""
    assert read(payload, shape) == said


@pytest.mark.parametrize(
    ("payload", "shape"),
    [
        (b"", BARE), (b"  ", BARE), (b"nan", BARE), (b"inf", BARE), (b"1e5", BARE), (b"19,4", BARE),
        (b"19.4 degC", BARE), (b"\xff\xfe", BARE), (b"1" * (LARGEST + 1), BARE), (b"12345", BARE),
        (b"19.4", JSON), (b"[1]", JSON), (b"null", JSON), (b"{", JSON), (b"[" * 4000, JSON),
        (b'{"air": 5, "damp": 5}', JSON), (b'{"air": {"heat": true}, "damp": 5}', JSON),
        (b'{"air": {"heat": NaN}, "damp": 5}', JSON), (b'{"air": {"heat": 1e99}, "damp": 5}', JSON),
        (b'{"air": {"heat": ' + b"9" * 500 + b"}}", JSON),
    ],
)  # fmt: skip
def test_what_is_none(payload: bytes, shape: Shape) -> None:
    """In words."""
    with pytest.raises(NoReading, match=r"^[A-Z].*"):
        read(payload, shape)


@given(st.binary(max_size=200), st.sampled_from([BARE, JSON, Shape("K", "a", "a")]))
def test_any_bytes(payload: bytes, shape: Shape) -> None:
    """A reading, or none; never another fault."""
    with suppress(NoReading):
        assert read(payload, shape)[0].endswith(shape.unit)
