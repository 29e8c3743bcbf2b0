"""Labels: their code is read back by another library, and their words keep to the paper."""

from __future__ import annotations

import json
from io import BytesIO
from itertools import combinations
from typing import Any
from xml.etree import ElementTree

import pytest
import zxingcpp
from cureyard_service.acts.yard.settings import change_yard
from cureyard_service.web.labels import lettering, paper
from cureyard_service.web.labels.code import Code
from cureyard_service.web.labels.paper import Line, Words
from flask.testing import FlaskClient
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from ...acts import sample_yard as yard
from ..tokened import KEEPER

SVG = "{http://www.w3.org/2000/svg}"
WORDS = st.text(st.characters(exclude_categories=("Cc", "Cs", "Zl", "Zp")), max_size=200)
HOSTILE = "<b>&amp;</b>{{7*7}}'\"]]> " + "W" * 170


@pytest.fixture
def stocked(client: FlaskClient) -> FlaskClient:
    """A yard with a drum, a bottle of peroxide and a pot of both."""
    yard.set_up()
    yard.stocked()
    yard.pot()
    return client


def image(client: FlaskClient, address: str) -> Image.Image:
    """A label as its pixels."""
    answer = client.get(f"/v1/{address}/label.png")
    assert (answer.status_code, answer.content_type) == (200, "image/png"), answer.text
    return Image.open(BytesIO(answer.data))


def read(seen: Image.Image) -> str:
    """What a reader makes of a label's code."""
    (found,) = zxingcpp.read_barcodes(seen)
    assert found.format == zxingcpp.BarcodeFormat.QRCode
    return str(found.text)


def texts(client: FlaskClient, address: str) -> list[str]:
    """What stands on a label, line by line, by its drawing."""
    answer = client.get(f"/v1/{address}/label.svg")
    assert (answer.status_code, answer.content_type) == (200, "image/svg+xml; charset=utf-8")
    drawn = ElementTree.fromstring(answer.data)
    return [(line.text or "").replace("\xa0", " ") for line in drawn.iter(f"{SVG}text")]


def set_address(address: str) -> None:
    """Say where people reach the yard."""
    change_yard(now=yard.NOW, hand=KEEPER, address=address)


@pytest.mark.parametrize(
    ("address", "held"),
    [
        (None, "{noun}:1"),
        ("https://yard.example", "https://yard.example/{page}/1"),
        ("https://boats.example:8443/cure/", "https://boats.example:8443/cure/{page}/1"),
        ("https://yard.example/" + "deep/" * 90, "{noun}:1"),  # finer than a shop prints
    ],
)
@pytest.mark.parametrize(("page", "noun"), [("lots", "lot"), ("batches", "batch")])
def test_the_code_is_read_back(
    stocked: FlaskClient, address: str | None, held: str, page: str, noun: str
) -> None:
    """The page's address where the yard has one, else what the program takes."""
    if address:
        set_address(address)
    assert read(image(stocked, f"{page}/1")) == held.format(page=page, noun=noun)
    assert f"{noun}:1" in " ".join(texts(stocked, f"{page}/1"))


def test_a_smudge_is_borne(stocked: FlaskClient) -> None:
    """A ninth of the code's breadth blotted out beside its middle: level M or better."""
    set_address("https://yard.example")
    seen = image(stocked, "lots/1")
    seen.paste(0, (150, 190, 185, 225))
    assert read(seen) == "https://yard.example/lots/1"


def test_quiet_round_the_code(stocked: FlaskClient) -> None:
    """Four light squares on every side, on whole dots: what a reader needs (ISO/IEC 18004)."""
    code = Code("lot:1")
    dots = int(paper.CODE * paper.DOTS / code.side)
    left = int(paper.EDGE * paper.DOTS)
    seen = image(stocked, "lots/1").crop((left, left, *(left + dots * code.side,) * 2))
    dark = Image.eval(seen, lambda shade: 255 - shade).getbbox()
    quiet = 4 * dots
    assert dark == (quiet, quiet, seen.width - quiet, seen.height - quiet)


