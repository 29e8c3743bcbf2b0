"""A page of record as a test reads it: its rows by what their cells are called, and its words."""

from __future__ import annotations

from html.parser import HTMLParser

from flask.testing import FlaskClient

BROWSER = {"Accept": "text/html,application/xhtml+xml,*/*;q=0.8"}
"""What a browser sends."""


class Page(HTMLParser):
    """A page, taken apart.

    Attributes:
        rows: of tables, each its cells' words by their `data-label`.
        links: addresses in it. tags: names of its elements. words: all its text.
    """

    def __init__(self, text: str) -> None:
        super().__init__()
        self.rows: list[dict[str, str]] = []
        self.links: list[str] = []
        self.tags: set[str] = set()
        self.attributes: set[str] = set()
        self._texts: list[str] = []
        self._cell: str | None = None
        self.feed(text)
        self.words = " ".join("".join(self._texts).split())
        self.rows = [
            {name: " ".join(words.split()) for name, words in row.items()}
            for row in self.rows
            if row
        ]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note what begins."""
        named = dict(attrs)
        self.tags.add(tag)
        self.attributes |= named.keys()
        self.links += [link for name in ("href", "src") if (link := named.get(name))]
        if tag == "tr":
            self.rows.append({})
        if tag in ("td", "th"):
            self._cell = named.get("data-label")
        self._texts.append(" ")

    def handle_endtag(self, tag: str) -> None:
        """Note what ends."""
        if tag in ("td", "th"):
            self._cell = None

    def handle_data(self, data: str) -> None:
        """Keep the words, and in which cell they stand."""
        self._texts.append(data)
        if self._cell is not None:
            self.rows[-1][self._cell] = self.rows[-1].get(self._cell, "") + data

    def having(self, cell: str) -> list[dict[str, str]]:
        """The rows that have a cell of that name."""
        return [row for row in self.rows if cell in row]


def read(client: FlaskClient, address: str, status: int = 200) -> Page:
    """A page as a browser gets it, held to its status."""
    answer = client.get(address, headers=BROWSER)
    assert answer.status_code == status, (address, answer.status_code, answer.text)
    assert answer.mimetype == "text/html"
    return Page(answer.text)
