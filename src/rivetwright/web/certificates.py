"""An authority of the workshop's own, so that phones can speak to it encrypted.

The key never leaves the record's folder. Installing the authority on a phone lets
whoever has that key pass for any site there; the page that offers it says so.
"""

from __future__ import annotations

import ipaddress
import os
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from rivetwright.errors import Refusal

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey
    from cryptography.hazmat.primitives.hashes import SHA256
    from cryptography.x509 import Certificate, CertificateBuilder, GeneralName

AUTHORITY_DAYS, SERVER_DAYS = 3650, 397
OWNER_ONLY = 0o600


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
        """A certificate for these names and addresses, signed by the authority."""
        from cryptography import x509
        from cryptography.x509.oid import ExtendedKeyUsageOID

        authority, signing = self._authority()
        key = _new_key()
        builder = _builder("Rivetwright on this laptop", SERVER_DAYS)
        usage = x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH])
        certificate = (
            builder.issuer_name(authority.subject)
            .public_key(key.public_key())
            .add_extension(x509.SubjectAlternativeName(_named(names)), critical=False)
            .add_extension(usage, critical=False)
            .add_extension(x509.BasicConstraints(False, None), critical=True)
            .sign(signing, _sha256())
        )
        made = Made(self.folder / "server.pem", self.folder / "server.key")
        _write(made.key, _key_pem(key))
        _write(made.certificate, _pem(certificate) + _pem(authority))
        return made

    def _authority(self) -> tuple[Certificate, EllipticCurvePrivateKey]:
        """The authority, made where there is none."""
        from cryptography import x509
        from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey
        from cryptography.hazmat.primitives.serialization import load_pem_private_key

        key_file, file = self.folder / "authority.key", self.folder / "authority.pem"
        if key_file.is_file() and file.is_file():
            key = load_pem_private_key(key_file.read_bytes(), None)
            assert isinstance(key, EllipticCurvePrivateKey)
            return x509.load_pem_x509_certificate(file.read_bytes()), key
        self.folder.mkdir(parents=True, exist_ok=True)
        key = _new_key()
        builder = _builder("Rivetwright workshop authority", AUTHORITY_DAYS)
        name = x509.Name(
            [
                x509.NameAttribute(
                    x509.NameOID.COMMON_NAME, "Rivetwright workshop authority"
                )
            ]
        )
        certificate = (
            builder.issuer_name(name)
            .public_key(key.public_key())
            .add_extension(x509.BasicConstraints(True, 0), critical=True)
            .sign(key, _sha256())
        )
        _write(key_file, _key_pem(key))
        _write(file, _pem(certificate))
        return certificate, key


def _builder(name: str, days: int) -> CertificateBuilder:
    """A certificate to be, valid from yesterday on: clocks differ."""
    from cryptography import x509

    now = datetime.now(UTC)
    subject = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, name)])
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + timedelta(days=days))
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
