"""What every request passes: size, host, where it came from; and what every reply carries."""

from __future__ import annotations

import ipaddress
import socket
from collections.abc import Mapping
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from advisor.web.settings import LOOPBACK, Settings

MOST_BYTES = 2_000_000
MOST_BYTES_OF_FILES = 64_000_000
FILES = ("/recordings", "/board")
SAFE = ("GET", "HEAD", "OPTIONS")
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), microphone=(), geolocation=()",
    "cache-control": "no-store",
}


class Guard:
    """Wraps the whole page."""

    def __init__(self, app: ASGIApp, settings: Settings):
        self.app = app
        self.settings = settings
        self.names = {*LOOPBACK, settings.host, socket.gethostname().lower()}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        refusal = self._refusal(scope["method"], headers) or self._too_large(scope, headers)
        if refusal is not None:
            await refusal(scope, receive, _dressed(send))
            return
        await self._within_limit(scope, receive, _dressed(send))

    def _refusal(self, method: str, headers: Headers) -> PlainTextResponse | None:
        if not self._known_host(headers.get("host", "")):
            text = "This page is not reached under that name.\n"
            return PlainTextResponse(text, 421)
        if method not in SAFE and not same_site(headers):
            text = "This request came from another page and was refused.\n"
            return PlainTextResponse(text, 403)
        return None

    def _known_host(self, said: str) -> bool:
        """A name nobody gave us may be another site's that points here (DNS rebinding)."""
        name = (urlsplit(f"//{said}").hostname or "").lower()
        if name in self.names:
            return True
        return not self.settings.on_loopback and _is_address(name)

    def _too_large(self, scope: Scope, headers: Headers) -> PlainTextResponse | None:
        length = headers.get("content-length", "0")
        if not length.isdigit() or int(length) > most_bytes(scope["path"]):
            return PlainTextResponse(f"{too_large_words(scope['path'])}\n", 413)
        return None

    async def _within_limit(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Count what really comes, whatever the length said."""
        most, seen = most_bytes(scope["path"]), 0

        async def counted() -> Message:
            nonlocal seen
            message = await receive()
            seen += len(message.get("body", b""))
            if seen > most:
                raise HTTPException(413, too_large_words(scope["path"]))
            return message

        await self.app(scope, counted, send)


def same_site(headers: Mapping[str, str]) -> bool:
    """Whether a changing request comes from this page or from a program, not from another site.

    Browsers say where a request comes from (Fetch Metadata, W3C; the Origin header, RFC 6454);
    programs send neither.
    """
    site = headers.get("sec-fetch-site")
    if site is not None:
        return site in ("same-origin", "none")
    origin = headers.get("origin")
    return origin is None or urlsplit(origin).netloc == headers.get("host", "")


def most_bytes(path: str) -> int:
    """How much may be sent to an address."""
    return MOST_BYTES_OF_FILES if path.endswith(FILES) else MOST_BYTES


def too_large_words(path: str) -> str:
    """What is said to somebody who sends too much."""
    return f"Too large: at most {most_bytes(path) // 1_000_000} MB are taken here."


def _is_address(name: str) -> bool:
    try:
        ipaddress.ip_address(name)
    except ValueError:
        return False
    return True


def _dressed(send: Send) -> Send:
    """Headers on every reply; a page may set a policy of its own."""

    async def dressed(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
        await send(message)

    return dressed
