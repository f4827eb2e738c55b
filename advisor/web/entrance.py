"""The access phrase: asked for once a tablet, compared in constant time, never logged."""

from __future__ import annotations

import hashlib
import hmac
import time
from urllib.parse import quote, urlsplit

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Receive, Scope, Send

from advisor.web.render import page
from advisor.web.settings import Settings
from advisor.web.tries import Tries

COOKIE = "advisor_entered"
KEPT_S = 14 * 24 * 3600
OPEN = ("/enter", "/static/")


class Entrance:
    """Lets in who knows the phrase; without a phrase (on the loopback) everybody."""

    def __init__(self, app: ASGIApp, settings: Settings):
        self.app = app
        self.phrase = settings.phrase()
        self.secret = settings.secret.encode()
        self.tries = Tries(settings.cases, self.secret)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http" or not self.phrase:
            await self.app(scope, receive, send)
            return
        request = Request(scope, receive)
        if scope["path"] == "/enter":
            reply: Response | None = await self._enter(request)
        elif scope["path"].startswith(OPEN) or self._has_entered(request):
            await self.app(scope, receive, send)
            return
        else:
            reply = await self._stopped(request)
        if reply is None:
            await self.app(scope, receive, send)
            return
        await reply(scope, receive, send)

    async def _stopped(self, request: Request) -> Response | None:
        """The door for a browser, a refusal for a program; None when it brought the phrase."""
        said = request.headers.get("authorization", "")
        if said.startswith("Bearer "):
            wait, right = self._try(request, said.removeprefix("Bearer "))
            if right:
                return None
            if wait:
                return JSONResponse(_problem("too many tries"), 429, {"retry-after": str(wait)})
        if request.url.path.startswith("/api/"):
            text = "say the access phrase: Authorization: Bearer PHRASE"
            return JSONResponse(_problem(text), 401, {"www-authenticate": "Bearer"})
        return RedirectResponse(f"/enter?to={quote(request.url.path)}", 303)

    async def _enter(self, request: Request) -> Response:
        to = _local(request.query_params.get("to", "/"))
        if request.method != "POST":
            return page("enter.html.j2", request, to=to, problem="")
        form = await request.form()
        wait, right = self._try(request, str(form.get("phrase", "")))
        if right:
            reply = RedirectResponse(_local(str(form.get("to", "/"))), 303)
            secure = request.url.scheme == "https"
            reply.set_cookie(
                COOKIE, self._token(int(time.time()) + KEPT_S), max_age=KEPT_S, httponly=True,
                samesite="strict", secure=secure,
            )  # fmt: skip
            return reply
        if wait:
            text = f"Too many tries. Wait {wait} seconds, then try again."
            return page(
                "enter.html.j2", request, 429, {"retry-after": str(wait)}, to=to, problem=text
            )
        await run_in_threadpool(time.sleep, 0.3)  # a wrong phrase costs a moment
        text = "That is not the access phrase."
        return page("enter.html.j2", request, 403, to=to, problem=text)

    def _try(self, request: Request, said: str) -> tuple[int, bool]:
        """(seconds to wait, whether the phrase was right)."""
        address = request.client.host if request.client else ""
        if wait := self.tries.wait(address):
            return wait, False
        right = hmac.compare_digest(_digest(said), _digest(self.phrase))
        return 0 if right else self.tries.wrong(address), right

    def _has_entered(self, request: Request) -> bool:
        until, _, _ = request.cookies.get(COOKIE, "").partition(".")
        if not until.isdigit() or int(until) < time.time():
            return False
        return hmac.compare_digest(
            request.cookies[COOKIE].encode(), self._token(int(until)).encode()
        )

    def _token(self, until: int) -> str:
        # the phrase is part of the key, so a new phrase ends old entrances
        key = self.secret + _digest(self.phrase)
        return f"{until}.{hmac.new(key, str(until).encode(), hashlib.sha256).hexdigest()}"


def _digest(text: str) -> bytes:
    """Of one length, so that comparing says nothing about the length."""
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).digest()


def _problem(what: str) -> dict[str, object]:
    return {"problems": [{"what": what}]}


def _local(to: str) -> str:
    """An address on this page, else the first page."""
    parts = urlsplit(to)
    plain = not parts.scheme and not parts.netloc and to.startswith("/")
    return to if plain and not to.startswith(("//", "/\\")) and "\\" not in to else "/"
