"""Under which names the pages are served, and whether the network may come in."""

from __future__ import annotations

import ipaddress
import socket
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from threading import Lock

from rivetwright.bench.workshop import Workshop
from rivetwright.errors import StoreRefused
from rivetwright.record.devices import Device, Doors

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
    def scheme(self) -> str:
        """How it is spoken to."""
        return "https" if self.is_encrypted else "http"

    @property
    def root(self) -> str:
        """The beginning of every address a phone may use; empty while shut."""
        if not self.addresses:
            return ""
        return f"{self.scheme}://{self.addresses[0]}:{self.port}"


@dataclass
class Gate:
    """Who may come in now."""

    workshop: Workshop
    own_names: tuple[str, ...] = OWN_NAMES
    network: Network = field(default_factory=Network)
    failures: dict[str, tuple[int, float]] = field(default_factory=dict)
    seen: dict[str, float] = field(default_factory=dict)
    clock: Callable[[], float] = time.monotonic
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

    def note_seen(self, device: Device) -> None:
        """Note that a device was here, once a minute at most."""
        now = self.clock()
        with self.lock:
            if now - self.seen.get(device.id, float("-inf")) < SEEN_EVERY_S:
                return
            self.seen[device.id] = now
        try:
            if self.doors is not None:
                self.doors.seen(device)
        except StoreRefused:
            # A full disk keeps nobody from looking; what is marked is refused there.
            return

    # A code has 128 random bits: nobody guesses one. This only keeps one machine
    # from keeping the others waiting.
    def may_try(self, address: str) -> bool:
        """Whether an address has not tried too many wrong codes of late."""
        with self.lock:
            count, since = self.failures.get(address, (0, 0.0))
            return count < FAILURES_MAX or self.clock() - since > FORGOTTEN_S

    def has_failed(self, address: str) -> None:
        """Count a wrong code."""
        now = self.clock()
        with self.lock:
            count, since = self.failures.get(address, (0, now))
            if now - since > FORGOTTEN_S:
                count, since = 0, now
            self.failures[address] = (count + 1, since)
            if len(self.failures) > ADDRESSES_MAX:
                del self.failures[next(iter(self.failures))]


FAILURES_MAX, FORGOTTEN_S = 20, 600.0
ADDRESSES_MAX = 1000
SEEN_EVERY_S = 60.0
