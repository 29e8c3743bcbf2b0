"""The hour that is shown of a moment: on the safe side, and steady as it comes near."""

from __future__ import annotations

from datetime import UTC, datetime

from cureyard_client.rendering import moments
from cureyard_service.core.amounts import hours
from hypothesis import given
from hypothesis import strategies as st

MOMENTS = st.integers(0, 4_000_000_000)


@given(moment=MOMENTS)
def test_an_hour_is_on_the_safe_side(moment: int) -> None:
    """Never later than an end nor earlier than a beginning, and within five minutes of it."""
    assert 0 <= moment - hours.closing(moment) < 300
    assert 0 <= hours.opening(moment) - moment < 300


@given(moment=MOMENTS)
def test_the_terminal_rounds_as_the_pages_do(moment: int) -> None:
    """The client may not import the service, so it has the rule again."""
    text = datetime.fromtimestamp(moment, UTC).isoformat()
    assert moments.closes(text).timestamp() == hours.closing(moment)
    assert moments.opens(text).timestamp() == hours.opening(moment)
