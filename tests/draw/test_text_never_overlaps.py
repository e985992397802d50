"""Real letters in a real browser: no line of text overlaps another, leaves the paper, or is struck through."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from functools import cache
from typing import Any

import numpy as np
import pytest

from bench.lines import line_text
from pullwright import Line
from pullwright.draw import AccountBar, AccountRow, Difference, Remark, account_bars, compare_drawings, line_drawing
from pullwright.draw.ink import PAPER

PAGE = "http://drawing.invalid/"
STRICT = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'"
FONTS = ("system-ui, sans-serif", "'DejaVu Sans'", "'Liberation Sans'")
TOUCHING = 0.6
"""Drawing units that boxes may share: browsers round boxes outwards to whole pixels."""

MEASURE = """() => {
  const svg = document.querySelector('svg'), frame = svg.getBoundingClientRect();
  const box = shape => {
    const b = shape.getBoundingClientRect();
    return [b.left - frame.left, b.top - frame.top, b.right - frame.left, b.bottom - frame.top];
  };
  const words = text => [...text.querySelectorAll(':scope > title')].reduce(
    (all, title) => all.replace(title.textContent, ''), text.textContent);
  const inked = [...svg.querySelectorAll('[role=img] rect, [role=img] path')].filter(s => s.getAttribute('fill') != 'none');
  // As one text: handed over number by number it would take longer than the measuring.
  return JSON.stringify({
    texts: [...svg.querySelectorAll('text')].map(text => [words(text), ...box(text)]),
    // Light letters are meant to stand on dark ink.
    dark: [...svg.querySelectorAll('text')].filter(t => !t.querySelector('tspan[fill="%s"]')).map(t => [words(t), ...box(t)]),
    inked: inked.map(box), width: frame.width, height: frame.height,
  });
}""".replace("%s", PAPER)


@pytest.fixture(scope="module")
def browser_page(browser: Any) -> Iterator[Any]:
    page = browser.new_page(viewport={"width": 1600, "height": 900})
    yield page
    page.close()


def shown(page, svg: str) -> tuple[dict, list[str]]:
    """The drawing on a page with the strict policy: what was measured, and what the browser complained of."""
    complaints: list[str] = []

    def complain(message) -> None:
        complaints.append(message.text)

    body = (
        f"<!doctype html><html><head><meta charset=utf-8><link rel=icon href='data:,'></head><body>{svg}</body></html>"
    )
    page.on("console", complain)
    page.route(
        PAGE + "**",
        lambda route: route.fulfill(
            body=body, content_type="text/html; charset=utf-8", headers={"Content-Security-Policy": STRICT}
        ),
    )
    page.goto(PAGE)
    measured = json.loads(page.evaluate(MEASURE))
    page.remove_listener("console", complain)
    page.unroute(PAGE + "**")
    return measured, [text for text in complaints if "data:," not in text]


def overlapping(texts: list[list]) -> list[tuple[str, str]]:
    texts = sorted((text for text in texts if text[3] > text[1]), key=lambda text: text[2])
    found = []
    for place, (words, left, _, right, bottom) in enumerate(texts):
        for other, other_left, other_top, other_right, _ in texts[place + 1 :]:
            if other_top > bottom - TOUCHING:
                break
            if other_left < right - TOUCHING and left < other_right - TOUCHING:
                found.append((words, other))
    return found


def struck_through(svg: str, texts: list[list]) -> list[tuple[str, str]]:
    """Texts that a straight stroke runs through."""
    strokes = re.findall(r'<path d="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)"', svg)
    if not strokes or not texts:
        return []
    x1, y1, x2, y2 = np.array(strokes, dtype=float).T[:, :, None]
    left, top, right, bottom = np.array([text[1:] for text in texts], dtype=float).T
    # The letters themselves fill about the middle half of their box.
    inset = (bottom - top) * 0.25
    across, down = (
        _inside(x1, x2 - x1, left + 1, right - 1),
        _inside(y1, y2 - y1, top + inset, bottom - inset),
    )
    begin, end = np.maximum(across[0], down[0]), np.minimum(across[1], down[1])
    return [(texts[text][0], " ".join(strokes[stroke])) for stroke, text in np.argwhere(begin < end)]


def _inside(start: np.ndarray, step: np.ndarray, low: np.ndarray, high: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """The part of each stroke (row), from 0 to 1, that lies between the edges of each text (column); from 1 to 0 where none does."""
    with np.errstate(divide="ignore", invalid="ignore"):
        one, other = (low - start) / step, (high - start) / step
    still, within = step == 0, (low < start) & (start < high)
    begin = np.where(still, np.where(within, 0, 1), np.maximum(np.minimum(one, other), 0))
    return begin, np.where(still, np.where(within, 1, 0), np.minimum(np.maximum(one, other), 1))


def on_ink(texts: list[list], inked: list[list]) -> list[str]:
    """Dark letters that stand on a bar or a pile."""
    return [
        words
        for words, left, top, right, bottom in texts
        for ink in inked
        if left + 1 < ink[2] and ink[0] + 1 < right and top + 2 < ink[3] and ink[1] + 2 < bottom
    ]


def check(page, svg: str) -> None:
    measured, complaints = shown(page, svg)
    assert complaints == []
    assert len(measured["texts"]) > 3
    assert overlapping(measured["texts"]) == []
    outside = [
        text
        for text in measured["texts"]
        if text[1] < -0.01 or text[2] < -0.01 or text[3] > measured["width"] + 0.01 or text[4] > measured["height"]
    ]
    assert outside == []
    assert struck_through(svg, measured["texts"]) == []
    assert on_ink(measured["dark"], measured["inked"]) == []


def test_the_measuring_can_fail(browser_page):
    """Two texts on one another, one outside, one struck through: each is found."""
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="200" height="100"><text x="10" y="20">one line</text>'
        '<text x="20" y="22">another</text><text x="190" y="60">out</text><path d="M10 80L100 80" stroke="#000"/>'
        '<text x="10" y="84">struck</text><g role="img"><rect x="100" y="70" width="20" height="20" fill="#000"/></g>'
        '<text x="105" y="84">inked</text></svg>'
    )
    measured, _ = shown(browser_page, svg)
    assert overlapping(measured["texts"]) == [("one line", "another")]
    assert max(text[3] for text in measured["texts"]) > measured["width"]
    assert [words for words, _ in struck_through(svg, measured["texts"])] == ["struck"]
    assert on_ink(measured["dark"], measured["inked"]) == ["inked"]
    _, complaints = shown(browser_page, '<svg style="color:red"><text>a</text></svg>')
    assert len(complaints) == 1, "the page lets no inline style in"


@pytest.mark.parametrize("width", [1200, 1500, 700, 380])
def test_text_of_a_workshop(scenes, browser_page, width):
    for font in FONTS:
        check(browser_page, line_drawing(scenes.workshop(), width=width, font=font))
        check(browser_page, line_drawing(scenes.clean_line(), width=width, font=font))


@pytest.mark.parametrize("width", [1900, 1500])
@pytest.mark.parametrize("seed", range(0, 30, 4))
def test_text_of_a_dense_drawing(scenes, browser_page, seed, width):
    check(browser_page, line_drawing(scenes.any_line(seed), width=width, font=FONTS[seed % 3], dense=True))


@cache
def typed(seed: int) -> Line:
    """A line as somebody types it, worked out once for all widths."""
    return Line.from_text(line_text((5, 12, 20, 30)[seed], seed, busiest=1.1))


@pytest.mark.parametrize("width", [1200, 1120, 380, 358])
@pytest.mark.parametrize("seed", range(4))
def test_text_of_lines_as_they_are_typed(browser_page, seed, width):
    line = typed(seed)
    check(browser_page, line.survey.drawing(width))
    check(browser_page, line.survey.account_drawing(width))


@pytest.mark.parametrize("width", [1200, 380])
@pytest.mark.parametrize("seed", range(30))
def test_text_of_any_line(scenes, browser_page, seed, width):
    check(browser_page, line_drawing(scenes.any_line(seed), width=width, font=FONTS[seed % 3]))


@pytest.mark.parametrize("width", [1200, 380])
@pytest.mark.parametrize("seed", [0, 7, 13])
def test_text_of_two_lines_compared(scenes, browser_page, seed, width):
    differences = tuple(Difference("what it changes " * 6, scenes.seconds("less", value, 0.2)) for value in (-3.0, 1e9))
    one, other = scenes.any_line(seed), scenes.any_line(seed + 1)
    check(
        browser_page, compare_drawings(one, other, differences=differences, width=width, labels=("now " * 30, "then"))
    )


@pytest.mark.parametrize("width", [1200, 380])
def test_text_of_accounts(scenes, browser_page, width):
    amounts = (512.0, 210.0, 0.4, 0.3, 0.2, 0.0, 82.0, 90.0, -15.0)
    kinds = ("value", "needed", "waiting", "moving", "motion", "extra", "again", "ahead", "unexplained")
    rows = tuple(
        AccountRow(
            f"{kind} " * 9, scenes.Fake(kind, amount, "h", 0.1), kind,
            scenes.Fake("share", amount / 879.9, "share"), Remark("much too much of it") if amount > 80 else None,
        )
        for kind, amount in zip(kinds, amounts, strict=True)
    )  # fmt: skip
    bars = [
        AccountBar("Hours " * place, scenes.Fake("whole", sum(amounts), "h", 0.1), rows, "Found. " * 30)
        for place in (1, 30)
    ]
    for font in FONTS:
        check(browser_page, account_bars(bars, width=width, font=font))
