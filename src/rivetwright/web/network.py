"""The workshop network let in: a second listener with the same pages, on request.

Without being asked the pages are served to this machine alone.
"""

from __future__ import annotations

import socket
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

import uvicorn
from starlette.types import ASGIApp

from rivetwright.errors import Refusal
from rivetwright.record.devices import Doors
from rivetwright.web.certificates import Certificates
from rivetwright.web.doors import Gate, Network, network_addresses
from rivetwright.web.sockets import free_socket

EVERYWHERE = "0.0.0.0"
STOP_SECONDS = 2
JOIN_SECONDS = 10


def settings_of(app: ASGIApp, **more: Any) -> uvicorn.Config:
    """How the pages are served, here and to the network.

    Who asks is whose connection it is, whatever headers say of somebody behind it.
    """
    return uvicorn.Config(
        app,
        log_level="warning",
        timeout_graceful_shutdown=STOP_SECONDS,
        server_header=False,
        proxy_headers=False,
        lifespan="off",
        **more,
    )


class NetworkDoor:
    """Opens and closes the pages to the workshop network.

    Args:
        app: the pages.
        gate: is told under which names they are served.
        port: the port wished for.
        keys: folder for keys and certificates; used only where encrypted.
        is_encrypted: whether to serve with a certificate made here.
    """

    def __init__(
        self, app: ASGIApp, gate: Gate, port: int, keys: Path, *, is_encrypted: bool
    ) -> None:
        self._app = app
        self._gate = gate
        self._port = port
        self._keys = keys
        self.is_encrypted = is_encrypted
        self._server: uvicorn.Server | None = None
        self._thread: threading.Thread | None = None
        self._unname: Callable[[], None] | None = None
        self._lock = threading.Lock()

    @property
    def is_open(self) -> bool:
        """Whether the network may come in."""
        return self._server is not None

    @property
    def doors(self) -> Doors | None:
        """Devices and codes of the record."""
        return self._gate.doors

    def open(self) -> Network:
        """Let the network in; says under which addresses.

        Raises:
            Refusal: this machine is on no network, or no port is free.
        """
        with self._lock:
            if self._server is not None:
                return self._gate.network
            addresses = network_addresses()
            if not addresses:
                raise Refusal(
                    asked="open the pages to the workshop network",
                    found="no network address of this machine",
                    allowed="a machine on the workshop's network",
                    do="join the Wi-Fi or plug the cable in, then try again",
                )
            name = _local_name()
            names = (name,) if name else ()
            options = self._keys_of([*addresses, *names])
            listener = free_socket(self._port, EVERYWHERE)
            port = listener.getsockname()[1]
            self._start(listener, options)
            if name:
                self._unname = _announce(name, addresses, port)
            network = Network(tuple(addresses), names, port, self.is_encrypted)
            self._gate.network = network
            return network

    def _start(self, listener: socket.socket, options: dict[str, Path]) -> None:
        """Serve the same pages in a thread of their own."""
        self._server = uvicorn.Server(settings_of(self._app, **options))
        self._thread = threading.Thread(
            target=self._server.run, args=([listener],), daemon=True
        )
        self._thread.start()

    def _keys_of(self, names: list[str]) -> dict[str, Path]:
        """Files to encrypt with; none where the pages are served plain."""
        if not self.is_encrypted:
            return {}
        made = Certificates(self._keys).provide(names)
        return {"ssl_certfile": made.certificate, "ssl_keyfile": made.key}

    def close(self) -> None:
        """Let the network in no longer."""
        with self._lock:
            if self._server is None or self._thread is None:
                return
            self._gate.network = Network()
            self._server.should_exit = True
            self._thread.join(JOIN_SECONDS)
            self._server = self._thread = None
            if self._unname is not None:
                self._unname()
                self._unname = None

    def authority(self) -> bytes:
        """The certificate to install on a phone.

        Raises:
            Refusal: the pages are not encrypted, so there is none.
        """
        if not self.is_encrypted:
            raise Refusal(
                asked="install the workshop's certificate",
                found="pages that are not encrypted",
                allowed="pages served with --https",
                do="stop, and start again with --lan --https",
            )
        return Certificates(self._keys).authority_pem()


def _local_name() -> str:
    """A name that stays when the address changes; none without the library for it."""
    try:
        import zeroconf  # noqa: F401
    except ModuleNotFoundError:
        return ""
    host = socket.gethostname().partition(".")[0].lower()
    return f"rivetwright-{host or 'laptop'}.local"


def _announce(name: str, addresses: list[str], port: int) -> Callable[[], None] | None:
    """Tell the network who the name is; gives what takes it back."""
    from zeroconf import Error, ServiceInfo, Zeroconf

    kind = "_http._tcp.local."
    said = ServiceInfo(
        kind,
        f"{name.partition('.')[0]}.{kind}",
        addresses=[socket.inet_aton(one) for one in addresses],
        port=port,
        server=f"{name}.",
    )
    try:
        told = Zeroconf(interfaces=addresses)
    except OSError:
        return None
    try:
        told.register_service(said, allow_name_change=True)
    except (OSError, Error):
        # The pages are served all the same, under the address.
        told.close()
        return None

    def end() -> None:
        told.unregister_service(said)
        told.close()

    return end
