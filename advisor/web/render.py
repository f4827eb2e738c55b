"""Templates of the page -> replies."""

from __future__ import annotations

import functools
import hashlib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from advisor.report import spans, view, words
from advisor.report.clean import clean

HERE = Path(__file__).parent
STATIC = HERE / "static"
PART = "x-part"  # sent by the page's own script: reply with the part, not the whole page


def page(
    template: str,
    request: Request,
    status: int = 200,
    headers: Mapping[str, str] | None = None,
    **values: Any,
) -> HTMLResponse:
    """A page or a part of one."""
    text = environment().get_template(template).render(path=request.url.path, **values)
    return HTMLResponse(text, status, dict(headers or {}))


def wants_part(request: Request) -> bool:
    """Whether the page's own script asked, which puts the reply into the page it shows."""
    return request.headers.get(PART) == "1"


def go(to: str) -> Response:
    """After a form was taken: on to a page, so that reloading sends nothing again."""
    return RedirectResponse(to, 303)


@functools.cache
def environment() -> Environment:
    """The templates, with what they may call."""
    made = Environment(
        loader=FileSystemLoader(HERE / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        auto_reload=False,  # they come with the package and do not change under it
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_harmless,
    )
    made.globals.update(words=words, view=view, spans=spans, assets=_assets())
    return made


def _harmless(value: Any) -> Any:
    """Every text loses its control characters; ready markup passes."""
    if isinstance(value, str) and not isinstance(value, Markup) and not value.isprintable():
        return clean(value)
    return value


def _assets() -> str:
    """Changes when a shipped file changes, so that browsers keep them for long and never too
    long."""
    digest = hashlib.sha256()
    for file in sorted(STATIC.iterdir()):
        digest.update(file.read_bytes())
    return digest.hexdigest()[:12]
