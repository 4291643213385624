"""Who may come in: pair a phone, shut a device out, a link to read, the network.

Doors are opened on the machine that serves alone. Codes and tokens are shown once
and never put into an address of this page.
"""

from __future__ import annotations

from typing import Annotated, Any
from urllib.parse import quote

from fastapi import APIRouter, Form, Request, Response
from fastapi.responses import RedirectResponse

from rivetwright.bench.carry import carried, keep_carried
from rivetwright.errors import NotAllowed, NotFound, Refusal
from rivetwright.record.devices import LINK_DAYS, MARKS, READS, Doors
from rivetwright.web.doors import Gate
from rivetwright.web.network import NetworkDoor
from rivetwright.web.pages.api import workshop_of
from rivetwright.web.pages.show import show
from rivetwright.web.qr import qr_picture
from rivetwright.web.senders import (
    DEVICE_COOKIE,
    PERSON_COOKIE,
    cookie,
    owner_only,
    sender_of,
)

router = APIRouter()
SEE_OTHER = 303


def gate_of(request: Request) -> Gate:
    """Who may come in now."""
    gate: Gate = request.app.state.gate
    return gate


def doors_of(request: Request) -> Doors:
    """Devices and codes of the record.

    Raises:
        NotFound: no record was begun.
    """
    doors = gate_of(request).doors
    if doors is None:
        raise NotFound(
            asked="pair a device",
            found="no record in this folder yet",
            allowed="a record that was begun",
            do="begin it on the page Bench first",
        )
    return doors


def back(address: str) -> Response:
    """Back to a page of ours after a form was sent; never to another site."""
    is_ours = address.startswith("/") and not address.startswith(("//", "/\\"))
    return RedirectResponse(address if is_ours else "/", status_code=SEE_OTHER)


@router.get("/devices")
def devices_show(request: Request) -> Response:
    """The list of devices and what can be done about them."""
    return _page(request)


def _page(request: Request, **shown: Any) -> Response:
    sender = owner_only(request)
    workshop, gate = workshop_of(request), gate_of(request)
    shop = workshop.read().project.shop
    door: NetworkDoor | None = getattr(request.app.state, "network_door", None)
    doors = gate.doors
    values = {
        "made": None,
        "sender": sender,
        "devices": doors.devices() if doors else [],
        "has_record": doors is not None,
        "people": shop.people if shop else (),
        "people_by_id": {one.id: one.name for one in shop.people} if shop else {},
        "builder": workshop.builder,
        "network": gate.network,
        "can_open": door is not None,
        "is_encrypted": bool(door and door.is_encrypted),
        "link_days": LINK_DAYS,
    }
    return show(request, "devices.html", here="/devices", **(values | shown))


@router.post("/devices/code")
def code_make(request: Request, person: Annotated[str, Form()] = "") -> Response:
    """Make a code that pairs one device, and show it."""
    owner_only(request)
    return _page(request, made=_fresh_code(request, person))


def _fresh_code(request: Request, person: str) -> dict[str, Any]:
    """A code that pairs one device: its address and picture."""
    root = _network_root(request)
    code = doors_of(request).make_code(MARKS, _person(request, person))
    address = f"{root}/pair/{quote(code)}"
    return {"kind": "code", "address": address, "picture": qr_picture(address)}


@router.post("/devices/link")
def link_make(request: Request, name: Annotated[str, Form()] = "inspector") -> Response:
    """Make a link that only reads, and show it once."""
    owner_only(request)
    root = _network_root(request)
    _, token = doors_of(request).add(name, "", READS, days=LINK_DAYS)
    address = f"{root}/look/{quote(token)}"
    made = {"kind": "link", "address": address, "picture": qr_picture(address)}
    return _page(request, made=made)


def _network_root(request: Request) -> str:
    """Where phones find the pages.

    Raises:
        Refusal: the network is shut.
    """
    root = gate_of(request).network.root
    if not root:
        raise Refusal(
            asked="make a code for a phone",
            found="pages that are served to this machine alone",
            allowed="pages that are open to the workshop network",
            do="open the network first, with the button on the page Devices",
        )
    return root


def _person(request: Request, person: str) -> str:
    """A person of the shop; the builder where none is chosen."""
    workshop = workshop_of(request)
    shop = workshop.read().project.shop
    known = {one.id for one in shop.people} if shop else set()
    return person if person in known else workshop.builder


@router.post("/devices/{device}/shut")
def device_shut(request: Request, device: str) -> Response:
    """Shut a device out."""
    owner_only(request)
    if not doors_of(request).shut_out(device):
        raise NotFound(
            asked="shut a device out",
            found="no device of that id",
            allowed="a device of the list",
            do="load the page Devices again",
        )
    return back("/devices")


