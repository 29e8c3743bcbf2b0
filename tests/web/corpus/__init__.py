"""Bad requests, by what is wrong with them: each is refused, and changes nothing.

What only looks dangerous (markup, SQL or a template in a title) is no fault and not here: it is
kept as it was said, and shown as text.
"""

from __future__ import annotations

from . import (
    addresses,
    amounts,
    headers,
    json_text,
    kinds,
    moments,
    queries,
    sense,
    tables,
    words,
)
from .entry import Entry

BY_KIND: dict[str, list[Entry]] = {
    "addresses": addresses.ENTRIES,
    "amounts": amounts.ENTRIES,
    "headers": headers.ENTRIES,
    "json text": json_text.ENTRIES,
    "kinds": kinds.ENTRIES,
    "moments": moments.ENTRIES,
    "queries": queries.ENTRIES,
    "sense": sense.ENTRIES,
    "tables": tables.ENTRIES,
    "words": words.ENTRIES,
}
