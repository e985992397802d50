"""Ink on paper can be read by everybody, and colour means look here."""

from __future__ import annotations

import re

import pytest

from pullwright.draw import ink
from pullwright.web.assets import STATIC

CSS = {file.name: re.sub(r"/\*.*?\*/", "", file.read_text("utf-8"), flags=re.DOTALL) for file in STATIC.glob("*.css")}
COLOURS = dict(re.findall(r"--([a-z]+):\s*(#[0-9a-f]{6})", CSS["paper.css"]))
TEXT, LARGE_OR_BORDER = 4.5, 3.0
PAIRS = [
    ("ink", "paper", TEXT),
    ("paper", "ink", TEXT),
    ("pencil", "paper", TEXT),
    ("faint", "paper", TEXT),
    ("vermilion", "paper", TEXT),
    ("faint", "paper", LARGE_OR_BORDER),
]


def _luminance(colour: str) -> float:
    """Return the relative luminance of WCAG 2.2 (W3C 2023, definition of "relative luminance")."""
    channels = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of WCAG 2.2 (W3C 2023, definition of "contrast ratio")."""
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_ratio_itself_is_right_at_its_ends():
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)


@pytest.mark.parametrize(("front", "back", "least"), PAIRS)
def test_text_and_borders_stand_out_enough(front, back, least):
    assert contrast(COLOURS[front], COLOURS[back]) >= least


@pytest.mark.parametrize("name", sorted(CSS))
def test_colours_stand_in_one_place_only(name):
    text = re.sub(r":root\s*\{.*?\}", "", CSS[name], flags=re.DOTALL)
    assert not re.search(r"#[0-9a-f]{3,8}\b(?![^{]*\{)|rgba?\(|hsla?\(|oklch\(", text)


@pytest.mark.parametrize("name", sorted(CSS))
def test_hairlines_are_never_text_and_vermilion_is_only_for_what_is_out_of_place(name):
    assert not re.search(r"(?<![-\w])color:\s*var\(--hair\)", CSS[name])
    for selectors, body in re.findall(r"([^{}]+)\{([^{}]*)\}", CSS[name]):
        if "--vermilion" in body and ":root" not in selectors:
            marked = r"look|mark|out-of-place|wrong-list|error|faults|role=alert|gutter b"
            assert all(re.search(marked, selector) for selector in selectors.split(",")), selectors


def test_there_are_two_greys_one_hairline_and_one_colour():
    def chroma(colour: str) -> int:
        channels = [int(colour[at : at + 2], 16) for at in (1, 3, 5)]
        return max(channels) - min(channels)

    assert set(COLOURS) == {"paper", "ink", "pencil", "faint", "hair", "vermilion"}
    assert [name for name, colour in COLOURS.items() if chroma(colour) > 40] == ["vermilion"]


def test_pages_and_drawings_share_paper_ink_pencil_and_vermilion():
    shared = {"paper": ink.PAPER, "ink": ink.INK, "pencil": ink.PENCIL, "vermilion": ink.LOOK}
    assert {name: COLOURS[name] for name in shared} == shared


def test_the_page_icon_uses_the_same_ink_and_paper():
    assert set(re.findall(r"#[0-9a-f]{6}", (STATIC / "mark.svg").read_text())) == {COLOURS["ink"], COLOURS["paper"]}
