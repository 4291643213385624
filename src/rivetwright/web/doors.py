"""Under which names the pages are served, and whether the network may come in."""

from __future__ import annotations

import ipaddress
import socket
from dataclasses import dataclass, field
from threading import Lock

from rivetwright.bench.workshop import Workshop
from rivetwright.record.devices import Doors

OWN_NAMES = ("127.0.0.1", "localhost", "[::1]")


def host_name(host: str) -> str:
    """The name in a Host header, without its port: `[::1]:80` is `[::1]`."""
    if host.startswith("["):
        return host.partition("]")[0].lower() + "]"
    return host.partition(":")[0].lower()


def is_loopback(address: str) -> bool:
    """Whether an address is this machine's own."""
    try:
        return ipaddress.ip_address(address).is_loopback
    except ValueError:
        return False


def network_addresses() -> list[str]:
    """This machine's addresses on its networks, likeliest first; none is contacted."""
    found = []
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        try:
            # Nothing is sent: connecting a datagram socket only picks the way out.
            asked.connect(("192.0.2.1", 9))
            found.append(asked.getsockname()[0])
        except OSError:
            pass
    try:
        named = socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)
        found += [str(one[4][0]) for one in named]
    except OSError:
        pass
    return [one for one in dict.fromkeys(found) if not is_loopback(one)]


@dataclass
class Network:
    """The network as it was opened: addresses, names, port, whether encrypted."""

    addresses: tuple[str, ...] = ()
    extra_names: tuple[str, ...] = ()
    port: int = 0
    is_encrypted: bool = False

    @property
    def root(self) -> str:
        """The beginning of every address a phone may use; empty while shut."""
        if not self.addresses:
            return ""
        scheme = "https" if self.is_encrypted else "http"
        return f"{scheme}://{self.addresses[0]}:{self.port}"


@dataclass
class Gate:
    """Who may come in now."""

    workshop: Workshop
    own_names: tuple[str, ...] = OWN_NAMES
    network: Network = field(default_factory=Network)
    failures: dict[str, int] = field(default_factory=dict)
    lock: Lock = field(default_factory=Lock)

    def names(self) -> frozenset[str]:
        """Names under which the pages may be asked for."""
        network = self.network
        return frozenset((*self.own_names, *network.addresses, *network.extra_names))

    @property
    def doors(self) -> Doors | None:
        """Devices and codes of the record; None where no record was begun."""
        store = self.workshop.store
        return Doors(store) if store is not None else None

    # A code has 128 random bits: nobody guesses one. This only keeps one machine
    # from keeping the others waiting.
    def may_try(self, address: str) -> bool:
        """Whether an address has not tried too many wrong codes."""
        with self.lock:
            return self.failures.get(address, 0) < FAILURES_MAX

    def has_failed(self, address: str) -> None:
        """Count a wrong code."""
        with self.lock:
            self.failures[address] = self.failures.get(address, 0) + 1
            if len(self.failures) > ADDRESSES_MAX:
                self.failures.clear()


FAILURES_MAX = 20
ADDRESSES_MAX = 1000
