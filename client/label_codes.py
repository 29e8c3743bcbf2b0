"""The code on a label: the address of a page, or a word such as `lot:12`."""

from __future__ import annotations

import re
from typing import Literal, NamedTuple
from urllib.parse import urlsplit

from .api import Api
from .exits import Stopped

Noun = Literal["lot", "batch"]

_PAGE = re.compile(r"(https?://\S+)/(lots|batches)/([0-9]{1,19})/?", re.IGNORECASE)
_WORD = re.compile(r"(lot|batch):([0-9]{1,19})", re.IGNORECASE)
_NOUNS: dict[str, Noun] = {"lots": "lot", "batches": "batch", "lot": "lot", "batch": "batch"}
_PORTS = {"http": 80, "https": 443}


class Label(NamedTuple):
    """The lot or pot of a label, and the yard's address where the code has one."""

    noun: Noun
    number: int
    address: str | None


def scanned(api: Api, text: str, noun: Noun) -> int | None:
    """The id in a label's code; None for a text that is no code.

    Raises:
        Stopped: the label is of another noun or another yard, or the address is of no label.
    """
    label = _read(text)
    if label is None:
        return None
    if label.noun != noun:
        raise Stopped(
            f"That label is of {label.noun} {label.number}, and a {noun} is wanted.",
            f"'cureyard {label.noun} show {label.noun}:{label.number}' shows it.",
        )
    if label.address is not None:
        _check(api, label.address, label)
    return label.number


def _read(text: str) -> Label | None:
    if page := _PAGE.fullmatch(text):
        return Label(_NOUNS[page[2].lower()], int(page[3]), page[1])
    if word := _WORD.fullmatch(text):
        return Label(_NOUNS[word[1].lower()], int(word[2]), None)
    if text.lower().startswith(("http://", "https://")):
        raise Stopped("That address is not of a lot or a pot.", "Scan the label of one.")
    return None


def _check(api: Api, address: str, label: Label) -> None:
    """Refuse a label of another yard: there the same id belongs to something else."""
    own = str(api.get("/v1/yard").body.get("address") or "")
    if _place(address) in {_place(own), _place(api.url)}:
        return
    raise Stopped(
        f"That label is of the yard at {address}, and this is {own or api.url}.",
        f"If this yard has moved since, type {label.noun}:{label.number} instead.",
    )


def _place(address: str) -> tuple[str, int | None, str] | None:
    """Host, port and path of an address; None if it has no host."""
    try:
        parts = urlsplit(address)
        port = parts.port or _PORTS.get(parts.scheme)
    except ValueError:
        return None
    return (parts.hostname, port, parts.path.rstrip("/")) if parts.hostname else None
