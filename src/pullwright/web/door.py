"""The door: under which names the workbench answers, and how long an address may be."""

from __future__ import annotations

import re
from collections.abc import Collection

from starlette.datastructures import Headers
from starlette.types import ASGIApp, Receive, Scope, Send

from pullwright.web.problems import Problem

LONGEST_PATH = 1024
LONGEST_QUERY = 2048
_HOST = re.compile(r"(?P<name>\[[0-9A-Fa-f:.]+\]|[^\s:\[\]/@]+)(?::\d{1,5})?")
_CONTROL = re.compile(r"[\x00-\x1f\x7f]")


def host_name(header: str) -> str | None:
    """Return the name in a Host header without its port, in lower case, or None when it is not one.

    >>> host_name("LocalHost:8480"), host_name("[::1]:8480"), host_name("a b")
    ('localhost', '::1', None)
    """
    match = _HOST.fullmatch(header.strip())
    return None if match is None else match["name"].strip("[]").rstrip(".").lower()


class Door:
    """Turns away what does not ask for us by name (a page elsewhere may point its own name at this machine)."""

    def __init__(self, app: ASGIApp, hosts: Collection[str]) -> None:
        self.app = app
        self.hosts = tuple(host.strip("[]").rstrip(".").lower() for host in hosts)
        if not self.hosts:
            raise ValueError("no host is allowed; name at least one, such as '127.0.0.1'")

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let the request in, or say why not."""
        if scope["type"] == "http":
            self._check_host(Headers(scope=scope).getlist("host"), scope)
            self._check_address(scope)
        await self.app(scope, receive, send)

    def _check_host(self, given: list[str], scope: Scope) -> None:
        if len(given) != 1 or (name := host_name(given[0])) is None:
            raise Problem(
                400,
                f"the Host header {', '.join(given)[:120]!r}" if given else "no Host header",
                allowed=f"One Host header that names this workbench: {', '.join(self.hosts)}.",
            )
        if name not in self.hosts:
            server = scope.get("server") or ("", None)
            port = f":{server[1]}" if server[1] else ""
            addresses = ", ".join(f"http://{f'[{host}]' if ':' in host else host}{port}/" for host in self.hosts)
            raise Problem(
                421,
                f"the name {name[:120]!r}",
                allowed=f"The names that it was started with: {addresses}",
            )

    def _check_address(self, scope: Scope) -> None:
        path, query = scope.get("raw_path") or scope["path"].encode(), scope.get("query_string", b"")
        if len(path) > LONGEST_PATH or len(query) > LONGEST_QUERY:
            raise Problem(414, f"a path of {len(path)} characters and {len(query)} after the question mark")
        if _CONTROL.search(scope["path"]):
            raise Problem(
                400, "an address with a control character in it", allowed="Addresses of letters, digits and signs."
            )
