"""A workbook as `cureyard export` writes it."""

from __future__ import annotations

import io

from cureyard_client.tables.workbook import workbook


def as_workbook(text: str, title: str) -> bytes:
    """CSV text as a workbook."""
    out = io.BytesIO()
    workbook(io.StringIO(text, newline=""), title, out)
    return out.getvalue()
