"""Ways to put bodies into a store, by noun: by acts, at a service, over a socket, by commands.

Each takes lists of bodies by their noun, as in `products=[resin()], lots=[lot()]`, in that order.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Any

import requests
from cureyard_service.acts.bays import bay as bays
from cureyard_service.acts.jobs import job as jobs
from cureyard_service.acts.products import product as products
from cureyard_service.acts.stock import receive as lots
from cureyard_service.store.yard.hands import Hand
from cureyard_service.web.resources.bays import BayIn
from cureyard_service.web.resources.jobs import JobIn
from cureyard_service.web.resources.lots import LotIn
from cureyard_service.web.resources.products import ProductIn
from flask.testing import FlaskClient

from .makers import Body
from .waiting import HANGS_S

ACTS: dict[str, tuple[Any, Callable[..., Any]]] = {
    "products": (ProductIn(), products.add_product),
    "bays": (BayIn(), bays.add_bay),
    "jobs": (JobIn(), jobs.open_job),
    "lots": (LotIn(), lots.receive_lot),
}
"""How a noun's body is read, and the act that takes it."""


def by_acts(now: int, hand: Hand, **nouns: Iterable[Body]) -> list[Any]:
    """Do the acts, at a moment (epoch s); what each answers."""
    return [
        ACTS[noun][1](**ACTS[noun][0].load(body), now=now, hand=hand)
        for noun, bodies in nouns.items()
        for body in bodies
    ]


def by_client(client: FlaskClient, **nouns: Iterable[Body]) -> list[Any]:
    """Post them to a service in this process; what each answers."""
    return [post(client, noun, body) for noun, bodies in nouns.items() for body in bodies]


def post(client: FlaskClient, path: str, body: Body, status: int = 201) -> Any:
    """Post a body under `/v1/`, check the answer's status, and return its JSON."""
    answer = client.post(f"/v1/{path}", json=body)
    assert answer.status_code == status, answer.json
    return answer.json


def by_http(url: str, **nouns: Iterable[Body]) -> list[Any]:
    """Post them to a service at an address; what each answers."""
    return [send(url, noun, body) for noun, bodies in nouns.items() for body in bodies]


def send(url: str, path: str, body: Body) -> Any:
    """Post a body under `/v1/` of an address, check that it was taken, and return its JSON."""
    answer = requests.post(f"{url}/v1/{path}", json=body, timeout=HANGS_S)
    assert answer.status_code == 201, answer.text
    return answer.json()


COMMANDS = {
    "products": ("product", "add", "code"),
    "bays": ("bay", "add", "code"),
    "jobs": ("job", "open", "number"),
    "lots": ("lot", "receive", "product", "quantity"),
}
"""A noun's command, and the fields that it takes without an option."""


def by_commands(types: Callable[..., Any], **nouns: Iterable[Body]) -> None:
    """Type them, one command a body."""
    for noun, bodies in nouns.items():
        for body in bodies:
            types(*words(noun, body))


def words(noun: str, body: Body) -> list[str]:
    """The words of a command."""
    command, verb, *fields = COMMANDS[noun]
    rest = {name: value for name, value in body.items() if name not in fields}
    cure = rest.pop("cure", {})
    return [command, verb, *(body[name] for name in fields), *_options(rest), *_sheet(dict(cure))]


def _options(body: Body) -> Iterator[str]:
    """`--name value` for each field."""
    for name, value in body.items():
        yield from (f"--{name.replace('_', '-')}", str(value))


def _sheet(cure: Body) -> Iterator[str]:
    """A cure sheet's figures, as they are typed."""
    mix = cure.pop("mix", {})
    if mix:
        yield from ("--mix", mix["kind"])
    if "parts" in mix:
        yield from ("--parts", *map(str, mix["parts"]), "--by", mix["by"])
    for partner in cure.pop("with", ()):
        yield from ("--with", partner)
    if "reference" in cure:
        yield from ("--reference", *_point(cure.pop("reference")))
    for point in cure.pop("gel_times", ()):
        yield from ("--gel-time", *_point(point), point["time"])
    for name in ("min", "max"):
        if f"catalyst_percent_{name}" in cure:
            yield from (f"--percent-{name}", str(cure.pop(f"catalyst_percent_{name}")))
    yield from _options(cure.pop("milestones", {}))
    yield from _options(cure)


def _point(point: Body) -> tuple[str, str]:
    """A temperature, and a percent or `-`."""
    return point["temperature"], str(point.get("catalyst_percent", "-"))