def test_sixty_by_forty(stocked: FlaskClient) -> None:
    """Both files say their size: in dots to an inch, and in mm."""
    seen = image(stocked, "lots/1")
    across, down = (
        dots / dpi * 25.4 for dots, dpi in zip(seen.size, seen.info["dpi"], strict=True)
    )
    assert (across, down) == (pytest.approx(60, abs=0.01), pytest.approx(40, abs=0.01))
    drawn = ElementTree.fromstring(stocked.get("/v1/lots/1/label.svg").data)
    assert (drawn.get("width"), drawn.get("height")) == ("60.0mm", "40.0mm")
    assert drawn.get("viewBox") == "0 0 60.0 40.0"


def test_nothing_from_elsewhere_is_let_in(stocked: FlaskClient) -> None:
    """An image is taken for no page."""
    for name in ("label.svg", "label.png"):
        headers = stocked.get(f"/v1/lots/1/{name}").headers
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["Content-Security-Policy"].startswith("default-src 'none'")


def test_what_a_lots_label_says(client: FlaskClient) -> None:
    """Code, number, container and the last day; room to write where the store knows no day."""
    yard.set_up()
    yard.receive("LAM", "20 kg", number="B-7", made_on=yard.day(-10))
    yard.receive("MICROS", "1 kg", number="C-3")
    yard.receive("LAM", "20 kg", number="B-8")
    yard.receive("HARD", "5 kg", number="H-1")
    sealed = texts(client, "lots/1")
    assert sealed[0] == "LAM"
    assert {"lot B-7", "good until", f"{yard.day(170)}"} <= set(sealed)
    assert "lot:1 · container 1" in sealed
    assert sealed[-1] == "opened ______________ then good for 60 d at most"
    assert "____-__-__" in texts(client, "lots/2")
    undated = texts(client, "lots/3")
    assert {f"{yard.day(180)}", "assumed from receipt: read the date on the drum"} <= set(undated)
    assert undated[-1] == sealed[-1]
    assert {"____-__-__", "no shelf life known"} <= set(texts(client, "lots/4"))
    version = client.get("/v1/lots/1").headers["ETag"]
    client.patch("/v1/lots/1", json={"opened_on": str(yard.day(0))}, headers={"If-Match": version})
    opened = texts(client, "lots/1")
    assert {f"opened {yard.day(0)}", f"{yard.day(60)}"} <= set(opened)


@pytest.mark.parametrize(
    ("product", "words"), [("PEROX", "PEROXIDE"), ("COBALT", "Never near peroxide"), ("LAM", "")]
)
def test_what_can_explode_says_so(client: FlaskClient, product: str, words: str) -> None:
    """On a dark bar at the foot, which other labels have not."""
    yard.set_up()
    yard.receive(product, "1 kg")
    last, corner = texts(client, "lots/1")[-1], image(client, "lots/1").getpixel((2, 470))
    assert (words in last, corner) == (True, 0 if words else 255)


@pytest.mark.parametrize(
    ("held", "days", "words"),
    [(True, 90, "HELD: do not use"), (False, -1, "EXPIRED: do not use"),
     (True, -1, "HELD, EXPIRED: do not use")],
)  # fmt: skip
def test_what_may_not_be_drawn_says_so(
    client: FlaskClient, held: bool, days: int, words: str
) -> None:
    """In large words, before the day until which it was good; it has its caution still."""
    yard.set_up()
    yard.receive("PEROX", "1 kg", number="P-1", expires_on=yard.day(days))
    free = texts(client, "lots/1")
    if held:
        change = {"held": True, "reason": "left in the sun"}
        client.patch("/v1/lots/1", json=change, headers={"If-Match": "*"})
    told = texts(client, "lots/1")
    assert words in told
    assert f"good until {yard.day(days)}" in told
    assert told[-1] == free[-1]
    drawn = ElementTree.fromstring(client.get("/v1/lots/1/label.svg").data)
    sizes = {line.text: float(line.get("font-size", 0)) for line in drawn.iter(f"{SVG}text")}
    assert sizes[words] == max(sizes.values())
    assert read(image(client, "lots/1")) == "lot:1"


