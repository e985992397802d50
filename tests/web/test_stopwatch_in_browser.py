"""The stopwatch in a real browser, on a clock that the test moves: whole cycles, without a network, and through a reload."""

from __future__ import annotations

import json
from datetime import datetime

import numpy as np
import pytest

from pullwright.record import Record
from pullwright.watch.study.enough import enough, half_width, worth_taking
from pullwright.watch.study.spread import mean_of
from pullwright.watch.study.told import sheet_of
from pullwright.web import create_app
from pullwright.web.pace import Pace
from tests.web.small_line import VALVES

PHONE, DESK = {"width": 390, "height": 844}, {"width": 1280, "height": 900}
BEGAN = datetime(2026, 3, 2, 9, 0)
ELEMENTS = [
    {"what": "load the body", "work": "manual", "kind": "needed"},
    {"what": "hone", "work": "machine", "kind": "value"},
    {"what": "change the stone", "work": "manual", "kind": "needed", "every": 4},
]


@pytest.fixture(scope="module")
def shop(tmp_path_factory, serving):
    """A workbench with one line, and a study of it for each test."""
    with Record.open(tmp_path_factory.mktemp("shop") / "shop.db") as record:
        record.add_line("valves", "Valve line", VALVES, "A. Weber", "")
        for _ in range(3):
            record.begin_sheet(
                "study", "T-2", {"name": "T-2", "of": "honing", "elements": ELEMENTS}, "line lead", line="valves"
            )
        with serving(create_app(record, secret=b"k" * 32, pace=Pace(burst=10_000))) as server:
            server.record = record
            yield server


class Hand:
    """A phone in a hand: its stopwatch is open, and time goes on only when it is told to."""

    def __init__(self, chromium, server, key, size=PHONE):
        self.context = chromium.new_context(viewport=size)
        self.page = self.context.new_page()
        self.complaints = []
        self.page.on(
            "console", lambda said: self.complaints.append(said.text) if said.type in ("error", "warning") else None
        )
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.page.clock.install(time=BEGAN)
        self.open(f"{server.base}/lines/valves/studies/{key}/stopwatch")
        self.page.clock.pause_at(datetime(2026, 3, 2, 9, 5))

    def open(self, address):
        self.page.goto(address)
        self.page.wait_for_selector("[data-ready]", timeout=10_000)

    def after(self, seconds, what="lap"):
        """Let so many seconds go by, then tap."""
        self.page.clock.fast_forward(round(seconds * 1000))
        self.page.click(f"[data-{what}]")

    def says(self, name, words):
        self.page.wait_for_function(
            "([name, words]) => document.querySelector(`[data-${name}]`).textContent.includes(words)",
            arg=[name, words],
            timeout=10_000,
        )

    def text(self, name):
        return self.page.text_content(f"[data-{name}]")


@pytest.fixture
def hand(chromium, shop, request):
    held = Hand(chromium, shop, *request.param)
    yield held
    held.context.close()
    # The browser itself notes that the network was away, and that a seal was stale.
    expected = ("ERR_INTERNET_DISCONNECTED", "the server responded with a status of 403")
    assert [said for said in held.complaints if not any(words in said for words in expected)] == []


def kept(shop, key):
    sheet = shop.record.sheet(key)
    return sheet_of(sheet.body, shop.record.notes(key))


