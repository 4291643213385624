"""An authority of the workshop's own, so that phones can speak to it encrypted.

The key never leaves the record's folder. The authority can vouch for addresses of
home networks, for those this machine had when it was made, and for names that end in
.local: a phone that trusts it believes it for nothing else.
"""

from __future__ import annotations

import ipaddress
import os
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from rivetwright.errors import Refusal

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey
    from cryptography.hazmat.primitives.hashes import SHA256
    from cryptography.x509 import Certificate, CertificateBuilder, GeneralName, Name

AUTHORITY_DAYS, SERVER_DAYS = 3650, 397
OWNER_ONLY, FOLDER_OWNER_ONLY = 0o600, 0o700
AUTHORITY_NAME, SERVER_NAME = (
    "Rivetwright workshop authority",
    "Rivetwright on this laptop",
)
LOCAL_NAMES = "local"
# Addresses that no machine on the internet has: private use, and self-assigned.
HOME_NETWORKS = ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16")


@dataclass(frozen=True)
class Made:
    """Files that a server is started with."""

    certificate: Path
    key: Path


class Certificates:
    """Keys and certificates in one folder, made when first asked for."""

    def __init__(self, folder: Path) -> None:
        try:
            import cryptography  # noqa: F401
        except ModuleNotFoundError as missing:
            raise Refusal(
                asked="serve encrypted pages",
                found="cryptography is not installed",
                allowed="the extra named lan",
                do="install rivetwright[lan], or leave --https away",
            ) from missing
        self.folder = folder

    def authority_pem(self) -> bytes:
        """The authority's certificate."""
        self._authority()
        return (self.folder / "authority.pem").read_bytes()

    def provide(self, names: Sequence[str]) -> Made:
        """A certificate for these names and addresses, signed by the authority.

        Raises:
            Refusal: an address that the authority may not vouch for.
        """
        from cryptography import x509
        from cryptography.x509.oid import ExtendedKeyUsageOID

        authority, signing = self._authority(names)
        _see_to_it(authority, names)
        key = _new_key()
        usage = x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH])
        certificate = (
            _builder(SERVER_NAME, SERVER_DAYS, key, signing)
            .issuer_name(authority.subject)
            .add_extension(x509.SubjectAlternativeName(_named(names)), critical=False)
            .add_extension(usage, critical=False)
            .add_extension(x509.BasicConstraints(False, None), critical=True)
            .sign(signing, _sha256())
        )
        made = Made(self.folder / "server.pem", self.folder / "server.key")
        _write(made.key, _key_pem(key))
        _write(made.certificate, _pem(certificate) + _pem(authority))
        return made

    def _authority(
        self, names: Sequence[str] = ()
    ) -> tuple[Certificate, EllipticCurvePrivateKey]:
        """The authority, made where there is none: for home networks and these."""
        from cryptography import x509
        from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey
        from cryptography.hazmat.primitives.serialization import load_pem_private_key

        key_file, file = self.folder / "authority.key", self.folder / "authority.pem"
        if key_file.is_file() and file.is_file():
            key = load_pem_private_key(key_file.read_bytes(), None)
            assert isinstance(key, EllipticCurvePrivateKey)
            return x509.load_pem_x509_certificate(file.read_bytes()), key
        self.folder.mkdir(mode=FOLDER_OWNER_ONLY, parents=True, exist_ok=True)
        key = _new_key()
        certificate = _authority_certificate(key, names)
        _write(key_file, _key_pem(key))
        _write(file, _pem(certificate))
        return certificate, key


def _see_to_it(authority: Certificate, names: Sequence[str]) -> None:
    """The authority may vouch for each address; names are of .local anyway."""
    from cryptography import x509

    limits = authority.extensions.get_extension_for_class(x509.NameConstraints).value
    permitted = limits.permitted_subtrees or []
    networks = [one.value for one in permitted if isinstance(one, x509.IPAddress)]
    for address in _addresses(names):
        if not any(address in ipaddress.ip_network(str(one)) for one in networks):
            raise Refusal(
                asked="serve encrypted pages",
                found=f"the address {address}",
                allowed=", ".join(str(one) for one in networks),
                do="join the workshop's own network, or move the folder record/keys "
                "away: then a new authority is made, to be installed anew",
            )


def _addresses(names: Sequence[str]) -> list[ipaddress.IPv4Address]:
    """Those of some names that are addresses."""
    found = []
    for name in names:
        with suppress(ValueError):
            found.append(ipaddress.IPv4Address(name))
    return found


def _authority_certificate(
    key: EllipticCurvePrivateKey, names: Sequence[str]
) -> Certificate:
    """A certificate that may sign others, for home networks and these addresses."""
    from cryptography import x509

    signs = x509.KeyUsage(
        key_cert_sign=True,
        crl_sign=True,
        digital_signature=False,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )
    networks = [ipaddress.ip_network(one) for one in HOME_NETWORKS]
    for address in _addresses(names):
        if not any(address in one for one in networks):
            networks.append(ipaddress.ip_network(str(address)))
    permitted: list[GeneralName] = [x509.DNSName(LOCAL_NAMES)]
    permitted += [x509.IPAddress(one) for one in networks]
    return (
        _builder(AUTHORITY_NAME, AUTHORITY_DAYS, key, key)
        .issuer_name(_name(AUTHORITY_NAME))
        .add_extension(x509.BasicConstraints(True, 0), critical=True)
        .add_extension(signs, critical=True)
        .add_extension(x509.NameConstraints(permitted, None), critical=True)
        .sign(key, _sha256())
    )


def _name(words: str) -> Name:
    from cryptography import x509

    return x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, words)])


def _builder(
    name: str,
    days: int,
    key: EllipticCurvePrivateKey,
    signing: EllipticCurvePrivateKey,
) -> CertificateBuilder:
    """A certificate to be, valid from yesterday on: clocks differ."""
    from cryptography import x509

    now = datetime.now(UTC)
    own = x509.SubjectKeyIdentifier.from_public_key(key.public_key())
    above = x509.AuthorityKeyIdentifier.from_issuer_public_key(signing.public_key())
    return (
        x509.CertificateBuilder()
        .subject_name(_name(name))
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + timedelta(days=days))
        .add_extension(own, critical=False)
        .add_extension(above, critical=False)
    )


def _named(names: Sequence[str]) -> list[GeneralName]:
    from cryptography import x509

    found: list[GeneralName] = []
    for name in names:
        try:
            found.append(x509.IPAddress(ipaddress.ip_address(name)))
        except ValueError:
            found.append(x509.DNSName(name))
    return found


def _new_key() -> EllipticCurvePrivateKey:
    from cryptography.hazmat.primitives.asymmetric import ec

    return ec.generate_private_key(ec.SECP256R1())


def _sha256() -> SHA256:
    from cryptography.hazmat.primitives.hashes import SHA256

    return SHA256()


def _pem(certificate: Certificate) -> bytes:
    from cryptography.hazmat.primitives.serialization import Encoding

    return certificate.public_bytes(Encoding.PEM)


def _key_pem(key: EllipticCurvePrivateKey) -> bytes:
    from cryptography.hazmat.primitives import serialization

    return key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )


def _write(path: Path, content: bytes) -> None:
    """Write a file that its owner alone may read."""
    part = path.with_name(path.name + ".part")
    part.unlink(missing_ok=True)
    handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, OWNER_ONLY)
    with os.fdopen(handle, "wb") as file:
        file.write(content)
    part.replace(path)
