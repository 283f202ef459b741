"""Who may ask: this machine's own page and nobody else. Every request passes here before anything is read of it.

The name by which the desk was called (Host) has to be one of the exact loopback names with the port. Comparing Origin
with Host would not stop a stranger's name that was made to lead to this machine. Then Origin and Sec-Fetch-Site, where
a browser sends them, have to be the page's own; what asks for anything needs the start token as well. The token is sent
as a header and never as a cookie, so that no other page can make a browser send it.
"""

from __future__ import annotations

import hmac
from collections.abc import Iterable

from coaxwright.immutable import immutable

Headers = Iterable[tuple[bytes, bytes]]
PAGES = {"/": "text/html; charset=utf-8", "/desk.js": "text/javascript; charset=utf-8", "/desk.css": "text/css; charset=utf-8",
         "/icon.svg": "image/svg+xml"}  # fmt: skip
ASK, NOW = "/ask", "/now"
MOST_BYTES = 8 * 1024 * 1024
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self'; base-uri 'none';"
    " form-action 'none'; frame-ancestors 'none'; require-trusted-types-for 'script'; trusted-types desk"
)
ANSWER_HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cache-Control": "no-store",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=(), usb=(), serial=()",
}


@immutable
class Refused:
    """A request that is not answered: status and a word why."""

    status: int
    why: str


class Guard:
    """The rules of one running desk."""

    def __init__(self, port: int, token: str) -> None:
        self.names = frozenset((f"127.0.0.1:{port}", f"localhost:{port}", f"[::1]:{port}"))
        self._token = token

    def refusal(self, method: str, path: str, headers: Headers) -> Refused | None:
        """Why a request is refused, by its first lines alone; None where it may be answered."""
        sent = _Sent(headers)
        host = sent.one("host")
        if host is None or host.lower() not in self.names:
            return Refused(421, "this desk has no such name")
        if path in PAGES:
            return self._page(method, path, sent, host)
        if path in (ASK, NOW):
            return self._asked(method, sent, host)
        return Refused(404, "there is nothing here")

    def _page(self, method: str, path: str, sent: _Sent, host: str) -> Refused | None:
        """The page itself holds nothing of a site: it may be opened by whoever knows the address."""
        if method not in ("GET", "HEAD"):
            return Refused(405, "pages are only fetched")
        opened = path == "/" and sent.one("sec-fetch-mode") == "navigate" and sent.one("sec-fetch-dest") == "document"
        if sent.one("sec-fetch-site") not in (None, "none", "same-origin") and not opened:
            return Refused(403, "another site asks for this")
        return None if _own(sent.one("origin"), host) else Refused(403, "another site asks for this")

    def _asked(self, method: str, sent: _Sent, host: str) -> Refused | None:
        if method != "POST":
            return Refused(405, "this is only posted to")
        if sent.one("sec-fetch-site") not in (None, "same-origin") or not _own(sent.one("origin"), host):
            return Refused(403, "another site asks for this")
        scheme, _, token = (sent.one("authorization") or "").partition(" ")
        if scheme.lower() != "bearer" or not hmac.compare_digest(token.encode(), self._token.encode()):
            return Refused(401, "the start token is missing or old")
        if (sent.one("content-type") or "").partition(";")[0].strip().lower() != "application/json":
            return Refused(415, "requests are JSON")
        return _size(sent)


def _own(origin: str | None, host: str) -> bool:
    return origin is None or origin.lower() == f"http://{host.lower()}"


def _size(sent: _Sent) -> Refused | None:
    """A body that says how long it is, and is not too long."""
    length = sent.one("content-length")
    if length is None or not (length.isascii() and length.isdecimal()):
        return Refused(411, "the length is not given")
    return Refused(413, "this is too long") if int(length) > MOST_BYTES else None


class _Sent:
    """The headers of a request; one that is sent twice counts as wrong, not as its first."""

    def __init__(self, headers: Headers) -> None:
        self._all: dict[str, list[str]] = {}
        for name, value in headers:
            self._all.setdefault(name.decode("latin-1").lower(), []).append(value.decode("latin-1"))

    def one(self, name: str) -> str | None:
        """Its value; None where it is not sent, and a text that is never right where it is sent more than once."""
        values = self._all.get(name)
        return None if not values else values[0] if len(values) == 1 else "sent more than once"
