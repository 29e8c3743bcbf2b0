"""What may stand in an address: a thing's code, or its id. Anything else is not found."""

from __future__ import annotations

from typing import Any

from werkzeug.routing import BaseConverter, IntegerConverter, Map

from ..fields import CODE, LARGEST_INTEGER


class CodeInAddress(BaseConverter):
    """A code or number as a person gives it."""

    regex = CODE


class IdInAddress(IntegerConverter):
    """A row's id, in at most 63 bits."""

    regex = r"[0-9]{1,19}"

    def __init__(self, url_map: Map) -> None:
        super().__init__(url_map, max=LARGEST_INTEGER)


def described_code(_converter: BaseConverter) -> dict[str, Any]:
    """JSON Schema of a code in an address."""
    return {"type": "string", "pattern": f"^{CODE}$"}
