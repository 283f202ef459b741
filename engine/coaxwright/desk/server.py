"""The desk over loopback: four files of the page, one address to ask, and one that is answered while work goes on."""

from __future__ import annotations

import asyncio

from starlette.concurrency import run_in_threadpool
from starlette.requests import ClientDisconnect, Request
from starlette.responses import Response
from starlette.types import ASGIApp, Receive, Scope, Send

from coaxwright.desk.assets import asset
from coaxwright.desk.guard import ANSWER_HEADERS, MOST_BYTES, NOW, PAGES, Guard
from coaxwright.desk.session import Session

BODY_SECONDS = 20.0
"""How long the body of a request may take to arrive."""


def application(session: Session, guard: Guard, body_seconds: float = BODY_SECONDS) -> ASGIApp:
    """The ASGI application of one session."""
    lock = asyncio.Lock()

    async def app(scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan":
            await _lifespan(receive, send)
            return
        if scope["type"] != "http":
            return
        response = await _answered(Request(scope, receive), session, guard, lock, body_seconds)
        await response(scope, receive, send)

    return app


async def _answered(request: Request, session: Session, guard: Guard, lock: asyncio.Lock, seconds: float) -> Response:
    path = request.scope["path"]
    refused = guard.refusal(request.method, path, request.headers.raw)
    if refused is not None:
        return _response(f"{refused.why}\n".encode(), "text/plain; charset=utf-8", refused.status, close=True)
    if path in PAGES:
        return _response(asset(path), PAGES[path])
    try:
        body = await asyncio.wait_for(_body(request), seconds)
    except TimeoutError:
        return _response(b"the request took too long\n", "text/plain; charset=utf-8", 408, close=True)
    except (ClientDisconnect, OverflowError):
        return _response(b"this is too long\n", "text/plain; charset=utf-8", 413, close=True)
    answer = session.now(body) if path == NOW else await _in_turn(lock, session, body)
    return _response(answer, "application/json")


async def _in_turn(lock: asyncio.Lock, session: Session, body: bytes) -> bytes:
    """One request at a time, beside the loop so that the page's files are served meanwhile."""
    session.ears.waiting += 1
    try:
        async with lock:
            return await run_in_threadpool(session.replied, body)
    finally:
        session.ears.waiting -= 1


async def _body(request: Request) -> bytes:
    """The body, never more of it than may be. Raises OverflowError."""
    pieces, size = [], 0
    async for piece in request.stream():
        size += len(piece)
        if size > MOST_BYTES:
            raise OverflowError
        pieces.append(piece)
    return b"".join(pieces)


def _response(body: bytes, kind: str, status: int = 200, *, close: bool = False) -> Response:
    headers = {**ANSWER_HEADERS, "Content-Type": kind, **({"Connection": "close"} if close else {})}
    return Response(body, status, headers)


async def _lifespan(receive: Receive, send: Send) -> None:
    """Nothing is to be made ready, nothing to be put away; `ask` has no part in it."""
    while True:
        message = await receive()
        await send({"type": f"{message['type']}.complete"})
        if message["type"] == "lifespan.shutdown":
            return