@pytest.mark.parametrize("hand", [("study-1",)], indirect=True)
def test_a_study_is_timed_through_a_lost_network_and_a_reload_and_every_reading_is_kept_once(hand, shop):
    rng = np.random.default_rng(7)
    script = np.column_stack([rng.uniform(4, 30, 5), rng.uniform(50, 70, 5)]).round(3).tolist()
    hand.after(1)
    for cycle, (load, hone) in enumerate(script[:3], 1):
        hand.after(load)
        if cycle == 2:
            hand.after(10, "foreign")
            hand.after(6.4, "foreign")
            hone -= 10
        hand.after(hone)
    hand.says("waiting", "All 7 readings are kept at the workbench.")
    assert hand.text("offline") == "This page opens without a network on this phone, too."

    hand.context.set_offline(True)
    hand.after(script[3][0])
    hand.after(script[3][1])
    hand.after(12.25)  # the stone comes in every fourth cycle
    assert hand.text("waiting") == "3 readings wait to be sent; they are safe on this phone."
    hand.page.clock.fast_forward(3000)
    hand.page.reload()
    hand.page.wait_for_selector("[data-ready]", timeout=10_000)
    assert hand.text("cycle") == "Cycle 5, load the body"
    assert "3 readings wait to be sent" in hand.text("waiting")
    assert hand.text("offline") == "This page opens without a network on this phone, too."
    hand.after(script[4][0] - 3)
    assert "Cut: the page was closed and opened again meanwhile" in hand.text("readings")
    hand.after(script[4][1])
    hand.context.set_offline(False)
    hand.says("waiting", "All 12 readings are kept at the workbench.")

    study = kept(shop, "study-1")
    assert len({one.uid for one in study.readings}) == 12
    expected = {(cycle, element): seconds for cycle, row in enumerate(script, 1) for element, seconds in enumerate(row)}
    expected |= {(2, -1): 6.4, (4, 2): 12.25}
    read = {(one.cycle, one.element): one.seconds for one in study.readings}
    assert read == pytest.approx(expected, abs=0.01)
    assert [one.cycle for one in study.readings if "opened again" in one.note] == [5]
    wide = "document.documentElement.scrollWidth"
    assert hand.page.evaluate(wide) <= PHONE["width"]
    for part in ("", "/notes", "/into-line"):
        hand.page.goto(f"{shop.base}/lines/valves/studies/study-1{part}")
        for size in (320, 1280):
            hand.page.set_viewport_size({"width": size, "height": 800})
            assert hand.page.evaluate(wide) <= size, (part, size)


@pytest.mark.parametrize("hand", [("study-2",)], indirect=True)
def test_the_keyboard_alone_times_undoes_marks_rates_and_finishes(hand, shop):
    page, press = hand.page, hand.page.keyboard.press
    press("Space")
    for seconds in (10, 60, 11, 61, 3):
        page.clock.fast_forward(seconds * 1000)
        press("Enter")
    # The last tap came too early: it is taken back, and the time goes on from where it was.
    page.focus("[data-undo]")
    press("Enter")
    assert hand.text("cycle") == "Cycle 3, load the body"
    page.clock.fast_forward(5000)
    press("Space")
    assert "Cycle 3, load the body: 8.0" in hand.text("readings")
    page.focus("[data-pause]")
    press("Enter")
    page.clock.fast_forward(100_000)
    press("Space")
    page.clock.fast_forward(59_000)
    press("Space")
    assert "Cycle 3, hone: 59.0" in hand.text("readings")

    page.focus("[data-readings] li:last-child button")
    page.evaluate("window.dispatchEvent(new Event('online'))")
    hand.says("waiting", "All 6 readings are kept at the workbench.")
    assert page.evaluate("document.activeElement.textContent") == "Change cycle 1, load the body"
    press("Enter")
    page.select_option("#sw-stands", "aside")
    page.focus("dialog button[value=keep]")
    press("Enter")
    assert page.is_visible("[data-missing]")
    page.fill("#sw-reason", "dropped a part")
    press("Enter")
    page.select_option("#sw-rating", "95")
    page.select_option("#sw-cycle-rating", "110")
    page.focus("[data-finish]")
    press("Enter")
    hand.says("waiting", "All 6 readings are kept at the workbench.")

    study = kept(shop, "study-2")
    assert study.rating == 0.95
    read = {(one.cycle, one.element): (one.seconds, one.rating, one.aside) for one in study.readings}
    assert read == {
        (1, 0): (10.0, None, "dropped a part"), (1, 1): (60.0, None, ""), (2, 0): (11.0, None, ""),
        (2, 1): (61.0, None, ""), (3, 0): (8.0, 1.1, ""), (3, 1): (59.0, None, ""),
    }  # fmt: skip
    small = """[...document.querySelectorAll('.stopwatch button, .stopwatch select, .stopwatch input')]
        .filter(one => one.offsetParent && one.getBoundingClientRect().height < 24).length"""
    assert page.evaluate(small) == 0
    nameless = "[...document.querySelectorAll('button')].filter(one => !one.textContent.trim()).length"
    assert page.evaluate(nameless) == 0
    assert page.evaluate(
        "[...document.querySelectorAll('input, select')].every(one => one.type === 'hidden' || one.labels.length)"
    )


