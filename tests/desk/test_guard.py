"""Who is answered and who is not: the table of headers, over a real connection.

What the checks are for: DNS rebinding (the name has to be one of ours as a whole), cross-site requests (Fetch Metadata
Request Headers, W3C working draft; Origin, RFC 6454), slow clients and large bodies (common practice).
"""

from __future__ import annotations

import http.client
import json
import socket
import time
from collections.abc import Callable
from typing import Any

import pytest

from coaxwright.desk.guard import ANSWER_HEADERS
from coaxwright.workspace.protocol import replied

Start = Callable[..., Any]


@pytest.fixture(scope="module")
def running(shared: Any) -> Any:
    return shared


Answer = tuple[int, dict[str, str], bytes]


def send(running: Any, method: str, path: str, headers: list[tuple[str, str]], body: bytes = b"") -> Answer:
    connection = http.client.HTTPConnection("127.0.0.1", running.desk.port, timeout=20)
    connection.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
    for name, value in headers:
        connection.putheader(name, value)
    connection.endheaders(body)
    answer = connection.getresponse()
    read = answer.read()
    connection.close()
    return answer.status, {name.lower(): value for name, value in answer.getheaders()}, read


def good(running: Any, **changed: str | None) -> list[tuple[str, str]]:
    """Headers as the page sends them; `changed` by name with `_` for `-`, None takes one away."""
    port = running.desk.port
    body = changed.pop("body", '{"do":"hello"}')
    headers: dict[str, str | None] = {
        "host": f"127.0.0.1:{port}", "origin": f"http://127.0.0.1:{port}", "sec-fetch-site": "same-origin",
        "sec-fetch-mode": "cors", "content-type": "application/json", "authorization": f"Bearer {running.desk.token}",
        "content-length": str(len(body or "")),
    }  # fmt: skip
    headers |= {name.replace("_", "-"): value for name, value in changed.items()}
    return [(name, value) for name, value in headers.items() if value is not None]


HELLO = b'{"do":"hello"}'

HOSTS = [
    ("127.0.0.1:PORT", 200), ("localhost:PORT", 200), ("[::1]:PORT", 200), ("LOCALHOST:PORT", 200),
    ("127.0.0.1", 421), ("localhost", 421), ("127.0.0.1:1", 421), ("127.0.0.1.attacker.example:PORT", 421),
    ("127.attacker.example:PORT", 421), ("attacker.example", 421), ("attacker.example:PORT", 421), ("127.0.0.2:PORT", 421),
    ("0.0.0.0:PORT", 421), ("localhost.:PORT", 421), ("xlocalhost:PORT", 421), ("127.0.0.1:PORT ", 200),
    ("127.0.0.1:PORT,x", 421),
    ("", 421), ("[::ffff:127.0.0.1]:PORT", 421), ("2130706433:PORT", 421), ("user@127.0.0.1:PORT", 421),
]  # fmt: skip


@pytest.mark.parametrize(("host", "status"), HOSTS)
def test_the_name_is_one_of_ours_as_a_whole(running: Any, host: str, status: int) -> None:
    named = host.replace("PORT", str(running.desk.port))
    own = f"http://{named.strip().lower()}"
    assert send(running, "POST", "/ask", good(running, host=named, origin=own), HELLO)[0] == status
    assert send(running, "GET", "/", [("host", named)])[0] == status
    assert send(running, "GET", "/desk.js", [("host", named)])[0] == status


def test_a_name_that_is_missing_or_sent_twice_is_refused(running: Any) -> None:
    assert send(running, "GET", "/", [])[0] in (400, 421)
    twice = [("host", f"127.0.0.1:{running.desk.port}")] * 2
    assert send(running, "GET", "/", twice)[0] in (400, 421)


ASKED = [
    ({}, 200),
    ({"origin": None}, 200),
    ({"sec_fetch_site": None}, 200),
    ({"origin": None, "sec_fetch_site": None}, 200),
    ({"origin": "http://attacker.example"}, 403),
    ({"origin": "null"}, 403),
    ({"origin": "https://127.0.0.1:PORT"}, 403),
    ({"origin": "http://127.0.0.1"}, 403),
    ({"origin": "http://127.0.0.1:PORT.attacker.example"}, 403),
    ({"origin": "http://localhost:PORT"}, 403),
    ({"origin": ""}, 403),
    ({"sec_fetch_site": "cross-site"}, 403),
    ({"sec_fetch_site": "same-site"}, 403),
    ({"sec_fetch_site": "none"}, 403),
    ({"authorization": None}, 401),
    ({"authorization": "Bearer "}, 401),
    ({"authorization": "Bearer wrong"}, 401),
    ({"authorization": "Basic TOKEN"}, 401),
    ({"authorization": "TOKEN"}, 401),
    ({"authorization": None, "cookie": "token=TOKEN"}, 401),
    ({"authorization": "bearer TOKEN"}, 200),
    ({"content_type": "text/plain"}, 415),
    ({"content_type": "application/x-www-form-urlencoded"}, 415),
    ({"content_type": None}, 415),
    ({"content_type": "application/json; charset=utf-8"}, 200),
    ({"content_length": None}, 411),
    ({"content_length": "99999999999"}, 413),
]


@pytest.mark.parametrize(("changed", "status"), ASKED, ids=lambda each: str(each))
def test_only_the_pages_own_requests_are_answered(running: Any, changed: dict[str, str | None], status: int) -> None:
    filled = {
        name: value and value.replace("PORT", str(running.desk.port)).replace("TOKEN", running.desk.token)
        for name, value in changed.items()
    }
    body = b"" if "content_length" in changed else HELLO
    for path in ("/ask", "/now"):
        assert send(running, "POST", path, good(running, **filled), body)[0] == status, path


