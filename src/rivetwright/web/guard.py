"""What every answer passes: only this machine may ask, nothing comes from elsewhere.

A page of another site may point a name of its own at 127.0.0.1 and read what is
served there; so the name asked for must be one of this machine's own.
"""

from __future__ import annotations

from collections.abc import Iterable

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

OWN_NAMES = ("127.0.0.1", "localhost", "[::1]")
CONTENT_POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self'",
        "connect-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
ANSWER_HEADERS = {
    "content-security-policy": CONTENT_POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}


def host_name(host: str) -> str:
    """The name in a Host header, without its port: `[::1]:80` is `[::1]`."""
    if host.startswith("["):
        return host.partition("]")[0].lower() + "]"
    return host.partition(":")[0].lower()


class Guard:
    """Refuses other names than this machine's and states the content policy."""

    def __init__(self, app: ASGIApp, names: Iterable[str] = OWN_NAMES) -> None:
        self.app = app
        self.names = frozenset(names)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or refuse it."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def send_guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in ANSWER_HEADERS.items():
                    headers[name] = value
                headers.setdefault("cache-control", "no-cache")
            await send(message)

        asked = host_name(Headers(scope=scope).get("host", ""))
        app = self.app if asked in self.names else self._refusal(asked)
        await app(scope, receive, send_guarded)

    def _refusal(self, asked: str) -> ASGIApp:
        """What somebody reads who came by another name."""
        return PlainTextResponse(
            f"Asked for this page under the name: {asked or 'no name'}.\n"
            f"Allowed: {', '.join(sorted(self.names))}.\n"
            "Do: open it on the machine that serves it, under one of these names.\n",
            status_code=421,
        )