@pytest.mark.parametrize("hand", [("study-3", DESK)], indirect=True)
def test_what_the_page_says_of_readings_is_what_the_workbench_says(hand):
    page, rng = hand.page, np.random.default_rng(3)
    rows = [[*rng.lognormal(3, spread, count).tolist()] for spread in (0.02, 0.1, 0.6) for count in (2, 3, 8, 40)]
    said = page.evaluate("rows => rows.map(row => StopwatchSums.of(row))", rows)
    for row, one in zip(rows, said, strict=True):
        ours = enough(row)
        assert (one["n"], one["mean"], one["cv"]) == pytest.approx((len(row), mean_of(row), ours.cv), rel=1e-12)
        assert one["half"] == pytest.approx(ours.now, rel=1e-9)
        assert one["worth"] == ours.worth
    pairs = list(zip(rng.uniform(0.005, 1.5, 40).tolist(), rng.integers(2, 300, 40).tolist(), strict=True))
    assert page.evaluate("pairs => pairs.map(pair => StopwatchSums.worthTaking(...pair))", pairs) == [
        worth_taking(*pair) for pair in pairs
    ]
    assert page.evaluate("StopwatchSums.halfWidth(0.1, 2)") == pytest.approx(half_width(0.1, 2), rel=1e-9)

    # A phone that slept: the clock that never jumps stood still, the clock on the wall went on.
    span = "([began, ended]) => StopwatchRun.span(began, ended)"
    began = {"life": "a", "mono": 1000.0, "wall": 500_000.0}
    slept = page.evaluate(span, [began, {"life": "a", "mono": 3000.0, "wall": 512_000.0}])
    assert slept == {"ms": 12_000, "said": "the phone slept for 10.0 s of it; timed by its clock"}
    set_back = page.evaluate(span, [began, {"life": "a", "mono": 3000.0, "wall": 100_000.0}])
    assert set_back == {"ms": 2000, "said": ""}

    # No room on the phone: that is said, and the reading is sent all the same.
    page.evaluate(
        "() => { IDBObjectStore.prototype.put = () => { throw new DOMException('full', 'QuotaExceededError'); }; }"
    )
    hand.context.set_offline(True)
    hand.after(1)
    hand.after(20)
    hand.says("waiting", "This phone has no room left")
    hand.context.set_offline(False)
    hand.says("waiting", "The one reading is kept at the workbench.")

    # The session of the browser is over: the page asks for a seal of its own, and nothing is lost.
    hand.context.clear_cookies()
    hand.after(40)
    hand.says("waiting", "All 2 readings are kept at the workbench.")

    # An answer that refuses one note names it; it stays on the phone, and the others are kept.
    page.evaluate("watch => { document.querySelector('[data-who]').maxLength = 500; }")
    page.fill("[data-who]", "x" * 300)
    hand.after(21)
    page.fill("[data-who]", "line lead")
    hand.after(45)
    hand.says("waiting", "Not taken: load the body, cycle 2, 21")
    assert "It stays on this phone." in hand.text("waiting")
    page.evaluate("window.scrollTo(0, 0)")
    assert page.evaluate("document.documentElement.scrollWidth") <= 1280
    assert json.loads(page.get_attribute("[data-stopwatch]", "data-told"))["elements"][2]["every"] == 4
