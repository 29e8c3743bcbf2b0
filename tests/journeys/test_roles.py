"""A yard where everybody shows a token: a hand, a lead and an admin at one server, over HTTP."""

from __future__ import annotations

import stat
from pathlib import Path

import requests

from .conftest import Hand

STOCKED = (
    "product add LAM --name Resin --role resin",
    "lot receive LAM '20 kg' --number B-1 --expires-on 2020-01-31",
    "job open D-7 --title Stem --craft Teal",
)


def arrives(folder: Path, name: str, url: str, secret: str) -> Hand:
    """Somebody at a machine of their own, who keeps the token that they were given."""
    hand = Hand.at(folder / name, url=url)
    hand.types("token keep --file -", given=f"{secret}\n")
    (file,) = Path(hand.environment["HOME"]).rglob("tokens.json")
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    return hand


def test_each_does_what_the_role_covers_and_it_stands_who_did(tmp_path: Path) -> None:
    """A hand is refused, a lead overrides and accepts, an admin revokes; the logbook has it all."""
    keeper = Hand.at(tmp_path, database=str(tmp_path / "yard.sqlite"), zone="UTC", hand="Keeper")
    secrets = {
        name: keeper.types(f"token add {name} --role {role} --json").json["token"]
        for name, role in (("Rui", "hand"), ("Ines", "lead"), ("Ada", "admin"))
    }
    with keeper.serving() as url:
        rui, ines = (arrives(tmp_path, name, url, secrets[name]) for name in ("Rui", "Ines"))
        for line in STOCKED:
            ines.types(line)
        draw = "draw --lot LAM/B-1 '2 kg' --job D-7"
        assert "out of date" in rui.types(draw, exits=1).err
        told = rui.types(f"{draw} --override 'a mould plug'", exits=3).err
        assert "needs a lead, and Rui is a hand" in told
        ines.types(f"{draw} --override 'a mould plug'")
        (line,) = ines.types("trace LAM/B-1 --json").json["movements"][:1]
        assert (line["kind"], line["who"]) == ("receipt", "Ines")
        assert "waits for a lead" in rui.types("count LAM/B-1 '17 kg'").out
        (waits,) = ines.types("lot counts --json").json["items"]
        assert "a lead" in rui.types(f"lot accept {waits['id']}", exits=3).err
        assert "is accepted" in ines.types(f"lot accept {waits['id']} --note leaked").out
        assert "leaked" not in ines.types("lot counts").out
        ada = {"Authorization": f"Bearer {secrets['Ada']}"}
        gone = requests.post(f"{url}/v1/tokens/1/revocation", json={"reason": "left"}, headers=ada)
        assert gone.status_code == 201
        assert "was revoked" in rui.types("now", exits=3).err
        book = ines.types("logbook --json").json["items"]
    assert [(e["kind"], e["who"], e["verified"], e["reason"]) for e in book] == [
        ("token revoked", "Ada", True, "left"),
        ("count accepted", "Ines", True, "leaked"),
        ("overridden", "Ines", True, "a mould plug"),
        *[("token made", "Keeper", False, None)] * 3,
    ]
    kept = b"".join(file.read_bytes() for file in tmp_path.glob("yard.sqlite*"))
    assert not any(secret.encode() in kept for secret in secrets.values())
