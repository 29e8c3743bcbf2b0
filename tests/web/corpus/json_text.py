"""Bodies that say that they are JSON, and can't be read as plain JSON."""

from __future__ import annotations

import gzip
import json
import zlib

from cureyard_service.web.http.bodies import NESTING_LIMIT

from ..small_yard import LOT
from .entry import Entry, raw

GOOD = json.dumps(LOT)
HEAD = '{"product": "LAM", "number": "B-2", "quantity": '

BROKEN = (
    "", " ", "\n\n", "{", "}", "[", '"', "{{}}", GOOD[:-1], GOOD + "}", GOOD + GOOD, GOOD + " x",
    GOOD.replace('"', "'"), GOOD.replace(":", "="), GOOD.replace(",", ";"), GOOD.replace(",", ""),
    GOOD[:-1] + ",}", "{," + GOOD[1:], GOOD + "// more", "/* a lot */" + GOOD, "# a lot\n" + GOOD,
    '{product: "LAM"}', '{"product"}', '{"product":}', '{1: "LAM"}', '{null: 1}', '{"a": 1 "b": 2}',
    "kg", "undefined", "None", "True", "nil", "<lot><product>LAM</product></lot>",
    "product: LAM\nnumber: B-2", "product=LAM&number=B-2", "(function(){return {}})()",
    "while(1);" + GOOD, ")]}'\n" + GOOD, "\x1e" + GOOD, "\x00", GOOD + "\x00", "\x0c" + GOOD,
    "\u00a0" + GOOD, "\u2028" + GOOD, "\u200b" + GOOD, "\ufeff\ufeff" + GOOD, GOOD + "\ufeff",
    GOOD.replace('"LAM"', "“LAM”"), "\u061c" + GOOD, "\u202e" + GOOD,
)  # fmt: skip
"""No JSON at all, or nearly some."""

NUMBERS = (
    "NaN", "-NaN", "nan", "Infinity", "-Infinity", "+Infinity", "inf", "1e999", "-1e999", "1E+400",
    "0x10", "0b1", "0o7", "010", "-01", "+1", ".5", "5.", "1.e3", "1e", "1e+", "1_000", "1,000",
    "1 000", "5kg", "5 kg", "١٢", "１２", "½", "∞", "1/2", "--1", "9" * 4301, "-" + "9" * 10_000,
)  # fmt: skip
"""What JSON has no such number for, or what is out of reach."""

STRINGS = (
    '"5 kg', '"5 kg\n"', '"5\tkg"', '"5 \x01kg"', '"5 \x00kg"', '"5 \x1bkg"', r'"\x35 kg"',
    r'"\u35 kg"', r'"\u{35} kg"', r'"\U00000035 kg"', r'"\ kg"', r"'5 kg'", '"5" "kg"',
    r'"\ud800"', r'"\udc00"', r'"\udc00\ud800"', r'"\ud800\u0041"', r'"\ud800\ud800"',
    r'["\udfff"]', r'{"\ud83d": 1}',
)  # fmt: skip
"""Texts that break off, have raw control characters, no such escape, or half a character."""

TWICE = (
    HEAD + '"5 kg", "quantity": "6 kg"}', HEAD + '"5 kg", "quantity": "5 kg"}',
    HEAD + r'"5 kg", "qu\u0061ntity": "6 kg"}', HEAD + '{"a": 1, "a": 2}}',
    HEAD + '[{"": 1, "": 1}]}', HEAD + '"5 kg", "__proto__": 1, "__proto__": 2}',
)  # fmt: skip
"""A name that stands twice: two readers would take different ones."""

DEEP = (
    "[" * 100 + "]" * 100, "[" * 10_000 + "]" * 10_000, "[" * 500_000,
    '{"a":' * 100 + "1" + "}" * 100, '{"a":' * 10_000 + "1" + "}" * 10_000,
    '[{"a":' * 50 + "1" + "}]" * 50, '{"":[' * 3_000 + "]}" * 3_000, '{"a":' * 170_000,
    HEAD + "[" * NESTING_LIMIT + "]" * NESTING_LIMIT + "}",
    HEAD + "[" * 10_000 + "]" * 10_000 + "}",
    HEAD + '{"a":' * 2_000 + "1" + "}" * 2_001,
)  # fmt: skip
"""Nested deeper than anything that is asked here."""

OCTETS = {
    "a byte that no UTF-8 has": b'{"product": "\xff"}',
    "latin-1": '{"product": "Ålö"}'.encode("latin-1"),
    "windows-1252": '{"product": "“LAM”"}'.encode("cp1252"),
    "a slash in two bytes": b'{"product": "\xc0\xaf"}',
    "a slash in three bytes": b'{"product": "\xe0\x80\xaf"}',
    "a slash in four bytes": b'{"product": "\xf0\x80\x80\xaf"}',
    "nothing in two bytes": b'{"product": "\xc0\x80"}',
    "half a character in UTF-8": b'{"product": "\xed\xa0\x80"}',
    "both halves in UTF-8": b'{"product": "\xed\xa0\xbd\xed\xb8\x80"}',
    "beyond Unicode": b'{"product": "\xf4\x90\x80\x80"}',
    "five bytes": b'{"product": "\xf8\x88\x80\x80\x80"}',
    "a character cut short": b'{"product": "\xe2\x82"}',
    "a stray second byte": b'{"product": "\x80"}',
    "UTF-16": GOOD.encode("utf-16"),
    "UTF-16 without a mark": GOOD.encode("utf-16-le"),
    "UTF-16 the other way": GOOD.encode("utf-16-be"),
    "UTF-32": GOOD.encode("utf-32"),
    "UTF-7": "+AHs-".encode("ascii") + GOOD[1:].encode(),
    "gzip that does not say so": gzip.compress(GOOD.encode(), mtime=0),
    "deflate that does not say so": zlib.compress(GOOD.encode()),
    "a zip file": b"PK\x03\x04\x14\x00\x00\x00\x08\x00",
    "a picture": b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR",
    "a pickle": b"\x80\x04\x95\x0b\x00\x00\x00\x00\x00\x00\x00}\x94\x8c\x01a\x94K\x01s.",
    "a binary map": b"\xa1gproductcLAM",
    "a multipart body": b"--x\r\nContent-Disposition: form-data; name=a\r\n\r\n1\r\n--x--\r\n",
}
"""Bytes that are no UTF-8, or no JSON in it."""


def _made() -> list[Entry]:
    made = [raw("unreadable", f"broken: {text[:40]!r}", text.encode()) for text in BROKEN]
    made += [
        raw("unreadable", f"number {text[:20]}", f"{HEAD}{text}}}".encode()) for text in NUMBERS
    ]
    made += [raw("unreadable", f"text {text!r}", f"{HEAD}{text}}}".encode()) for text in STRINGS]
    made += [raw("unreadable", f"twice: {text[-40:]}", text.encode()) for text in TWICE]
    made += [raw("unreadable", f"deep: {text[:20]}…", text.encode()) for text in DEEP]
    return made + [raw("unreadable", what, data) for what, data in OCTETS.items()]


ENTRIES = _made()
