"""Where a request may come from while nobody has to log in.

OWASP API Security Top 10 (2023): API8 security misconfiguration.
"""

from __future__ import annotations

import pytest
from cureyard_service.store import tables
from flask.testing import FlaskClient

pytestmark = pytest.mark.only_on("sqlite")  # a guard looks at headers, not into the store

TOY = {"number": "T-1", "title": "Cutter"}


@pytest.mark.parametrize(
    "host", ["localhost", "LOCALHOST:8765", "127.0.0.1", "127.0.0.1:8765", "[::1]", "[::1]:80"]
)
def test_this_machine_is_answered(client: FlaskClient, host: str) -> None:
    """By any of its own names."""
    assert client.get("/v1/toys", headers={"Host": host}).status_code == 200


@pytest.mark.parametrize(
    "host",
    [
        "yard.example", "localhost.yard.example", "127.0.0.1.yard.example", "127.0.0.2",
        "0.0.0.0", "[::]", "::1", "localhost:", "localhost:x", "localhost:1234567",
        "localhost,yard.example", "user@localhost", "localhost/", "", "127.1", "2130706433",
        "localhost:８０", "localhost.",
    ],
)  # fmt: skip
def test_a_foreign_name_is_refused_everywhere(client: FlaskClient, host: str) -> None:
    """A name that somebody points at this machine opens nothing, not even a page."""
    for address in ("/v1/toys", "/healthz", "/docs", "/problems/", "/openapi.json", "/nowhere",
                    "/pair/x"):  # fmt: skip
        answer = client.get(address, environ_overrides={"HTTP_HOST": host})
        assert answer.status_code == 403
        assert answer.json["type"].endswith("/problems/foreign-host")


@pytest.mark.parametrize(
    "header",
    [
        "Forwarded", "Via", "X-Forwarded-For", "x-forwarded-host", "X-Forwarded-Proto",
        "X-Forwarded", "Forwarded-For", "X-Real-IP", "X-Client-IP", "Client-IP", "True-Client-IP",
        "X-Cluster-Client-IP", "CF-Connecting-IP", "CF-Connecting-IPv6", "CF-Ray",
        "Edge-Client-IP", "X-Remote-Addr", "X-Remote-IP", "X-Original-Host", "X-Original-URL",
        "X-Source-IP", "X-ProxyUser-Ip", "Proxy-Connection", "CDN-Loop",
    ],
)  # fmt: skip
def test_what_a_proxy_passed_on_is_refused(client: FlaskClient, header: str) -> None:
    """A proxy could let anybody in under this machine's name."""
    answer = client.get("/v1/toys", headers={header: "for=192.0.2.1"})
    assert answer.status_code == 403
    assert answer.json["type"].endswith("/problems/foreign-host")


def test_what_no_proxy_sets_is_taken(client: FlaskClient) -> None:
    """A browser's own headers, with client hints and fetch metadata, are no proxy's."""
    own = (
        "Accept", "Accept-Encoding", "Accept-Language", "Cache-Control", "Connection", "DNT",
        "Priority", "Referer", "Sec-CH-UA", "Sec-CH-UA-Platform", "Sec-Fetch-Dest", "Sec-GPC",
        "Upgrade-Insecure-Requests", "User-Agent", "X-Requested-With", "Client-Hints",
    )  # fmt: skip
    assert client.get("/v1/toys", headers=dict.fromkeys(own, "x")).status_code == 200


@pytest.mark.parametrize(
    "headers",
    [
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
        {"Sec-Fetch-Site": "rubbish"},
        {"Origin": "http://yard.example"},
        {"Origin": "null"},
        {"Origin": ""},
        {"Origin": "http://localhost:9999"},
        {"Origin": "https://localhost"},
        {"Origin": "http://127.0.0.1", "Sec-Fetch-Site": "same-origin"},
    ],
)
@pytest.mark.parametrize("body", [True, False])
def test_another_sites_page_changes_nothing(
    client: FlaskClient, headers: dict[str, str], body: bool
) -> None:
    """With or without a body, and before anything else is looked at."""
    answer = client.post("/v1/toys", json=TOY if body else None, headers=headers)
    assert answer.status_code == 403
    assert answer.json["type"].endswith("/problems/cross-site")
    assert tables.Job.select().count() == 0


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"Sec-Fetch-Site": "none"},
        {"Sec-Fetch-Site": "same-origin", "Origin": "http://localhost"},
        {"Origin": "http://LOCALHOST"},
    ],
)
def test_this_services_own_pages_may(client: FlaskClient, headers: dict[str, str]) -> None:
    """So may a program, which sends neither header."""
    assert client.post("/v1/toys", json=TOY, headers=headers).status_code == 201


def test_another_site_may_look_in_vain(client: FlaskClient) -> None:
    """Reading changes nothing, and no header lets the other page see what came."""
    answer = client.get("/v1/toys", headers={"Sec-Fetch-Site": "cross-site"})
    assert answer.status_code == 200
    assert not any(name.startswith("Access-Control") for name, _ in answer.headers)


@pytest.mark.parametrize("address", ["/v1/toys?x=1", "/v1/toys/T-1?limit=5", "/healthz?units=us"])
def test_a_query_name_that_an_address_does_not_know_is_refused(
    client: FlaskClient, address: str
) -> None:
    """A mistyped filter must not look like one that found everything."""
    answer = client.get(address)
    assert answer.status_code == 422
    assert "Names here" in answer.json["advice"]


@pytest.mark.parametrize("address", ["192.0.2.1", "10.0.0.7", "fe80::1", "::", "rubbish", ""])
def test_another_machine_is_refused(client: FlaskClient, address: str) -> None:
    """Whatever name it gives this one, while nobody has to log in."""
    answer = client.get("/v1/toys", environ_overrides={"REMOTE_ADDR": address})
    assert answer.status_code == 403
    assert answer.json["type"].endswith("/problems/foreign-host")
