"""Running the desk: sockets on loopback names only, a start token, an address to open."""

from __future__ import annotations

import os
import secrets
import socket
import threading
from asyncio import Transport
from typing import Any

import uvicorn
from uvicorn.protocols.http.h11_impl import H11Protocol

from coaxwright.desk.guard import Guard
from coaxwright.desk.server import BODY_SECONDS, application
from coaxwright.desk.session import Session
from coaxwright.errors import Problem, Refusal

PREFERRED = 8427
"""The port that is taken where none is named and it is free: drafts in the browser are kept by address."""
HEAD_SECONDS = 10.0
"""How long the first lines of a request may take to arrive."""
MOST_AT_ONCE = 64


class Desk:
    """One running desk. `start` returns at once; `run` stays until it is interrupted."""

    def __init__(
        self, session: Session, port: int = 0, *, head_seconds: float = HEAD_SECONDS, body_seconds: float = BODY_SECONDS
    ) -> None:
        """Raises Refusal where the port cannot be had."""
        self.token = secrets.token_urlsafe(24)
        self.sockets = _sockets(port)
        self.port: int = self.sockets[0].getsockname()[1]
        app = application(session, Guard(self.port, self.token), body_seconds)
        config = uvicorn.Config(
            app, http=_protocol(head_seconds), ws="none", loop="asyncio", lifespan="on", log_config=None, access_log=False,
            proxy_headers=False, server_header=False, date_header=False, timeout_keep_alive=30, timeout_graceful_shutdown=2,
            limit_concurrency=MOST_AT_ONCE, h11_max_incomplete_event_size=16 * 1024,
        )  # fmt: skip
        self._server = uvicorn.Server(config)
        self._thread: threading.Thread | None = None

    @property
    def origin(self) -> str:
        """The address without the token: what `Origin` is for the page."""
        return f"http://127.0.0.1:{self.port}"

    @property
    def address(self) -> str:
        """The address to open; the token stands behind the `#`, which browsers keep to themselves."""
        return f"{self.origin}/#k={self.token}"

    def run(self) -> None:
        """Serve until interrupted."""
        try:
            self._server.run(self.sockets)
        except KeyboardInterrupt:
            return

    def start(self) -> None:
        """Serve in a thread."""
        self._thread = threading.Thread(target=self._server.run, args=(self.sockets,), daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """End what `start` began."""
        self._server.should_exit = True
        if self._thread is not None:
            self._thread.join(10)


def _protocol(seconds: float) -> type[H11Protocol]:
    """The HTTP protocol with a limit on how long a client may take to say what it wants."""

    class Timed(H11Protocol):
        _late: Any = None

        def connection_made(self, transport: Transport) -> None:  # type: ignore[override] # as uvicorn has it
            super().connection_made(transport)
            self._wait()

        def data_received(self, data: bytes) -> None:
            super().data_received(data)
            if str(self.conn.their_state) != "IDLE":
                self._done()
            elif self._late is None:
                self._wait()

        def connection_lost(self, exc: Exception | None) -> None:
            self._done()
            super().connection_lost(exc)

        def _wait(self) -> None:
            self._late = self.loop.call_later(seconds, self.transport.close)

        def _done(self) -> None:
            if self._late is not None:
                self._late.cancel()
                self._late = None

    return Timed


def _sockets(port: int) -> list[socket.socket]:
    """Listening sockets on 127.0.0.1 and, where there is one, on ::1, of one port."""
    wanted = [port] if port else [PREFERRED, 0]
    for place, number in enumerate(wanted):
        try:
            first = _bound(socket.AF_INET, "127.0.0.1", number)
        except OSError as error:
            if place + 1 < len(wanted):
                continue
            what = f"cannot be had: {error.strerror or error}"
            raise Refusal([Problem(f"port {number}", what, "name another with --port, or none")]) from error
        try:
            return [first, _bound(socket.AF_INET6, "::1", first.getsockname()[1])]
        except OSError:
            return [first]
    raise AssertionError("there is always one port to try")


def _bound(family: int, host: str, port: int) -> socket.socket:
    made = socket.socket(family, socket.SOCK_STREAM)
    try:
        if os.name == "posix":
            made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        if family == socket.AF_INET6:
            made.setsockopt(socket.IPPROTO_IPV6, socket.IPV6_V6ONLY, 1)
        made.bind((host, port))
        made.listen(64)
    except OSError:
        made.close()
        raise
    return made
