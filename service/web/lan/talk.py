"""One connection of the front: its requests go to the server one by one, its answers come back.

A request goes on only when its head is whole, so one that never ends holds nothing of the server's.
Its body has to come at a least rate. A large body is taken only of whoever shows a good token:
a stranger's request goes on without it, and the server refuses it in its own words.
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from http import HTTPStatus
from typing import NamedTuple

from . import heads
from .callers import INNER, Callers
from .crowd import Caller
from .heads import Bad, Head

CHUNK = 64 * 1024
MOST_HEAD = 32 * 1024
MOST_BODY = 32 * 1024 * 1024
STRANGERS_BODY = 64 * 1024
"""Bytes of a body that are taken of anybody: more than a form of the pages needs."""
LINGER_S = 3.0
"""So long a refused body is read and dropped, so that its sender gets to read the refusal."""

IsKnown = Callable[[str, str], Awaitable[bool]]
"""Says whether an Authorization and a Cookie header show who asks."""


class Patience(NamedTuple):
    """How long a caller is waited for, in seconds.

    Attributes:
        head: for a whole head, once its first byte came; at first also for that byte.
        grace: for a body beyond what its bytes earn.
        silent: for the next bytes of a body.
        unread: until it reads some of its answer.
        rate: bytes of a body that earn one second.
    """

    head: float = 10.0
    grace: float = 10.0
    silent: float = 30.0
    unread: float = 60.0
    rate: float = 1024.0


class HungUp(Exception):
    """The caller is gone."""


class Talk:
    """A connection that has its TLS.

    Args:
        caller: is told when something moves.
        server_port: where the server listens for the front.
    """

    def __init__(
        self,
        caller: Caller,
        reader: asyncio.StreamReader,
        writer: asyncio.StreamWriter,
        patience: Patience,
        is_known: IsKnown,
    ) -> None:
        self._caller, self._patience, self._is_known = caller, patience, is_known
        self._reader, self._writer = reader, writer
        self._dropping = False

    async def run(self, callers: Callers) -> None:
        """Pass on until either side ends."""
        try:
            head = await self._head(b"")
            answers, server = await asyncio.open_connection(INNER, callers.port, limit=CHUNK)
            try:
                with callers.passing_on(server.get_extra_info("sockname")[1], self._caller.address):
                    await self._both(head, answers, server)
            finally:
                server.transport.abort()
        except Bad as bad:
            self._writer.write(bad.answer())
        except (HungUp, ConnectionError):
            return
        await self._hang_up()

    async def _both(
        self, head: Head, answers: asyncio.StreamReader, server: asyncio.StreamWriter
    ) -> None:
        async with asyncio.TaskGroup() as both:
            asking = both.create_task(_held(self._ask(head, server)))
            answering = both.create_task(_held(self._answer(answers)))
            await asyncio.wait({asking, answering}, return_when=asyncio.FIRST_COMPLETED)
            if asking.done() and asking.result() is None:  # the server has its last request
                await answering
            elif self._dropping:
                await asking
            asking.cancel()
            answering.cancel()
        for each in (asking, answering):
            fault = None if each.cancelled() else each.result()
            if fault is not None:
                raise fault

    async def _ask(self, head: Head, server: asyncio.StreamWriter) -> None:
        """Pass requests on, until one is the last, or the server takes no more."""
        while await self._request(head, server):
            self._caller.asking = False
            first = await self._read(1)  # as long as the server keeps its side open
            self._caller.asking = True
            head = await self._head(first)

    async def _head(self, begun: bytes) -> Head:
        try:
            async with asyncio.timeout(self._patience.head):
                return heads.read(begun + await self._reader.readuntil(heads.END))
        except TimeoutError:
            words = "The head of the request did not come in time."
            raise Bad(HTTPStatus.REQUEST_TIMEOUT, words) from None
        except asyncio.LimitOverrunError:
            words = "The head of the request is too long."
            raise Bad(HTTPStatus.REQUEST_HEADER_FIELDS_TOO_LARGE, words) from None
        except (asyncio.IncompleteReadError, ConnectionError):
            raise HungUp from None

    async def _request(self, head: Head, server: asyncio.StreamWriter) -> bool:
        """Pass one request on; whether another may follow."""
        if head.length > MOST_BODY:
            raise Bad(HTTPStatus.REQUEST_ENTITY_TOO_LARGE, "The body is too large.")
        if head.length > STRANGERS_BODY and not await self._is_known(
            head.authorization, head.cookies
        ):
            server.write(head.without_body())
            await server.drain()
            self._dropping = True
            await self._drop(head.length)
            return False
        server.write(head.raw)
        await self._body(head.length, server)
        return True

    async def _body(self, length: int, server: asyncio.StreamWriter) -> None:
        loop, waited, got = asyncio.get_running_loop(), 0.0, 0
        while got < length:
            earned = self._patience.grace + got / self._patience.rate - waited
            began = loop.time()
            try:
                async with asyncio.timeout(min(earned, self._patience.silent)):
                    chunk = await self._read(min(CHUNK, length - got))
            except TimeoutError:
                words = "The body of the request came too slowly."
                raise Bad(HTTPStatus.REQUEST_TIMEOUT, words) from None
            waited += loop.time() - began
            got += len(chunk)
            server.write(chunk)
            await server.drain()

    async def _drop(self, length: int) -> None:
        try:
            async with asyncio.timeout(LINGER_S):
                while length > 0:
                    length -= len(await self._read(CHUNK))
        except TimeoutError:
            return

    async def _read(self, most: int) -> bytes:
        try:
            chunk = await self._reader.read(most)
        except ConnectionError:
            raise HungUp from None
        if not chunk:
            raise HungUp
        self._caller.moved = asyncio.get_running_loop().time()
        return chunk

    async def _answer(self, answers: asyncio.StreamReader) -> None:
        """Pass answers back, until the server closes."""
        while chunk := await answers.read(CHUNK):
            self._writer.write(chunk)
            try:
                async with asyncio.timeout(self._patience.unread):
                    await self._writer.drain()
            except (TimeoutError, ConnectionError):
                raise HungUp from None
            self._caller.moved = asyncio.get_running_loop().time()

    async def _hang_up(self) -> None:
        """Close in order, so that what was written arrives."""
        try:
            async with asyncio.timeout(LINGER_S):
                await self._writer.drain()
                self._writer.close()
                await self._writer.wait_closed()
        except (OSError, TimeoutError):
            return


async def _held(work: Awaitable[None]) -> Bad | HungUp | None:
    """Do a half of a talk; what ended it is given back, since a group would wrap what is raised."""
    try:
        await work
    except (Bad, HungUp) as fault:
        return fault
    except ConnectionError:  # the server closed: its last answer may still be on the way
        return None
    return None
