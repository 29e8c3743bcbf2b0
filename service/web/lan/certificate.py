"""A certificate that the yard makes for itself: of its addresses and names, signed by its own key.

Nobody vouches for it, so a browser warns once; the fingerprint says whether it is the right one.
It is renewed with the same key, before it ends and when an address is new.
"""

from __future__ import annotations

import ipaddress
import os
from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import NamedTuple

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from .place import CERTIFICATE, KEY

VALID = timedelta(days=397)
"""Browsers take no longer one of public authorities; phones take at most 825 days of any."""
RENEWED = timedelta(days=30)
"""So long before its end it is made anew."""
EARLIER = timedelta(days=1)
"""It is valid from yesterday, for phones whose clock is slow."""


class Unreadable(ValueError):
    """A kept key can't be used."""


class Files(NamedTuple):
    """A certificate and its key, as a server loads them, and the certificate's fingerprint."""

    certificate: Path
    key: Path
    fingerprint: str


def kept(folder: Path, addresses: Iterable[str], names: Iterable[str], now: int) -> Files:
    """The certificate in a folder, made or renewed where it has to be.

    Args:
        addresses, names: what it is to be for.
        now: epoch seconds.

    Raises:
        Unreadable: the key in the folder can't be used.
        OSError: the folder can't be written.
    """
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    key, at = _key(folder / KEY), datetime.fromtimestamp(now, UTC)
    wanted = x509.SubjectAlternativeName(_names(addresses, names))
    file = folder / CERTIFICATE
    certificate = _read(file)
    if certificate is None or not _serves(certificate, key, wanted, at):
        certificate = _made(key, wanted, at)
        _write(file, certificate.public_bytes(Encoding.PEM), 0o644)
    return Files(file, folder / KEY, fingerprint(certificate))


def fingerprint(certificate: x509.Certificate) -> str:
    """The SHA-256 of a certificate, as browsers show it: 64 hexadecimal digits in pairs."""
    return certificate.fingerprint(hashes.SHA256()).hex(":").upper()


def _key(file: Path) -> ec.EllipticCurvePrivateKey:
    if not file.exists():
        made = ec.generate_private_key(ec.SECP256R1())
        plain = serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
        _write(file, made.private_bytes(Encoding.PEM, *plain), 0o600)
    try:
        key = serialization.load_pem_private_key(file.read_bytes(), password=None)
    except (ValueError, TypeError) as error:
        raise Unreadable(f"The key {file} can't be read. Delete it; a new one is made.") from error
    if not isinstance(key, ec.EllipticCurvePrivateKey):
        raise Unreadable(f"The key {file} is of another kind. Delete it; a new one is made.")
    return key


def _write(file: Path, content: bytes, mode: int) -> None:
    """Write a file whole or not at all; nobody else ever sees a key."""
    part = file.with_name(f"{file.name}.part")
    part.unlink(missing_ok=True)
    with open(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode), "wb") as opened:
        opened.write(content)
    part.replace(file)


def _read(file: Path) -> x509.Certificate | None:
    try:
        return x509.load_pem_x509_certificate(file.read_bytes())
    except (OSError, ValueError):
        return None


def _names(addresses: Iterable[str], names: Iterable[str]) -> list[x509.GeneralName]:
    found: list[x509.GeneralName] = [
        x509.IPAddress(ipaddress.ip_address(each)) for each in sorted(set(addresses))
    ]
    return found + [x509.DNSName(name) for name in sorted(set(names))]


def _serves(
    certificate: x509.Certificate,
    key: ec.EllipticCurvePrivateKey,
    wanted: x509.SubjectAlternativeName,
    at: datetime,
) -> bool:
    """Whether a kept certificate is of the key, long enough valid, and for all that is wanted."""
    if certificate.public_key() != key.public_key():
        return False
    if not certificate.not_valid_before_utc <= at <= certificate.not_valid_after_utc - RENEWED:
        return False
    try:
        has = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except x509.ExtensionNotFound:
        return False
    return set(wanted) <= set(has)


def _made(
    key: ec.EllipticCurvePrivateKey, names: x509.SubjectAlternativeName, at: datetime
) -> x509.Certificate:
    who = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Cureyard")])
    own = x509.SubjectKeyIdentifier.from_public_key(key.public_key())
    usage = x509.KeyUsage(
        digital_signature=True, content_commitment=False, key_encipherment=False,
        data_encipherment=False, key_agreement=False, key_cert_sign=False, crl_sign=False,
        encipher_only=False, decipher_only=False,
    )  # fmt: skip
    builder = (
        x509.CertificateBuilder()
        .subject_name(who)
        .issuer_name(who)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(at - EARLIER)
        .not_valid_after(at - EARLIER + VALID)
        .add_extension(names, critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(usage, critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(own, critical=False)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_subject_key_identifier(own), critical=False
        )
    )
    return builder.sign(key, hashes.SHA256())