@router.post("/devices/network")
def network_turn(request: Request, wanted: Annotated[str, Form()]) -> Response:
    """Open the pages to the workshop network and show a code at once, or close them.

    The record is begun with it, for devices are kept there.
    """
    owner_only(request)
    door: NetworkDoor | None = getattr(request.app.state, "network_door", None)
    if door is None:
        raise Refusal(
            asked="open the pages to the network",
            found="pages that another program serves",
            allowed="pages served by rivetwright serve",
            do="start them with rivetwright serve",
        )
    if wanted != "open":
        door.close()
        return back("/devices")
    workshop = workshop_of(request)
    if not workshop.has_record:
        workshop.begin()
    door.open()
    return _page(request, made=_fresh_code(request, ""))


@router.get("/certificate.pem")
def certificate_show(request: Request) -> Response:
    """The authority's certificate, to be installed on a phone."""
    door: NetworkDoor | None = getattr(request.app.state, "network_door", None)
    if door is None:
        raise NotFound(
            asked="install the workshop's certificate",
            found="pages without one",
            allowed="pages served with --https",
            do="start them with --lan --https",
        )
    return Response(door.authority(), media_type="application/x-x509-ca-cert")


@router.get("/pair/{code}")
def pair_ask(request: Request, code: str) -> Response:
    """Ask whether to pair: a code is used up by the button, not by a look."""
    _see_to_it(request, code)
    return show(request, "pair.html", code=code)


@router.post("/pair/{code}")
def pair_do(request: Request, code: str, name: Annotated[str, Form()] = "") -> Response:
    """Pair this device."""
    _see_to_it(request, code)
    _, token = doors_of(request).pair(code, name)
    answer = back("/bench")
    is_encrypted = request.url.scheme == "https"
    answer.headers.append("set-cookie", cookie(DEVICE_COOKIE, token, is_encrypted))
    return answer


def _see_to_it(request: Request, code: str) -> None:
    """A code that is open; wrong ones are counted by address.

    Raises:
        NotAllowed: it is not, or too many were tried from there.
    """
    gate, address = gate_of(request), request.client.host if request.client else ""
    doors = gate.doors
    is_open = doors is not None and gate.may_try(address) and doors.is_open(code)
    if not is_open:
        gate.has_failed(address)
        raise NotAllowed(
            asked="pair this device",
            found="a code that is unknown, used, or too old",
            allowed="a code used once within ten minutes",
            do="make a new one on the laptop's page Devices",
        )


@router.get("/look/{token}")
def look_in(request: Request, token: str) -> Response:
    """Come in by a link that only reads."""
    gate, address = gate_of(request), request.client.host if request.client else ""
    doors = gate.doors
    device = doors.device_of(token) if doors and gate.may_try(address) else None
    if device is None or device.role != READS:
        gate.has_failed(address)
        raise NotAllowed(
            asked="look at the record",
            found="a link that is unknown, over, or was shut",
            allowed=f"a link made on the laptop, for {LINK_DAYS} days",
            do="ask the builder for a new one",
        )
    answer = back("/")
    is_encrypted = request.url.scheme == "https"
    days = LINK_DAYS * 24 * 3600
    made = cookie(DEVICE_COOKIE, token, is_encrypted, days)
    answer.headers.append("set-cookie", made)
    return answer


@router.get("/carry")
def carry_ask(request: Request) -> Response:
    """A field for marks that a phone could not send."""
    sender_of(request)
    return show(request, "carry.html", answer=None)


@router.post("/carry")
def carry_do(request: Request, text: Annotated[str, Form()]) -> Response:
    """Take marks that were carried over as text."""
    sender, workshop = sender_of(request), workshop_of(request)
    device, marks = carried(text)
    doors = gate_of(request).doors
    known = {one.id: one.person for one in doors.devices()} if doors else {}
    answer = keep_carried(workshop, sender, device, marks, known)
    return show(request, "carry.html", answer=answer)


@router.post("/me")
def person_choose(
    request: Request,
    person: Annotated[str, Form()],
    back_to: Annotated[str, Form(alias="back")] = "/bench",
) -> Response:
    """Say who stands at the laptop."""
    owner_only(request)
    answer = back(back_to)
    chosen = _person(request, person)
    is_encrypted = request.url.scheme == "https"
    answer.headers.append("set-cookie", cookie(PERSON_COOKIE, chosen, is_encrypted))
    return answer


@router.post("/record/begin")
def record_begin(
    request: Request, back_to: Annotated[str, Form(alias="back")] = "/bench"
) -> Response:
    """Begin the record from what the files say."""
    owner_only(request)
    workshop_of(request).begin()
    return back(back_to)
