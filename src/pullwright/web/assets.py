"""The files of our own that pages load: read once, served under an address that holds a hash of their content."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path

from starlette.responses import Response

from pullwright.web.problems import Problem

STATIC = Path(__file__).parent / "static"
MEDIA_TYPES = {
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".svg": "image/svg+xml",
}
FOR_EVER = "public, max-age=31536000, immutable"


@dataclass(frozen=True, slots=True)
class Asset:
    """One file: its address, its content and what it is."""

    address: str
    content: bytes
    media_type: str


class Assets:
    """All files of a folder. A browser keeps each for ever, because a changed file has another address.

    >>> Assets().address("paper.css").startswith("/static/paper.")
    True
    """

    def __init__(self, folder: Path = STATIC) -> None:
        self._by_name: dict[str, Asset] = {}
        self._by_hashed: dict[str, Asset] = {}
        for file in sorted(folder.iterdir()):
            if file.suffix in MEDIA_TYPES:
                content = file.read_bytes()
                hashed = f"{file.stem}.{hashlib.sha256(content).hexdigest()[:12]}{file.suffix}"
                asset = Asset(f"/static/{hashed}", content, MEDIA_TYPES[file.suffix])
                self._by_name[file.name] = self._by_hashed[hashed] = asset

    def address(self, name: str) -> str:
        """Return the address of a file by its plain name; KeyError when there is no such file."""
        return self._by_name[name].address

    def names(self) -> tuple[str, ...]:
        """Return the plain names of all files."""
        return tuple(self._by_name)

    async def serve(self, hashed: str) -> Response:
        """Return one file; a Problem (404) when there is none under this name with this content."""
        asset = self._by_hashed.get(hashed)
        if asset is None:
            raise Problem(404, f"the file {hashed[:80]!r}", todo="Reload the page that asked for it.")
        return Response(asset.content, media_type=asset.media_type, headers={"Cache-Control": FOR_EVER})
