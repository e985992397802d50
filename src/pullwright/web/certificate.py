"""The certificate that makes an address secure, as phones ask before they keep a page: checked before anything is opened."""

from __future__ import annotations

import ssl
from dataclasses import dataclass
from pathlib import Path

EXPIRED, NOT_YET = 10, 9
"""What OpenSSL calls a certificate that is too old, or not valid yet."""


class BadCertificate(Exception):  # noqa: N818  (says what it is)
    """The certificate or its key cannot be used; the message says why and what to do."""


@dataclass(frozen=True, slots=True)
class Certificate:
    """A certificate and its key (files in PEM form), and the names and addresses for which it was made."""

    file: str
    key: str
    names: tuple[str, ...] = ()


def read_certificate(file: str | Path, key: str | Path | None = None) -> Certificate:
    """Return a certificate with its key, once it is sure that they belong together and hold today.

    Parameters: `file` in PEM form, with those of its issuers behind it where it has any; `key` in PEM form, None where it stands
    in the same file. Raises BadCertificate.
    """
    keyed = file if key is None else key
    for one in (file, keyed):
        try:
            Path(one).read_bytes()
        except OSError as error:
            raise BadCertificate(
                f"{one} cannot be read ({error.strerror or error}). Name a file in PEM form."
            ) from error
    ours = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)

    def locked() -> str:
        raise BadCertificate(
            f"The key {keyed} is locked with a password. Take one without: nobody types it at a start."
        )

    try:
        ours.load_cert_chain(file, keyed, password=locked)
    except ssl.SSLError as error:
        if error.reason == "KEY_VALUES_MISMATCH":
            raise BadCertificate(
                f"The key {keyed} does not belong to the certificate {file}. Name two that were made together."
            ) from error
        missing = " If its key stands in a file of its own, name that too: --key FILE." if key is None else ""
        raise BadCertificate(
            f"{file} and {keyed} hold no certificate and key in PEM form, texts that begin with -----BEGIN.{missing}"
            if key
            else f"{file} holds no certificate and key in PEM form, texts that begin with -----BEGIN.{missing}"
        ) from error
    return Certificate(str(file), str(keyed), _names(ours, str(file)))


def _names(ours: ssl.SSLContext, file: str) -> tuple[str, ...]:
    """Return for which names a certificate was made: it is shown to ourselves, without a network in between."""
    theirs = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    theirs.check_hostname = False
    # The certificate itself is trusted here: whoever opens the page decides whether to trust its issuer.
    theirs.verify_flags |= ssl.VERIFY_X509_PARTIAL_CHAIN
    theirs.load_verify_locations(file)
    there, back = ssl.MemoryBIO(), ssl.MemoryBIO()
    sides = (theirs.wrap_bio(back, there), ours.wrap_bio(there, back, server_side=True))
    for _ in range(8):
        for side in sides:
            try:
                side.do_handshake()
            except ssl.SSLWantReadError:
                continue
            except ssl.SSLCertVerificationError as error:
                if error.verify_code in (EXPIRED, NOT_YET):
                    raise BadCertificate(
                        f"{file}: {error.verify_message}. No phone opens it; have a new one made."
                    ) from error
                return ()
            except ssl.SSLError:
                return ()
    shown = sides[0].getpeercert() or {}
    names = (entry[1] for entry in shown.get("subjectAltName", ()) if entry[0] in ("DNS", "IP Address"))
    return tuple(str(name) for name in names if "*" not in str(name))
