"""Who asks: the laptop itself, a paired device, a link to read, or nobody known."""

from __future__ import annotations

import re
import secrets
from http.cookies import CookieError, SimpleCookie

from fastapi import Request
from starlette.datastructures import Headers
from starlette.types import Scope

from rivetwright.bench.keep import Sender
from rivetwright.errors import NotAllowed, Refusal
from rivetwright.record.devices import MARKS, OWNER, READS
from rivetwright.web.doors import OWN_NAMES, Gate, host_name, is_loopback

DEVICE_COOKIE, BROWSER_COOKIE, PERSON_COOKIE = (
    "rivetwright_device",
    "rivetwright_browser",
    "rivetwright_person",
)
YEAR_S = 365 * 24 * 3600
_BROWSER = re.compile(r"^[0-9a-f]{8}$")


class Asking:
    """What a request says of who asks; `fresh_cookie` is to be set with the answer."""

    def __init__(self, scope: Scope, headers: Headers) -> None:
        self.address = (scope.get("client") or ("", 0))[0]
        self.host = host_name(headers.get("host", ""))
        self.is_encrypted = scope.get("scheme") == "https"
        self.fresh_cookie = ""
        self.cookies: dict[str, str] = {}
        try:
            read = SimpleCookie(headers.get("cookie", ""))
            self.cookies = {name: one.value for name, one in read.items()}
        except CookieError:
            pass


def find_sender(asking: Asking, gate: Gate) -> Sender | None:
    """The sender of a request; None where it may not come in."""
    if is_loopback(asking.address) and asking.host in OWN_NAMES:
        return _laptop(asking, gate)
    doors = gate.doors
    token = asking.cookies.get(DEVICE_COOKIE, "")
    device = doors.device_of(token) if doors and token else None
    if device is None:
        return None
    role = READS if device.role == READS else MARKS
    gate.note_seen(device)
    return Sender(device.id, device.person, role)


def is_still_in(asking: Asking, gate: Gate) -> bool:
    """Whether who asked may still come in: doors are shut while a page is open."""
    return asking.host in gate.names() and find_sender(asking, gate) is not None


def _laptop(asking: Asking, gate: Gate) -> Sender:
    """The machine that serves: each browser on it counts its own marks."""
    browser = asking.cookies.get(BROWSER_COOKIE, "")
    if not _BROWSER.match(browser):
        browser = secrets.token_hex(4)
        asking.fresh_cookie = cookie(BROWSER_COOKIE, browser, asking.is_encrypted)
    chosen = asking.cookies.get(PERSON_COOKIE, "")
    return Sender(f"laptop-{browser}", _person(gate, chosen), OWNER)


def _person(gate: Gate, chosen: str) -> str:
    """Who was chosen to stand at the laptop; else the builder."""
    try:
        shop = gate.workshop.read().project.shop
        people = {person.id for person in shop.people} if shop else set()
        return chosen if chosen in people else gate.workshop.builder
    except Refusal:
        # The folder cannot be read: the page asked for says so in its own words.
        return "builder"


def cookie(name: str, value: str, is_encrypted: bool, seconds: int = YEAR_S) -> str:
    """A cookie that no script reads and no other site sends with a form."""
    tail = "; Secure" if is_encrypted else ""
    return f"{name}={value}; Path=/; Max-Age={seconds}; HttpOnly; SameSite=Lax{tail}"


def sender_of(request: Request) -> Sender:
    """The sender of a request that was let in.

    Raises:
        NotAllowed: it was let in at the door only.
    """
    sender: Sender | None = getattr(request.state, "sender", None)
    if sender is None:
        raise NotAllowed(
            asked="open this page",
            found="a device that is not paired",
            allowed="paired devices",
            do="pair it on the laptop's page Devices",
        )
    return sender


def owner_only(request: Request) -> Sender:
    """The laptop; others may not open doors.

    Raises:
        NotAllowed: another device asks.
    """
    sender = sender_of(request)
    if sender.role != OWNER:
        raise NotAllowed(
            asked="change who may come in",
            found="another device than the laptop",
            allowed="the machine that serves the pages",
            do="open the page Devices there",
        )
    return sender
