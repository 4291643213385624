"""What every request passes: who asks, under which name, from which page, how much.

A page of another site may point a name of its own at this machine and read what is
served there; so the name asked for must be one of this machine's own. A page of
another site may send a form here; so whatever changes something must come from a
page of ours. Why, and the test for each: `docs/security.md`.
"""

from __future__ import annotations

from anyio.to_thread import run_sync
from markupsafe import Markup
from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import ClientDisconnect
from starlette.responses import HTMLResponse, PlainTextResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from rivetwright.web.doors import OWN_NAMES, Gate, host_name, is_loopback
from rivetwright.web.senders import Asking, find_sender

CONTENT_POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' blob:",
        "connect-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
ANSWER_HEADERS = {
    "content-security-policy": CONTENT_POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}
SAFE = ("GET", "HEAD", "OPTIONS")
BODY_MAX = 2 * 1024 * 1024
PHOTO_BODY_MAX = 26 * 1024 * 1024
PHOTO_PATH = "/api/photo"
# What somebody may ask for who was not let in: the door itself, and its looks.
AT_THE_DOOR = ("/pair/", "/look/", "/static/", "/drawing.css", "/certificate.pem")


class TooLarge(Exception):
    """More was sent than may be."""


class Guard:
    """Lets in who may come in, and says to the others what to do."""

    def __init__(self, app: ASGIApp, gate: Gate) -> None:
        self.app = app
        self.gate = gate

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or refuse it."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        asking = Asking(scope, headers)
        has_begun = answers_itself = False
        counted = Counted(receive, _body_max(scope["path"]))

        async def send_guarded(message: Message) -> None:
            nonlocal has_begun
            if message["type"] == "http.response.start":
                if counted.is_over and not has_begun and not answers_itself:
                    # Whatever reads forms makes another answer out of it.
                    raise TooLarge
                has_begun = True
                out = MutableHeaders(scope=message)
                for name, value in ANSWER_HEADERS.items():
                    out[name] = value
                out.setdefault("cache-control", "no-cache")
                if asking.fresh_cookie:
                    out.append("set-cookie", asking.fresh_cookie)
            await send(message)

        # Who asks is looked up on the disk: not where every other request waits.
        refusal = await run_sync(self._refusal, scope, headers, asking)
        try:
            await (refusal or self.app)(scope, counted.receive, send_guarded)
        except ClientDisconnect:
            # Who sent it has gone, and sends what was not answered again.
            return
        except TooLarge:
            if not has_begun:
                answers_itself = True
                answer = _too_large(_body_max(scope["path"]))
                await answer(scope, receive, send_guarded)

    def _refusal(
        self, scope: Scope, headers: Headers, asking: Asking
    ) -> ASGIApp | None:
        """Why a request is not passed on; None where it is."""
        asked = host_name(headers.get("host", ""))
        if asked not in self.gate.names():
            return _wrong_name(asked, self.gate.names())
        if scope["method"] not in SAFE and not _is_from_here(headers):
            return _elsewhere(headers.get("origin", "no page"))
        length = headers.get("content-length", "0")
        if not length.isdecimal() or int(length[:15]) > _body_max(scope["path"]):
            return _too_large(_body_max(scope["path"]))
        sender = find_sender(asking, self.gate)
        scope.setdefault("state", {}).update(sender=sender, asking=asking)
        if sender is None and not scope["path"].startswith(AT_THE_DOOR):
            return _unpaired()
        if (
            sender is not None
            and sender.role == "reads"
            and scope["method"] not in SAFE
        ):
            return _reads_only()
        return None


def _body_max(path: str) -> int:
    return PHOTO_BODY_MAX if path == PHOTO_PATH else BODY_MAX


class Counted:
    """Receives no more than may be sent, whatever length was announced."""

    def __init__(self, receive: Receive, most: int) -> None:
        self._receive = receive
        self._most = most
        self._seen = 0

    @property
    def is_over(self) -> bool:
        """Whether more came than may."""
        return self._seen > self._most

    async def receive(self) -> Message:
        """The next piece.

        Raises:
            TooLarge: it is one too many.
        """
        message = await self._receive()
        self._seen += len(message.get("body", b""))
        if self.is_over:
            raise TooLarge
        return message


def _is_from_here(headers: Headers) -> bool:
    """Whether a page of ours sent this, or a program that is no browser at all."""
    origin = headers.get("origin")
    if origin is not None:
        scheme, _, place = origin.partition("://")
        return scheme in ("http", "https") and place == headers.get("host")
    return headers.get("sec-fetch-site", "same-origin") in ("same-origin", "none")


def _wrong_name(asked: str, names: frozenset[str]) -> ASGIApp:
    """What somebody reads who came by another name."""
    return _words(
        f"Asked for this page under the name: {asked or 'no name'}.",
        f"Allowed: {', '.join(sorted(names))}.",
        "Do: open it on the machine that serves it, under one of these names.",
        status=421,
    )


def _elsewhere(origin: str) -> ASGIApp:
    return _words(
        "Asked: to change something here.",
        f"Found: it was sent from {origin[:80]}.",
        "Allowed: only from the pages served here.",
        "Do: open the page here and do it there.",
        status=403,
    )


def _unpaired() -> ASGIApp:
    return _words(
        "Asked: to see this page.",
        "Found: a device that is not paired, or was shut out.",
        "Allowed: paired devices.",
        "Do: on the laptop open Devices, make a code, and scan it with this device.",
        status=401,
    )


def _reads_only() -> ASGIApp:
    return _words(
        "Asked: to change something here.",
        "Found: a link that only reads.",
        "Allowed: looking at every page.",
        "Do: ask the builder to record it.",
        status=403,
    )


def _too_large(most: int) -> ASGIApp:
    return _words(
        "Asked: to take what was sent.",
        f"Found: more than {most // 1024 // 1024} MB.",
        f"Allowed: at most {most // 1024 // 1024} MB at once.",
        "Do: send less at once, or a smaller photo.",
        status=413,
    )


_PAGE = Markup(
    '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
    '<meta name="viewport" content="width=device-width, initial-scale=1">'
    "<title>Rivetwright</title>"
    '<link rel="stylesheet" href="/static/base.css"></head>'
    "<body><main>{lines}</main></body></html>\n"
)


def _words(*lines: str, status: int) -> ASGIApp:
    """The same sentences as a page for a browser, else as plain text."""

    async def answer(scope: Scope, receive: Receive, send: Send) -> None:
        if "text/html" in Headers(scope=scope).get("accept", ""):
            told = Markup("\n").join(Markup("<p>{}</p>").format(one) for one in lines)
            response: Response = HTMLResponse(
                _PAGE.format(lines=told), status_code=status
            )
        else:
            text = "\n".join(lines) + "\n"
            response = PlainTextResponse(text, status_code=status)
        await response(scope, receive, send)

    return answer


__all__ = ["CONTENT_POLICY", "OWN_NAMES", "Guard", "host_name", "is_loopback"]
