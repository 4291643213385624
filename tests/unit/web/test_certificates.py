"""The workshop's own authority: what it vouches for, and who may read its key."""

from __future__ import annotations

import ssl
import sys
from pathlib import Path

import pytest
from cryptography import x509

from rivetwright.errors import Refusal
from rivetwright.web.certificates import Certificates

HOME, ELSEWHERE = "192.168.7.2", "203.0.113.9"


def shake_hands(folder: Path, name: str) -> None:
    """A client that trusts the authority asks the server for a name."""
    server = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    server.load_cert_chain(folder / "server.pem", folder / "server.key")
    client = ssl.create_default_context(cafile=str(folder / "authority.pem"))
    client.verify_flags |= ssl.VERIFY_X509_STRICT
    ways = [ssl.MemoryBIO() for _ in range(2)]
    ends = [
        client.wrap_bio(ways[0], ways[1], server_hostname=name),
        server.wrap_bio(ways[1], ways[0], server_side=True),
    ]
    for _ in range(4):
        for end in ends:
            try:
                end.do_handshake()
            except ssl.SSLWantReadError:
                continue
    assert ends[0].version()


def test_client_that_trusts_the_authority_takes_the_server(tmp_path: Path) -> None:
    """By address and by name, checked as strictly as the library can."""
    Certificates(tmp_path / "keys").provide([HOME, "rivetwright-bench.local"])
    for name in (HOME, "rivetwright-bench.local"):
        shake_hands(tmp_path / "keys", name)


def test_other_name_is_not_taken(tmp_path: Path) -> None:
    """The certificate is for the names that it was made for."""
    Certificates(tmp_path).provide([HOME])
    with pytest.raises(ssl.SSLCertVerificationError):
        shake_hands(tmp_path, "192.168.7.3")


def test_authority_vouches_for_no_site_on_the_internet(tmp_path: Path) -> None:
    """Even signed with its key such a certificate is not believed."""
    made = Certificates(tmp_path)
    made.provide([HOME])
    made.provide(["bank.example"])
    with pytest.raises(ssl.SSLCertVerificationError, match="permitted subtree"):
        shake_hands(tmp_path, "bank.example")


def test_authority_stays_the_same(tmp_path: Path) -> None:
    """A phone that installed it need not install it again after a restart."""
    first = Certificates(tmp_path).authority_pem()
    Certificates(tmp_path).provide([HOME])
    assert Certificates(tmp_path).authority_pem() == first


def test_address_that_the_authority_never_knew_is_refused(tmp_path: Path) -> None:
    """One it had when the authority was made is taken; a later one is refused."""
    Certificates(tmp_path / "early").provide([ELSEWHERE])
    shake_hands(tmp_path / "early", ELSEWHERE)
    late = Certificates(tmp_path / "late")
    late.provide([HOME])
    with pytest.raises(Refusal) as refused:
        late.provide([ELSEWHERE])
    assert ELSEWHERE in refused.value.found
    assert "192.168.0.0/16" in refused.value.allowed


def test_keys_are_for_their_owner_alone(tmp_path: Path) -> None:
    """Files with mode 600 in a folder with mode 700."""
    folder = tmp_path / "keys"
    Certificates(folder).provide([HOME])
    assert folder.stat().st_mode & 0o777 == 0o700
    for file in folder.iterdir():
        assert file.stat().st_mode & 0o777 == 0o600, file


def test_no_key_is_in_what_phones_install(tmp_path: Path) -> None:
    """One certificate, and nothing else."""
    given = Certificates(tmp_path).authority_pem()
    assert b"PRIVATE" not in given
    x509.load_pem_x509_certificate(given)


def test_without_the_library_it_says_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The extra is named, and what works without it."""
    monkeypatch.setitem(sys.modules, "cryptography", None)
    with pytest.raises(Refusal) as refused:
        Certificates(tmp_path)
    assert "rivetwright[lan]" in refused.value.do
