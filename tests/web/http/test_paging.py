"""Lists in pages.

OWASP API Security Top 10 (2023): API4 unrestricted resource consumption.
"""

from __future__ import annotations

import pytest
from cureyard_service.web.http import paging
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st


@given(
    st.lists(st.integers(1, 2**63 - 1), unique=True, max_size=30).map(sorted),
    st.integers(1, 40),
)
def test_pages_hold_every_row_once_and_in_order(rows: list[int], limit: int) -> None:
    """However many fit on one, the pages one after another are the list."""

    def find(after: int | None, most: int) -> list[int]:
        return [row for row in rows if row > (after or 0)][:most]

    seen, query, pages = [], {"limit": limit}, 0
    while True:
        page = paging.page(query, find, key=int)
        assert len(page.items) <= limit
        seen += page.items
        pages += 1
        if page.next is None:
            break
        query = paging.Page().load({"limit": str(limit), "after": page.next})
    assert seen == rows
    assert pages == max(1, -(-len(rows) // limit))


def test_a_list_goes_on_where_it_stopped(client: FlaskClient) -> None:
    """Over HTTP: two, two and one of five."""
    for number in range(5):
        client.post("/v1/toys", json={"number": f"T-{number}", "title": "Cutter"})
    address, sizes = "/v1/toys?limit=2", []
    while address:
        page = client.get(address).json
        sizes.append([toy["number"] for toy in page["items"]])
        address = page["next"] and f"/v1/toys?limit=2&after={page['next']}"
    assert sizes == [["T-0", "T-1"], ["T-2", "T-3"], ["T-4"]]


@pytest.mark.parametrize(
    "query",
    [
        "limit=0", "limit=201", "limit=-1", "limit=1.5", "limit=ten", "limit=", "limit=1e2",
        "limit=²", "limit=99999999999999999999", "limit=5&limit=6", "after=%00", "after=1",
        "after=rubbish!", "after=é", "page=2", "Limit=5", "after=" + "0" * 1000,
        "after=64p36d1l6orjge9g64p36d1l6orjge9g",
    ],
)  # fmt: skip
def test_a_query_that_means_nothing_is_refused(client: FlaskClient, query: str) -> None:
    """A limit out of range, a cursor that nobody gave, a name that is not known."""
    answer = client.get(f"/v1/toys?{query}")
    assert answer.status_code == 422
    assert answer.json["type"].endswith("/problems/validation")
    assert "parameter" in answer.json


def test_the_usual_page_is_fifty(client: FlaskClient) -> None:
    """And at most two hundred are given at once."""
    for number in range(51):
        client.post("/v1/toys", json={"number": f"T-{number}", "title": "Cutter"})
    assert len(client.get("/v1/toys").json["items"]) == 50
    assert len(client.get("/v1/toys?limit=200").json["items"]) == 51
