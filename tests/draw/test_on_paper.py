"""What prints ask for: a drawing that needs little height, and the reading help on a paper of its own."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from pullwright.draw import line_drawing, reading_help_drawing

SVG = "{http://www.w3.org/2000/svg}"


def height(svg: str) -> float:
    return float(re.search(r' height="([\d.]+)"', svg)[1])


def words_in(svg: str) -> str:
    root = ElementTree.fromstring(svg)  # noqa: S314 - made here
    return " ".join("".join(text.itertext()) for text in root.iter(f"{SVG}text")).replace("\u00a0", " ")


@pytest.mark.parametrize("seed", range(6))
def test_a_dense_drawing_says_the_same_on_less_height(scenes, seed):
    picture = scenes.any_line(seed)
    usual, dense = (line_drawing(picture, width=1900, dense=dense, help=False) for dense in (False, True))
    assert height(dense) < height(usual)
    words = [set(re.findall(r"[\w.]+", words_in(svg))) for svg in (usual, dense)]
    assert words[0] == words[1]


def test_bars_and_piles_of_a_dense_drawing_are_low(scenes):
    svg = line_drawing(scenes.workshop(), width=1900, dense=True)
    root = ElementTree.fromstring(svg)  # noqa: S314 - made here
    for group in root.iter(f"{SVG}g"):
        if group.findtext(f"{SVG}title", "").startswith("Work at "):
            assert sum(float(rect.get("height")) for rect in group.findall(f".//{SVG}g/{SVG}rect")) <= 80.01
    piles = [g for g in root.iter(f"{SVG}g") if g.findtext(f"{SVG}title", "").startswith("Stock ")]
    assert len(piles) > 8
    for group in piles:
        tops = [
            float(top) for path in group.findall(f"{SVG}path") for top in re.findall(r"M[\d.]+ ([\d.]+)", path.get("d"))
        ]
        assert not tops or max(tops) - min(tops) <= 48


def test_the_reading_help_can_stand_elsewhere(scenes):
    picture = scenes.workshop()
    whole, without = words_in(line_drawing(picture)), words_in(line_drawing(picture, help=False))
    elsewhere = words_in(reading_help_drawing(picture, width=500, drawn_width=1200))
    assert "How to read this" in whole
    assert "How to read this" not in without
    assert set(elsewhere.split()) == set(whole[whole.index("How to read this") :].split())


def test_blanks_at_the_edge_of_words_are_said_to_be_meant(scenes):
    assert 'xml:space="preserve"' in line_drawing(scenes.clean_line()).split(">", 1)[0]
