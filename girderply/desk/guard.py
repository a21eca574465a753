"""Who may ask anything: this machine's own browser, on the page of this very desk.

Any page that the browser has open can send requests to a local address, and any name can be made
to lead there. So the name asked for must be ours, what asks must be a page of ours, and it must
hold the cookie that was given for the token of the first address.
"""

from __future__ import annotations

import hmac
import secrets
from collections.abc import Awaitable, Callable, MutableMapping
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie
from typing import Any, Final

Scope = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[MutableMapping[str, Any]]]
Send = Callable[[MutableMapping[str, Any]], Awaitable[None]]
Fault = tuple[int, str]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

MOST_BODY: Final = 6_000_000  # bytes; a job file or a record has at most 5 MB
MOST_TARGET: Final = 4_000  # characters of path and query

POLICY: Final = "; ".join([
    "default-src 'none'",
    "script-src 'self'",
    "style-src 'self'",
    "img-src 'self' data:",
    "connect-src 'self'",
    "font-src 'self'",
    "base-uri 'none'",
    "form-action 'none'",
    "frame-ancestors 'none'",
    "require-trusted-types-for 'script'",
    "trusted-types 'none'",
])  # fmt: skip

HEADERS: Final = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cache-control": "no-store",
    "permissions-policy": "camera=(), microphone=(), geolocation=()",
}


@dataclass(frozen=True, slots=True)
class Secrets:
    """What this desk knows that no other page does.

    Attributes:
        port: that it listens on. token: of the first address. cookie: given for it.
    """

    port: int
    token: str = field(repr=False, default_factory=lambda: secrets.token_urlsafe(32))
    cookie: str = field(repr=False, default_factory=lambda: secrets.token_urlsafe(32))

    @property
    def host(self) -> str:
        """The one name that a request may ask for."""
        return f"127.0.0.1:{self.port}"

    @property
    def origin(self) -> str:
        """Where our own pages come from."""
        return f"http://{self.host}"

    @property
    def address(self) -> str:
        """The first address, to be opened by the person who started the desk."""
        return f"{self.origin}/enter?token={self.token}"

    @property
    def cookie_name(self) -> str:
        """Browsers do not tell ports apart in cookies, so the name does."""
        return f"girderply-desk-{self.port}"


@dataclass(frozen=True, slots=True)
class Guard:
    """Refuses what is not ours before anything else sees it.

    Attributes:
        app: what is guarded. known: the secrets. refuse: makes the page that says why.
    """

    app: App
    known: Secrets
    refuse: Callable[[Scope, int, str], App]

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve or refuse one request."""
        if scope["type"] != "http":
            return
        fault = self._fault(scope)
        limited = _Limited(receive)
        speaking = _with_headers(send)
        if fault is not None:
            await self.refuse(scope, *fault)(scope, limited, speaking)
        else:
            await self.app(scope, limited, speaking)

    def _fault(self, scope: Scope) -> Fault | None:
        """Status and key of the reason, or None where all is well."""
        heads = _heads(scope)
        if heads is None or heads.get("host") != self.known.host:
            return 421, "refused_host"
        return _odd(scope) or self._foreign(heads) or self._unknown(scope, heads)

    def _foreign(self, heads: dict[str, str]) -> Fault | None:
        """Whether another page asks."""
        site = heads.get("sec-fetch-site", "none")
        origin = heads.get("origin", self.known.origin)
        ours = site in ("same-origin", "none") and origin == self.known.origin
        return None if ours else (403, "refused_site")

    def _unknown(self, scope: Scope, heads: dict[str, str]) -> Fault | None:
        """Whether the cookie is missing where it is needed; a change needs more."""
        changes = scope["method"] == "POST"
        if scope["path"] == "/enter" and not changes:
            return None
        if not self._holds_cookie(heads.get("cookie", "")):
            return 403, "refused_cookie"
        return self._post_fault(heads) if changes else None

    def _post_fault(self, heads: dict[str, str]) -> Fault | None:
        """What a change needs besides: our origin, a length, and a kind that no form can send."""
        if heads.get("origin") != self.known.origin:
            return 403, "refused_site"
        if heads.get("content-type") not in ("application/json", "application/octet-stream"):
            return 415, "refused_kind"
        length = heads.get("content-length", "")
        if not (length.isascii() and length.isdigit()):
            return 411, "refused_length"
        return (413, "refused_large") if int(length) > MOST_BODY else None

    def _holds_cookie(self, header: str) -> bool:
        try:
            found = SimpleCookie(header).get(self.known.cookie_name)
        except CookieError:
            return False
        given = found.value if found else ""
        return hmac.compare_digest(given.encode(), self.known.cookie.encode())

    def is_token(self, given: str) -> bool:
        """Whether this is the token of the first address."""
        return hmac.compare_digest(given.encode(), self.known.token.encode())


def _odd(scope: Scope) -> Fault | None:
    """Whether the request is one that no browser needs here."""
    if len(scope.get("raw_path", b"")) + len(scope.get("query_string", b"")) > MOST_TARGET:
        return 414, "refused_long"
    return None if scope["method"] in ("GET", "HEAD", "POST") else (405, "refused_method")


def _heads(scope: Scope) -> dict[str, str] | None:
    """Headers by name; None where one that decides stands twice."""
    found: dict[str, str] = {}
    for raw_name, raw in scope["headers"]:
        name = raw_name.decode("latin-1").lower()
        if name in found and name in ("host", "origin", "content-length", "cookie"):
            return None
        found[name] = raw.decode("latin-1")
    return found


class _Limited:
    """Hands over a body only as far as it may go."""

    def __init__(self, receive: Receive) -> None:
        self.receive, self.left = receive, MOST_BODY

    async def __call__(self) -> MutableMapping[str, Any]:
        message = await self.receive()
        self.left -= len(message.get("body", b""))
        if self.left < 0:
            return {"type": "http.disconnect"}
        return message


def _with_headers(send: Send) -> Send:
    async def sending(message: MutableMapping[str, Any]) -> None:
        if message["type"] == "http.response.start":
            there = {name.lower() for name, _ in message["headers"]}
            more = [(k.encode(), v.encode()) for k, v in HEADERS.items() if k.encode() not in there]
            message["headers"] = [*message["headers"], *more]
        await send(message)

    return sending
