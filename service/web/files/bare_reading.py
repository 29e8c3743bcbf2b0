"""One reading of a small device: as bare text, `19.4 degC 58 %`, or as a form's fields."""

from __future__ import annotations

import re
from urllib.parse import parse_qsl

from ...core.amounts.quantities import TEMPERATURE
from ...core.errors import Invalid
from ..fields.amounts import asked_quantity
from ..fields.schemas import JsonSchema, Loaded
from .cells import number

LONGEST = 200
"""Characters of such a body."""
ADVICE = "Send a temperature with its unit, and the humidity if it is known: 19.4 degC 58 %"
FORM_ADVICE = "Fields here: temperature, humidity_percent, at; such as temperature=19.4+degC"

TEXT_SHAPE: JsonSchema = {
    "type": "string",
    "maxLength": LONGEST,
    "description": "A temperature with its unit, and the relative humidity in percent if it is "
    "known; as of now.",
    "examples": ["19.4 degC 58 %"],
}
FORM_SHAPE: JsonSchema = {
    "type": "object",
    "properties": {
        "temperature": asked_quantity((TEMPERATURE,)) | {"description": "With its unit."},
        "humidity_percent": {
            "type": "string",
            "description": "Relative humidity.",
            "examples": ["58"],
        },
        "at": {
            "type": "string",
            "format": "date-time",
            "description": "When it was; without it, now.",
        },
    },
    "required": ["temperature"],
    "additionalProperties": False,
}

_TEXT = re.compile(
    r"(?P<temperature>[^%]*[^%\s,;])(?:[\s,;]+(?P<humidity_percent>[\d.]{1,8})\s*%)?"
)


def of_text(text: str) -> Loaded:
    """The reading in a bare text, as a JSON request has it, but for its moment.

    Raises: Invalid: it is none.
    """
    found = _TEXT.fullmatch(_short(text).strip())
    if found is None:
        raise Invalid("The text is not understood as a reading.", advice=ADVICE)
    return _reading({name: told for name, told in found.groupdict().items() if told is not None})


def of_form(text: str) -> Loaded:
    """The reading in the fields of a form, as a JSON request has it; `at` only if it is given.

    Raises: Invalid: it is none.
    """
    try:
        pairs = parse_qsl(
            _short(text).strip(), keep_blank_values=True, strict_parsing=True, errors="strict"
        )
    except ValueError as error:
        raise Invalid(
            "The body is not understood as a form.",
            advice=f"{FORM_ADVICE}; for bare text say Content-Type: text/plain",
        ) from error
    told = dict(pairs)
    if len(told) < len(pairs):
        raise Invalid("The form has a field twice.", advice=FORM_ADVICE)
    unknown = sorted(told.keys() - FORM_SHAPE["properties"].keys())
    if unknown:
        raise Invalid(f"Unknown field: {unknown[0][:64]!r}.", advice=FORM_ADVICE)
    return _reading(told)


def _short(text: str) -> str:
    if len(text) > LONGEST:
        raise Invalid(f"A reading has at most {LONGEST} characters.", advice=ADVICE)
    return text


def _reading(told: Loaded) -> Loaded:
    if "humidity_percent" in told:
        told["humidity_percent"] = number(told["humidity_percent"])
    return told
