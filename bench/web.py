"""How long does a page of the workbench take, cold and warm, over a real connection, beside a bare page of the same server?"""

from __future__ import annotations

import socket
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from statistics import median
from time import perf_counter

import httpx
import uvicorn

from bench.timing import Row
from pullwright.examples import EXAMPLES
from pullwright.record import Record
from pullwright.web import create_app

ROUNDS = 9
WARM = (
    ("first page", "/"),
    ("line", "/lines/pump"),
    ("accounts", "/lines/pump/accounts"),
    ("flow", "/lines/pump/flow"),
    ("all figures", "/lines/pump/figures"),
    ("why of the lead time", "/lines/pump/why?figure=lead%20time%20in%20days"),
    ("text", "/lines/pump/text"),
    ("change as text", "/lines/pump/edit"),
    ("change in a form", "/lines/pump/form?at=steps.2"),
    ("revisions", "/lines/pump/revisions"),
    ("two revisions compared", "/lines/pump/compare?before=1&after=2"),
    ("examples", "/examples"),
    ("line, for programs", "/lines/pump.json"),
)


@contextmanager
def serving(folder: Path) -> Iterator[httpx.Client]:
    """Serve a record with our own scenario in two revisions."""
    pump = EXAMPLES[0].text
    # The protocol has to be named: otherwise small answers wait for the acknowledgement of their first piece.
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    with Record.open(folder / "shop.db") as record, listener:
        record.add_line("pump", "Hand pump line", pump, "A. Weber", "first count")
        record.revise("pump", pump.replace("mean: 560 s", "mean: 300 s"), "M. Adler", "polished less", 1)
        app = create_app(record, examples=EXAMPLES)
        server = uvicorn.Server(uvicorn.Config(app, ws="none", lifespan="off", log_config=None))
        listener.bind(("127.0.0.1", 0))
        running = threading.Thread(target=server.run, kwargs={"sockets": [listener]}, daemon=True)
        running.start()
        while not server.started:
            time.sleep(0.01)
        with httpx.Client(base_url=f"http://127.0.0.1:{listener.getsockname()[1]}", timeout=60) as client:
            yield client
        server.should_exit = True
        running.join()


def _asked(client: httpx.Client, address: str) -> float:
    start = perf_counter()
    answer = client.get(address)
    taken = perf_counter() - start
    assert answer.status_code == 200, address
    return taken * 1e3


def measure() -> list[Row]:
    """Milliseconds until a page is there as a whole: the first time after the start (a new server each time), and warm."""
    cold: list[float] = []
    for _ in range(3):
        with tempfile.TemporaryDirectory() as folder, serving(Path(folder)) as client:
            _asked(client, "/help")
            cold.append(_asked(client, "/lines/pump"))
    rows = [("line, worked out for the first time", median(cold), min(cold), max(cold), "ms")]
    with tempfile.TemporaryDirectory() as folder, serving(Path(folder)) as client:
        bare = []
        for what, address in (("a page that is worked out from nothing (help)", "/help"), *WARM):
            _asked(client, address)
            taken = [_asked(client, address) for _ in range(ROUNDS)]
            bare = bare or taken
            rows.append((f"{what}, warm", median(taken), min(taken), max(taken), "ms"))
            if address == "/lines/pump":
                ratios = [one / other for one, other in zip(taken, bare, strict=True)]
                rows.append(("line, warm / help", median(ratios), min(ratios), max(ratios), "times"))
    return rows
