"""Keep secrets in addresses out of logs and answers.

A calendar feed's secret is part of its address, and addresses get into logs. Every secret begins
with the same mark, by which it is found.
"""

from __future__ import annotations

import logging
import re

from ...acts.yard.recognising import MARK

_SECRET = re.compile(re.escape(MARK) + r"[\w-]+")


def redacted(text: str) -> str:
    """A text with the secret after each mark left out."""
    return _SECRET.sub(f"{MARK}…", text)


class Redacting(logging.Filter):
    """Takes secrets out of a logger's messages."""

    def filter(self, record: logging.LogRecord) -> bool:
        """Let every record through, with its message redacted."""
        record.msg, record.args = redacted(record.getMessage()), ()
        return True


def watch_over(*loggers: str) -> None:
    """Take secrets out of the messages of these loggers from now on."""
    for name in loggers:
        logger = logging.getLogger(name)
        if not any(isinstance(each, Redacting) for each in logger.filters):
            logger.addFilter(Redacting())
