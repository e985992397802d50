"""How far is a reading of the stopwatch from the truth, while the page is busy, beside the usual way of a page to take the time?

Taps at known moments are handed to the browser with the moment at which the finger came down, as its own input does; the page is
kept busy for up to a quarter of a second around each. The usual way is the clock at the time when the click is handled.
"""

from __future__ import annotations

import socket
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import pairwise
from pathlib import Path
from statistics import median
from typing import Any

import numpy as np
import uvicorn

from bench.timing import Row
from pullwright.examples import EXAMPLES
from pullwright.record import Record
from pullwright.web import create_app

CHROMIUM = "/usr/bin/chromium"
TAPS = 60
BUSY = 0.25
"""Seconds for which the page may be busy when a finger comes down."""
CLICKS = "() => { window.clicks = []; document.querySelector('[data-lap]').addEventListener('click', () => clicks.push(Date.now())); }"
KEPT = "words => document.querySelector('[data-waiting]').textContent.includes(words)"
HOLD = "seconds => { setTimeout(() => { const until = performance.now() + 1000 * seconds; while (performance.now() < until); }, 0); }"


@contextmanager
def _shop() -> Iterator[tuple[Record, str]]:
    with (
        tempfile.TemporaryDirectory() as folder,
        Record.open(Path(folder) / "shop.db") as record,
        socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP) as listener,
    ):
        record.add_line("pump", "Hand pump line", EXAMPLES[0].text, "line lead", "")
        elements = [{"what": "load"}, {"what": "hone", "work": "machine"}]
        record.begin_sheet("study", "T-1", {"name": "T-1", "elements": elements}, "line lead", line="pump")
        server = uvicorn.Server(uvicorn.Config(create_app(record), ws="none", lifespan="off", log_config=None))
        listener.bind(("127.0.0.1", 0))
        running = threading.Thread(target=server.run, kwargs={"sockets": [listener]}, daemon=True)
        running.start()
        while not server.started:
            time.sleep(0.01)
        yield record, f"http://127.0.0.1:{listener.getsockname()[1]}/lines/pump/studies/study-1/stopwatch"
        server.should_exit = True
        running.join()


def _tapped(page: Any, browser: Any, rng: np.random.Generator) -> list[float]:
    """Tap at moments of our own, the page being busy with other things, and return the moments."""
    box = page.locator("[data-lap]").bounding_box()
    at = {"x": box["x"] + 40, "y": box["y"] + 40, "button": "left", "clickCount": 1}
    moments = []
    for _ in range(TAPS):
        time.sleep(rng.uniform(0.02, 0.2))
        page.evaluate(HOLD, float(rng.uniform(0, BUSY)))
        moments.append(time.time())
        browser.send("Input.dispatchMouseEvent", {"type": "mousePressed", "timestamp": moments[-1], **at})
        browser.send("Input.dispatchMouseEvent", {"type": "mouseReleased", "timestamp": moments[-1] + 0.01, **at})
    return moments


def measure() -> list[Row]:
    """How far readings are from the time between two taps, in ms, by the stopwatch and by the clock when a click is handled."""
    from playwright.sync_api import sync_playwright

    with _shop() as (record, address), sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu"])
        page = browser.new_page(viewport={"width": 390, "height": 844})
        page.goto(address)
        page.wait_for_selector("[data-ready]")
        page.evaluate(CLICKS)
        moments = _tapped(page, page.context.new_cdp_session(page), np.random.default_rng(1))
        page.click("[data-finish]")
        page.wait_for_function(KEPT, arg=f"All {TAPS - 1} readings are kept")
        usual = [(later - one) / 1000 for one, later in pairwise(page.evaluate("clicks"))]
        browser.close()
        ours = [note.body["seconds"] for note in record.notes("study-1") if note.kind == "reading"]
    truth = [later - one for one, later in pairwise(moments)]
    off = [abs(a - b) * 1e3 for a, b in zip(ours, truth, strict=True)]
    other = [abs(a - b) * 1e3 for a, b in zip(usual, truth, strict=True)]
    return [
        (f"a reading of the stopwatch, off the truth ({TAPS - 1} readings)", median(off), min(off), max(off), "ms"),
        ("the clock when the click is handled, off the truth", median(other), min(other), max(other), "ms"),
        (
            "the usual way / the stopwatch, at their worst",
            max(other) / max(off),
            max(other) / max(off),
            max(other) / max(off),
            "times",
        ),
    ]


if __name__ == "__main__":
    for what, middle, low, high, unit in measure():
        print(f"{what}: {middle:.3g} {unit} ({low:.3g} to {high:.3g})")