def test_what_a_pots_label_says(stocked: FlaskClient) -> None:
    """What it is, its band outwards, and until when it can be spread, as it was answered."""
    told, pot = texts(stocked, "batches/1"), stocked.get("/v1/batches/1").json
    assert told[:3] == ["pot 1", "job D-7", "LAM 1000 g"]
    assert told[3] == f"PEROX {pot['catalyst']['mass']['value']:g} g, 2 %"
    first, last = (pot[f"gel_at_{end}"][11:16] for end in ("earliest", "latest"))
    begins, _, ends = told[-3].partition(" to ")
    assert begins <= first <= last <= ends
    assert {begins[-1], ends[-1]} <= {"0", "5"}
    assert told[-2].startswith("mixed 2026-03-20 09:46, spread by 09:5")
    assert "bare ground" in told[-1]


@pytest.mark.parametrize(("kind", "words"), [("lost", "lost"), ("not_mixed", "not mixed")])
def test_a_pot_that_never_gels(stocked: FlaskClient, kind: str, words: str) -> None:
    """Nobody waits for it."""
    assert stocked.post("/v1/batches/1/observations", json={"kind": kind}).status_code == 201
    told = texts(stocked, "batches/1")
    assert words in told
    assert "gels" not in told


def test_hostile_words(client: FlaskClient) -> None:
    """They stand there as words, and the drawing is still one."""
    yard.set_up()
    body: dict[str, Any] = {"code": "W" * 32, "name": HOSTILE, "role": "catalyst"}
    assert client.post("/v1/products", json=body).status_code == 201
    body = {"product": "W" * 32, "number": "M" * 32, "container": "9" * 32, "quantity": "1 kg"}
    assert client.post("/v1/lots", json=body).status_code == 201
    assert any("{{7*7}}" in line for line in texts(client, "lots/1"))
    assert read(image(client, "lots/1")) == "lot:1"


@settings(max_examples=40)
@given(name=WORDS, bar=WORDS, large=WORDS, note=st.booleans())
def test_words_keep_to_their_room(name: str, bar: str, large: str, note: bool) -> None:
    """Whatever they are: on the paper, clear of the code, and no line on another."""
    beside = [Words(name, 5.0, bold=True, least=1.6)]
    beside += [Words(line, 3.0) for line in lettering.lines(name, paper.ROOM, 3.0, 2)]
    beside += [Words(name, 4.2, bold=True, above=0.8), Words(name, 2.8)]
    label = paper.lay(name, "lot:1", beside, ("good until", large), [name] * (1 + note), bar)
    lines = [*label.lines, *([label.bar] if label.bar else [])]
    edge = paper.EDGE + label.square * label.code.side
    for line in lines:
        assert line.x + line.width <= paper.WIDTH - paper.EDGE + 1e-6
        assert line.x >= edge or line.y - 0.75 * line.size >= edge
        assert line.width <= 1e-6 or lettering.width(line.text, line.size, line.bold) <= (
            line.width + 1e-6
        )
    for one, other in combinations(lines, 2):
        assert apart(one, other), json.dumps([one.text, other.text])
    assert all(line.y <= paper.HEIGHT - paper.BAR for line in label.lines)


def apart(one: Line, other: Line) -> bool:
    """Whether no letter of a line (0.75 of its size above, 0.25 below) stands on another's."""
    beside = one.x + one.width <= other.x + 1e-6 or other.x + other.width <= one.x + 1e-6
    upper, lower = sorted((one, other), key=lambda line: line.y)
    return beside or upper.y + 0.25 * upper.size <= lower.y - 0.75 * lower.size + 1e-6


def test_a_cut_is_marked() -> None:
    """Nobody takes a part of a number for the whole."""
    told = lettering.fitted("B" * 64, paper.ROOM, 4.2, 1.6, True)
    assert told.text.endswith("…")
    assert lettering.fitted("B-2207", paper.ROOM, 4.2, 1.6, True).text == "B-2207"
