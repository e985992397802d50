"""The seal on every form: a change is taken only from a form that this workbench showed to this browser."""

from __future__ import annotations

import base64
import hashlib
import hmac
import os
import re
import secrets
from pathlib import Path
from urllib.parse import urlsplit

SEAT_COOKIE = "pullwright_seat"
SEAL_FIELD = "seal"
SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS", "TRACE"})
_SEAT = re.compile(r"[A-Za-z0-9_-]{43}")
_DEFAULT_PORTS = {"http": 80, "https": 443}


class Seal:
    """Signs the seat of a browser (a random cookie) with the secret of this installation.

    A page elsewhere can make the browser send a form here, but it can neither read the cookie nor work out the seal
    that belongs to it, so its form is refused.

    >>> seal = Seal(b"s" * 32)
    >>> seat = seal.new_seat()
    >>> seal.holds(seat, seal.token(seat)), seal.holds(seal.new_seat(), seal.token(seat))
    (True, False)
    """

    def __init__(self, secret: bytes) -> None:
        if len(secret) < 32:
            raise ValueError(f"the secret has {len(secret)} bytes; at least 32 are needed")
        self._secret = secret

    def new_seat(self) -> str:
        """Return a fresh random name for a browser."""
        return secrets.token_urlsafe(32)

    def token(self, seat: str) -> str:
        """Return the seal that belongs to a seat."""
        digest = hmac.new(self._secret, b"form " + seat.encode(), hashlib.sha256).digest()
        return base64.urlsafe_b64encode(digest).rstrip(b"=").decode()

    def holds(self, seat: str | None, token: str | None) -> bool:
        """Say whether the seal belongs to the seat; the comparison takes the same time whatever is sent."""
        if seat is None or token is None or not known_seat(seat):
            return False
        return hmac.compare_digest(self.token(seat).encode(), token.encode("utf-8", "replace"))


def known_seat(seat: str | None) -> bool:
    """Say whether a cookie has the shape of a seat that we could have given."""
    return seat is not None and _SEAT.fullmatch(seat) is not None


def same_origin(scheme: str, host: str, origin: str | None, fetch_site: str | None) -> bool:
    """Say whether a browser says that a request comes from one of our own pages.

    Parameters: the scheme and Host header of the request, and its Origin and Sec-Fetch-Site headers (None when missing).
    A program that sends neither is not a browser, and has no cookie of ours to misuse; the seal still has to hold.

    >>> same_origin("http", "127.0.0.1:8480", "http://127.0.0.1:8480", "same-origin")
    True
    >>> same_origin("http", "127.0.0.1:8480", "http://elsewhere.example", "cross-site")
    False
    """
    if fetch_site is not None and fetch_site.strip().lower() not in ("same-origin", "none"):
        return False
    if origin is None:
        return True
    try:
        theirs, ours = urlsplit(origin), urlsplit(f"{scheme}://{host}")
        their_port = theirs.port or _DEFAULT_PORTS.get(theirs.scheme)
        our_port = ours.port or _DEFAULT_PORTS.get(scheme)
    except ValueError:
        return False
    # The scheme is left out on purpose: behind a proxy that does the encryption we see http where the browser saw https.
    if theirs.scheme == "https" and scheme == "http" and ours.port is None:
        our_port = 443
    return theirs.hostname is not None and theirs.hostname == ours.hostname and their_port == our_port


def kept_secret(path: Path) -> bytes:
    """Return the secret of this installation, made on first use in a file that only its owner may read (mode 0600).

    Raises ValueError when the file holds something else than 64 hexadecimal digits.
    """
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        path.chmod(0o600)
    else:
        with os.fdopen(handle, "w", encoding="ascii") as file:
            file.write(secrets.token_hex(32) + "\n")
    text = path.read_text(encoding="ascii", errors="replace").strip()
    if re.fullmatch(r"[0-9a-f]{64}", text) is None:
        raise ValueError(
            f"{path}: {len(text)} characters were read where 64 hexadecimal digits belong. "
            "Remove the file; a new one is made at the next start (forms that are open then have to be sent twice)."
        )
    return bytes.fromhex(text)
