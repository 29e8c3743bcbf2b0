"""TLS for the yard's network, in a thread beside the server: takes connections and passes them on.

The server itself speaks plain HTTP and stays on this machine. What is tried of servers that speak
TLS themselves: some make the handshake where they accept, so that three silent connections shut
everybody out; in others each unfinished request holds a thread, or a stream goes on after its
reader left. Here a connection costs the server nothing until its first request is whole.
"""

from __future__ import annotations

import asyncio
import logging
import socket
import ssl
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from functools import partial

from .callers import Callers
from .crowd import Caller, Crowd
from .talk import MOST_HEAD, Patience, Talk

log = logging.getLogger("cureyard")

HANDSHAKE_S = 5.0
FULL_S = 0.1
"""So long nobody is taken when the process has no file handle left."""
RENEWED_S = 12 * 3600
"""How often the certificate is looked at."""
ENDING_S = 3.0
"""How long the last answers may take at the end."""


class Front:
    """Takes the network's connections.

    Args:
        listener: listens at the address of the network.
        context: with the certificate.
        callers: is told whose each connection is, and knows where the server listens.
        is_known: asks the store whether an Authorization and a Cookie header show who asks.
        renew: is called now and then, to renew the certificate.
    """

    def __init__(
        self,
        listener: socket.socket,
        context: ssl.SSLContext,
        callers: Callers,
        is_known: Callable[[str, str], bool],
        renew: Callable[[], None],
        patience: Patience = Patience(),  # noqa: B008 (it is never changed)
    ) -> None:
        self._listener, self._context, self._callers = listener, context, callers
        self._is_known, self._renew, self._patience = is_known, renew, patience
        self._crowd = Crowd()
        self._loop = asyncio.new_event_loop()
        self._closing, self._ending = asyncio.Event(), asyncio.Event()
        # One thread: a crowd of strangers gets one look at the store at a time.
        self._asker = ThreadPoolExecutor(1, thread_name_prefix="front")
        self._thread = threading.Thread(target=self._run, name="front", daemon=True)

    def start(self) -> None:
        """Begin, in a thread of its own."""
        self._listener.setblocking(False)
        self._thread.start()

    def close(self) -> None:
        """Take nobody new."""
        self._loop.call_soon_threadsafe(self._closing.set)

    def stop(self) -> None:
        """Let the last answers out and end; takes at most some seconds."""
        self.close()
        self._loop.call_soon_threadsafe(self._ending.set)
        self._thread.join(2 * ENDING_S)

    def _run(self) -> None:
        with asyncio.Runner(loop_factory=lambda: self._loop) as runner:
            runner.run(self._served())
        self._asker.shutdown(wait=False)

    async def _served(self) -> None:
        work = [asyncio.ensure_future(each) for each in (self._take_all(), self._keep_renewed())]
        await self._closing.wait()
        for each in work:
            each.cancel()
        await asyncio.wait(work)
        self._listener.close()
        await self._ending.wait()
        last = self._crowd.tasks()
        if last:
            _, late = await asyncio.wait(last, timeout=ENDING_S)
            for each in late:
                each.cancel()

    async def _take_all(self) -> None:
        loop = asyncio.get_running_loop()
        while True:
            try:
                line, peer = await loop.sock_accept(self._listener)
            except OSError:  # it is gone already, or there is no file handle left for it
                self._crowd.make_room()
                await asyncio.sleep(FULL_S)
                continue
            caller = Caller(str(peer[0]), loop.time())
            caller.task = loop.create_task(self._serve(caller, line))
            caller.task.add_done_callback(partial(self._over, caller, line))
            self._crowd.add(caller)

    def _over(self, caller: Caller, line: socket.socket, _task: object) -> None:
        """Forget a connection; one that was ended before its task began is still open."""
        self._crowd.remove(caller)
        line.close()

    async def _keep_renewed(self) -> None:
        while True:
            await asyncio.sleep(RENEWED_S)
            try:
                self._renew()
            except (OSError, ValueError):
                log.exception("The certificate can't be renewed.")

    async def _serve(self, caller: Caller, line: socket.socket) -> None:
        transport: asyncio.BaseTransport | None = None
        try:
            loop = asyncio.get_running_loop()
            reader = asyncio.StreamReader(MOST_HEAD)
            protocol = asyncio.StreamReaderProtocol(reader)
            transport, _ = await loop.connect_accepted_socket(
                lambda: protocol, line, ssl=self._context, ssl_handshake_timeout=HANDSHAKE_S
            )
            writer = asyncio.StreamWriter(transport, protocol, reader, loop)
            await Talk(caller, reader, writer, self._patience, self._knows).run(self._callers)
        except OSError:  # no TLS, or it left meanwhile
            return
        except Exception:
            log.exception("A connection of the network failed.")
        finally:
            if isinstance(transport, asyncio.WriteTransport):
                transport.abort()

    async def _knows(self, authorization: str, cookies: str) -> bool:
        loop = asyncio.get_running_loop()
        try:
            return await loop.run_in_executor(self._asker, self._is_known, authorization, cookies)
        except Exception:
            log.exception("The store can't say who asks.")
            return False
