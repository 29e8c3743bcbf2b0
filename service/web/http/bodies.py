"""Read bodies strictly: JSON that is not plain is refused, never guessed."""

from __future__ import annotations

import json
import math
from typing import Any, NoReturn

from flask import request

from ..problems import MediaType, Unreadable

JSON_LIMIT = 1024 * 1024
"""Most bytes of a JSON body."""

CSV_LIMIT = 16 * 1024 * 1024
"""Most bytes of a table."""

IMAGES = ("image/jpeg", "image/png")
"""Media types of a photograph."""

IMAGE = {"type": "string", "format": "binary"}
"""The JSON Schema of an image's bytes, as programs that generate clients know them."""

PICTURE_LIMIT = 20 * 1024 * 1024
"""Most bytes of a photograph; a phone makes 3 to 12 MB."""

FORM_LIMIT = 16 * 1024
"""Most bytes of a form, unless its page takes more from somebody who is known: see `forms`."""

FORMS = frozenset({"application/x-www-form-urlencoded", "multipart/form-data"})
"""How a browser sends a form."""

FORM_PARTS = 50
"""Most fields of a form."""

NESTING_LIMIT = 32
"""Most lists and objects inside each other: no request needs so many."""

_PLAIN = "Send it again as plain JSON in UTF-8."


def limit_body() -> None:
    """Allow a table or a photograph to be larger than JSON, and a form only small.

    Runs before every request.
    """
    larger = {"text/csv": CSV_LIMIT} | dict.fromkeys(IMAGES, PICTURE_LIMIT)
    larger |= dict.fromkeys(FORMS, FORM_LIMIT)
    request.max_content_length = larger.get(request.mimetype, JSON_LIMIT)
    request.max_form_parts = FORM_PARTS


def json_body() -> Any:
    """The request's body as JSON.

    Raises:
        MediaType: its header does not say JSON, or it is compressed.
        Unreadable: it is not JSON, or not plain JSON.
    """
    if not request.is_json or request.content_encoding:
        raise MediaType(
            "The body must be JSON.", advice="Send it with Content-Type: application/json."
        )
    return parse_json(request.get_data())


def text_body() -> str:
    """The request's body as text, such as a table of readings; a byte order mark is dropped.

    Raises:
        Unreadable: it is not UTF-8.
    """
    return _text(request.get_data())


def parse_json(raw: bytes) -> Any:
    """Read plain JSON.

    Raises:
        Unreadable: broken, nested too deep, not UTF-8, a name given twice, half a
            character, or a number out of range (NaN, infinity, 1e999, thousands of digits).
    """
    text = _text(raw)
    try:
        body = json.loads(
            text, parse_constant=_no_number, parse_float=_float, object_pairs_hook=_object
        )
        if "\\u" in text:  # an escape can write half a character, which can't be stored
            json.dumps(body, ensure_ascii=False).encode()
    except RecursionError as error:
        raise _too_deep() from error
    except UnicodeEncodeError as error:
        raise Unreadable(
            "A text in the JSON has an incomplete character.", advice=_PLAIN
        ) from error
    except json.JSONDecodeError as error:
        where = f"line {error.lineno}, column {error.colno}"
        raise Unreadable(f"The JSON is broken at {where}: {error.msg}.", advice=_PLAIN) from error
    except ValueError as error:  # thousands of digits
        raise Unreadable("A number in the JSON is out of range.", advice=_PLAIN) from error
    _check_nesting(body)
    return body


def _check_nesting(body: Any) -> None:
    """Refuse what is nested deeper than `NESTING_LIMIT`."""
    level, depth = [body], 0
    while level := [each for each in level if isinstance(each, (dict, list))]:
        depth += 1
        if depth > NESTING_LIMIT:
            raise _too_deep()
        inside = (each.values() if isinstance(each, dict) else each for each in level)
        level = [inner for values in inside for inner in values]


def _too_deep() -> Unreadable:
    return Unreadable("The JSON is nested too deep.", advice="Nest it less.")


def _text(raw: bytes) -> str:
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise Unreadable(
            f"The body is not UTF-8, from byte {error.start} on.", advice="Save it as UTF-8."
        ) from error


def _no_number(text: str) -> NoReturn:
    raise Unreadable(f"{text} is not a number in JSON.", advice=_PLAIN)


def _float(text: str) -> float:
    number = float(text)
    if not math.isfinite(number):
        raise Unreadable("A number in the JSON is out of range.", advice=_PLAIN)
    return number


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    body = dict(pairs)
    if len(body) < len(pairs):
        raise Unreadable("A JSON object has a name twice.", advice=_PLAIN)
    return body
