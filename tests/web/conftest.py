"""A workbench over a real record, a visitor who asks for pages, and a real browser where there is one."""

from __future__ import annotations

import re
import shutil
import socket
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import httpx
import pytest
import uvicorn
from fastapi import FastAPI
from starlette.middleware import Middleware

from pullwright.examples import EXAMPLES, Example
from pullwright.record import Record
from pullwright.web import create_app
from pullwright.web.desk import Desk
from pullwright.web.pace import Pace, SteadyPace
from pullwright.web.patience import PatientConnection
from pullwright.web.shelf import Shelf, WorkedOut
from tests.apart import run_apart
from tests.web.browsing import WINDOWS
from tests.web.small_line import VALVES

HERE = "http://127.0.0.1:8480"


class Visitor:
    """Asks the application as a browser would, keeping its cookies; no server and no network in between."""

    def __init__(self, app: FastAPI, base: str = HERE) -> None:
        self.app, self.base, self.cookies = app, base, httpx.Cookies()

    def ask(self, method: str, address: str, **more: Any) -> httpx.Response:
        async def asking() -> httpx.Response:
            transport = httpx.ASGITransport(app=self.app)
            async with httpx.AsyncClient(transport=transport, base_url=self.base, cookies=self.cookies) as client:
                answer = await client.request(method, address, **more)
                self.cookies = client.cookies
                return answer

        return run_apart(asking())

    def get(self, address: str, **more: Any) -> httpx.Response:
        return self.ask("GET", address, **more)

    def seal(self, address: str) -> str:
        found = re.search(r'name="seal" value="([^"]+)"', self.get(address).text)
        assert found is not None, f"{address} shows no form"
        return found[1]

    def send(
        self,
        address: str,
        typed: dict[str, str],
        *,
        seal: str | None = None,
        chosen: dict[str, tuple[str, bytes]] | None = None,
        **more: Any,
    ) -> httpx.Response:
        """Open the page, fill in its form as multipart, and send it from our own origin, with the files that were chosen."""
        seal = self.seal(address) if seal is None else seal
        entries = {"seal": seal, **typed}
        headers = {"origin": self.base, "sec-fetch-site": "same-origin", **more.pop("headers", {})}
        files: dict[str, Any] = {name: (None, value) for name, value in entries.items()}
        files |= chosen or {}
        return self.ask("POST", address, files=files, headers=headers, **more)


class Tree(HTMLParser):
    """The elements of a page with their attributes, and its text."""

    VOID = frozenset({"meta", "link", "input", "br", "path", "rect"})

    def __init__(self, html: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str]]] = []
        self.open: list[str] = []
        self.text = ""
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, {name: value or "" for name, value in attrs}))
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag in self.VOID:
            return
        assert self.open, f"</{tag}> closes nothing"
        assert self.open[-1] == tag, f"</{tag}> closes <{self.open[-1]}>"
        self.open.pop()

    def handle_data(self, data: str) -> None:
        self.text += data

    def all(self, tag: str) -> list[dict[str, str]]:
        return [attributes for name, attributes in self.elements if name == tag]


@pytest.fixture
def tree() -> type[Tree]:
    return Tree


@pytest.fixture(scope="session")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A record without anything in it, to copy: laying one out takes ten times as long as opening it."""
    place = tmp_path_factory.mktemp("empty") / "shop.db"
    Record.open(place).close()
    return place


@pytest.fixture
def record(empty: Path, tmp_path: Path) -> Iterator[Record]:
    with Record.open(shutil.copy(empty, tmp_path / "shop.db")) as kept:
        yield kept


LINES = Shelf()
"""Lines that stay worked out from one test to the next, as they do from one visitor to the next: what a text says never changes."""


class SharedShelf(Shelf):
    """Takes lines from the shelf of all tests; what was said of a revision is its own, as each test has a record of its own."""

    def of(self, text: str, file: str) -> WorkedOut:
        return LINES.of(text, file)


@pytest.fixture(scope="session")
def over() -> Callable[..., FastAPI]:
    """The workbench over a record: `over(record, examples, pace)`. Its addresses are set up once and serve one test after another."""
    app = create_app(None, secret=b"k" * 32)  # type: ignore[arg-type]
    routes = tuple(app.router.routes)

    def stands_over(record: Record, examples: Sequence[Example] = (), pace: Pace | None = None) -> FastAPI:
        app.router.routes[:] = routes
        app.state.desk = Desk(record, tuple(examples), SharedShelf())
        paced = Middleware(SteadyPace, pace=pace or Pace())
        app.user_middleware = [paced if one.cls is SteadyPace else one for one in app.user_middleware]
        app.middleware_stack = app.openapi_schema = None
        return app

    return stands_over


@pytest.fixture
def app(record: Record, over: Callable[..., FastAPI]) -> FastAPI:
    return over(record)


@pytest.fixture
def visitor(app: FastAPI) -> Visitor:
    return Visitor(app)


@pytest.fixture
def patient_visitor(record: Record, over: Callable[..., FastAPI]) -> Visitor:
    """A visitor who may send as many changes as the test needs."""
    return Visitor(over(record, pace=Pace(burst=1_000_000)))


@pytest.fixture
def valves(record: Record) -> Record:
    """A record with one small line in it."""
    record.add_line("valves", "Valve line", VALVES, "A. Weber", "first count")
    return record


@pytest.fixture
def bench_app(valves: Record, over: Callable[..., FastAPI]) -> FastAPI:
    return over(valves, EXAMPLES, Pace(burst=1_000_000))


@pytest.fixture
def at_bench(bench_app: FastAPI) -> Visitor:
    """A visitor to a workbench with one small line and the examples, who may send as many changes as the test needs."""
    return Visitor(bench_app)


@pytest.fixture(scope="session")
def visitor_of() -> type[Visitor]:
    return Visitor


class Serving:
    """A real server on a free port of this machine, in a thread."""

    def __init__(self, app: FastAPI, silence: float = 15.0) -> None:
        connection = type("Connection", (PatientConnection,), {"silence": silence})
        config = uvicorn.Config(app, http=connection, ws="none", lifespan="off", log_config=None, server_header=False)
        self.server = uvicorn.Server(config)
        self.listener = socket.socket()
        self.listener.bind(("127.0.0.1", 0))
        self.port = self.listener.getsockname()[1]
        self.base = f"http://127.0.0.1:{self.port}"
        self.thread = threading.Thread(target=self.server.run, kwargs={"sockets": [self.listener]}, daemon=True)

    def __enter__(self) -> Serving:
        self.thread.start()
        until = time.monotonic() + 20
        while not self.server.started:
            assert time.monotonic() < until, "the server did not start"
            time.sleep(0.02)
        return self

    def __exit__(self, *_: object) -> None:
        self.server.should_exit = True
        self.thread.join(timeout=20)
        self.listener.close()
        assert not self.thread.is_alive()


@pytest.fixture(scope="session")
def serving() -> type[Serving]:
    return Serving


@pytest.fixture(scope="module")
def chromium(browser: Any) -> Iterator[Any]:
    """The browser for one file of tests: all windows that these open are closed behind them."""
    yield browser
    WINDOWS.pop(browser, None)
    for context in browser.contexts:
        context.close()
