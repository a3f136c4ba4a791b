"""Keeps the page to this machine and to itself: no other site may call it, frame it or read from it."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from urllib.parse import urlsplit

from fastapi import FastAPI, Request, Response
from fastapi.responses import PlainTextResponse
from starlette.middleware.trustedhost import TrustedHostMiddleware

__all__ = ["CONTENT_RULES", "guard"]

CONTENT_RULES = (
    # The page's own parts compile their templates in the browser, which asks for 'unsafe-eval'.
    "default-src 'self'; script-src 'self' 'unsafe-inline' 'unsafe-eval'; style-src 'self' 'unsafe-inline'; "
    "img-src 'self' data: blob:; font-src 'self' data:; connect-src 'self'; object-src 'none'; "
    "base-uri 'self'; form-action 'self'; frame-ancestors 'none'"
)

_HEADERS = {
    "Content-Security-Policy": CONTENT_RULES,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
}

_Next = Callable[[Request], Awaitable[Response]]


def guard(app: FastAPI) -> None:
    """Makes the app refuse any host but this machine's names, and any call from another origin."""

    @app.middleware("http")
    async def refuse_strangers(request: Request, call_next: _Next) -> Response:
        if _is_stranger(request):
            return PlainTextResponse("Refused: the call comes from another site.", status_code=403)
        response = await call_next(request)
        for name, value in _HEADERS.items():
            response.headers.setdefault(name, value)
        return response

    # Added last, so it stands outermost: a strange name pointed at this machine is refused first.
    app.add_middleware(TrustedHostMiddleware, allowed_hosts=["127.0.0.1", "localhost"])


def _is_stranger(request: Request) -> bool:
    """Whether the browser says that another origin makes this call. Programs that send no origin may call."""
    origin = request.headers.get("origin")
    if origin is not None:
        return urlsplit(origin).netloc != request.headers.get("host")
    if request.method == "GET" and request.headers.get("sec-fetch-mode") == "navigate":
        return False  # a link that someone followed
    return request.headers.get("sec-fetch-site", "none") not in ("same-origin", "none")
