"""Six acts through a generated client: receive, dose, mix, lay up, photograph, what now.

    python acts.py ADDRESS

What was answered is printed as JSON. mypy checks this program together with the client that is
generated beside it.
"""

from __future__ import annotations

import json
import sys
from base64 import b64decode
from hashlib import sha256
from io import BytesIO
from typing import TypeVar

import httpx
from yard_client import Client
from yard_client.api.batches import add_batch
from yard_client.api.doses import work_out_dose
from yard_client.api.layups import add_layup
from yard_client.api.lots import add_lot
from yard_client.api.now import get_now
from yard_client.api.photographs import add_layup_photograph, get_photograph_image
from yard_client.models.batch_in import BatchIn
from yard_client.models.batch_out import BatchOut
from yard_client.models.dose_out import DoseOut
from yard_client.models.dose_why_in import DoseWhyIn
from yard_client.models.layup_in import LayupIn
from yard_client.models.layup_kind import LayupKind
from yard_client.models.layup_out import LayupOut
from yard_client.models.lot_in import LotIn
from yard_client.models.now_out import NowOut
from yard_client.models.problem_out import ProblemOut
from yard_client.models.quantity import Quantity
from yard_client.types import File

Found = TypeVar("Found")

PICTURE = (
    "iVBORw0KGgoAAAANSUhEUgAAAAQAAAADCAIAAAA7ljmRAAAAFElEQVR4nGOsyEthgAEmBiSAwgEAMGIB"
    "UB2F0NYAAAAASUVORK5CYII="
)
"""A PNG of 4 by 3 pixels, in base64."""


def good(answer: Found | ProblemOut | None) -> Found:
    """An answer that is no refusal."""
    if answer is None or isinstance(answer, ProblemOut):
        sys.exit(str(answer))
    return answer


def receive(client: Client, product: str, number: str, quantity: str) -> Quantity:
    """Take a container in; how much is there."""
    lot = LotIn(product=product, number=number, quantity=quantity)
    return good(add_lot.sync(client=client, body=lot)).on_hand


def dose(client: Client) -> DoseOut:
    """How much peroxide to measure out."""
    body = DoseWhyIn(resin="LAM", amount="1 kg", temperature="20 degC", catalyst_percent=2)
    return good(work_out_dose.sync(client=client, body=body))


def mix(client: Client) -> BatchOut:
    """Mix that pot."""
    body = BatchIn("LAM", "1 kg", "D-7", temperature="20 degC", catalyst_percent=2)
    return good(add_batch.sync(client=client, body=body, idempotency_key="first-pot"))


def lay_up(client: Client, pot: int) -> LayupOut:
    """Lay a ply of the pot."""
    body = LayupIn("D-7", "Ply 1", LayupKind.LAMINATE, "SHED", batches=[pot])
    return good(add_layup.sync(client=client, body=body))


def refused(client: Client) -> ProblemOut:
    """Why nothing is laid in a bay that is not there."""
    body = LayupIn("D-7", "Ply 2", LayupKind.LAMINATE, "NOWHERE", product="LAM")
    answer = add_layup.sync(client=client, body=body)
    assert isinstance(answer, ProblemOut)
    return answer


def photograph(client: Client, layup: int) -> list[bool | str]:
    """Keep a photograph of that, twice, and look at it."""
    kept = []
    for _ in range(2):
        file = File(payload=BytesIO(b64decode(PICTURE)))
        answer = add_layup_photograph.sync(layup, client=client, body=file, shows="a ply")
        kept.append(good(answer))
    image = good(get_photograph_image.sync(kept[0].id, client=client))
    known = sha256(image.payload.read()).hexdigest() == kept[0].sha256
    return [known, *(each.kept_before for each in kept), kept[0].shows]


def now(client: Client) -> NowOut:
    """What to do; without an ETag of before it is never 304."""
    told = good(get_now.sync(client=client))
    assert isinstance(told, NowOut)
    return told


def main(address: str) -> None:
    """Do them, and print what was answered."""
    with Client(base_url=address, timeout=httpx.Timeout(300)) as client:
        drum = receive(client, "LAM", "B-2207", "20 kg")
        bottle = receive(client, "PEROX", "P-14", "1 kg")
        measured, pot = dose(client).catalyst.mass, mix(client)
        layup = lay_up(client, pot.id)
        told, problem = now(client), refused(client)
        found = {
            "received": [f"{each.value:g} {each.unit}" for each in (drum, bottle)],
            "peroxide": f"{measured.value:g} {measured.unit}",
            "drawn": [draw.lot for draw in pot.draws],
            "laid": [layup.kind.value, layup.batches],
            "photographed": photograph(client, layup.id),
            "now": [[each.title, each.bay, each.job] for each in told.layups],
            "window": layup.window is not None and layup.window.to_dict(),
            "refused": [problem.slug, problem.changed],
        }
    print(json.dumps(found))


if __name__ == "__main__":
    main(*sys.argv[1:])