@pytest.mark.parametrize("method", ["GET", "HEAD", "PUT", "DELETE", "OPTIONS", "PATCH", "TRACE"])
def test_only_posts_ask(running: Any, method: str) -> None:
    for path in ("/ask", "/now"):
        assert send(running, method, path, good(running), HELLO)[0] == 405, path


PATHS = ["/../etc/passwd", "/desk.js/..%2f..%2fetc/passwd", "/%2e%2e/x", "//etc/passwd", "/desk.py", "/ask/", "/x.site.yaml"]


@pytest.mark.parametrize("path", PATHS)
def test_nothing_else_is_there(running: Any, path: str) -> None:
    assert send(running, "GET", path, [("host", f"127.0.0.1:{running.desk.port}")])[0] == 404


PAGES = [
    ({}, 200),
    ({"sec-fetch-site": "none", "sec-fetch-mode": "navigate", "sec-fetch-dest": "document"}, 200),
    ({"sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate", "sec-fetch-dest": "document"}, 200),
    ({"sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate", "sec-fetch-dest": "iframe"}, 403),
    ({"sec-fetch-site": "cross-site", "sec-fetch-mode": "no-cors", "sec-fetch-dest": "script"}, 403),
    ({"origin": "http://attacker.example"}, 403),
]


@pytest.mark.parametrize(("headers", "status"), PAGES)
def test_the_page_needs_no_token_and_holds_nothing(running: Any, headers: dict[str, str], status: int) -> None:
    sent = [("host", f"127.0.0.1:{running.desk.port}"), *headers.items()]
    got, told, body = send(running, "GET", "/", sent)
    assert got == status
    assert b"Rowan Bank" not in body
    assert running.desk.token.encode() not in body
    assert {name.lower(): value for name, value in ANSWER_HEADERS.items()}.items() <= told.items()
    assert "set-cookie" not in told
    assert "access-control-allow-origin" not in told


def test_the_policy_lets_nothing_in(running: Any) -> None:
    policy = ANSWER_HEADERS["Content-Security-Policy"]
    assert "unsafe" not in policy
    assert "http" not in policy
    for part in ("default-src 'none'", "frame-ancestors 'none'", "form-action 'none'", "base-uri 'none'"):
        assert part in policy


def test_over_the_wire_and_in_process_are_the_same_bytes(start: Start) -> None:
    one, other = start(), start()
    requests = [
        {"do": "hello"}, {"do": "rows", "sheet": "cameras"}, {"do": "judge", "facts": True},
        {"do": "set", "version": 0, "cells": [{"path": "/cameras/gate/video/over/0/length", "text": "45"}]},
        {"do": "actions", "rule": "power/undervoltage", "subject": "cameras/gate"},
        {"do": "apply", "version": 1, "rule": "power/undervoltage", "subject": "cameras/gate", "number": 1},
        {"do": "compare"}, {"do": "undo", "version": 2}, {"do": "save", "version": 3}, {"do": "disk"}, {"do": "nonsense"}, {},
    ]  # fmt: skip
    for place, request in enumerate(requests):
        body = json.dumps({"id": place, **request}).encode()
        status, told, answer = send(one, "POST", "/ask", good(one, body=body.decode()), body)
        assert (status, told["content-type"]) == (200, "application/json")
        assert answer == replied(other.work, body)
    assert one.site.read_bytes() == other.site.read_bytes()


def test_a_slow_head_and_a_slow_body_are_cut_off(start: Start) -> None:
    running = start(head_seconds=0.4, body_seconds=0.4)
    for sent in (b"", b"GET / HTTP/1.1\r\nHost: 127.0", _head(running) + b'{"do"'):
        with socket.create_connection(("127.0.0.1", running.desk.port), timeout=20) as line:
            line.sendall(sent)
            answer = b""
            while piece := line.recv(4096):
                answer += piece
        assert answer == b"" or answer.startswith(b"HTTP/1.1 408 ")
    assert send(running, "POST", "/ask", good(running), HELLO)[0] == 200


def _head(running: Any) -> bytes:
    lines = [f"{name}: {value}" for name, value in good(running)]
    return ("\r\n".join(["POST /ask HTTP/1.1", *lines]) + "\r\n\r\n").encode()


def test_a_second_slow_request_on_one_connection_is_cut_off_too(start: Start) -> None:
    running = start(head_seconds=0.5)
    with socket.create_connection(("127.0.0.1", running.desk.port), timeout=20) as line:
        line.sendall(_head(running) + HELLO)
        time.sleep(0.2)
        assert line.recv(65536).startswith(b"HTTP/1.1 200")
        line.sendall(b"POST /ask HT")
        while line.recv(4096):
            pass
    assert send(running, "POST", "/ask", good(running), HELLO)[0] == 200


def test_a_body_that_grows_past_what_it_said_is_refused(running: Any) -> None:
    with socket.create_connection(("127.0.0.1", running.desk.port), timeout=20) as line:
        line.sendall(_head(running) + HELLO + b"GET /nothing HTTP/1.1\r\n\r\n")
        assert line.recv(65536).startswith(b"HTTP/1.1 200")


def test_many_connections_do_not_lock_the_desk(running: Any) -> None:
    held = [socket.create_connection(("127.0.0.1", running.desk.port)) for _ in range(40)]
    try:
        assert send(running, "POST", "/ask", good(running), HELLO)[0] == 200
    finally:
        for each in held:
            each.close()


def test_it_listens_on_loopback_only(running: Any) -> None:
    assert {each.getsockname()[0] for each in running.desk.sockets} <= {"127.0.0.1", "::1"}
