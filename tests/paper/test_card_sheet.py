"""Cards on paper: every card is there, whole, large enough to read, with a code that a telephone reads."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import segno

from pullwright.paper import card_sheet, page
from pullwright.paper.card_sheet import ACROSS, CAPITAL, CODE, HEIGHT, READ_AT_ARMS_LENGTH, WIDTH
from pullwright.paper.qr_code import QUIET, SMALLEST_MODULE, qr_code
from pullwright.pull.cards.card import CardFace

WHEN = datetime(2026, 3, 2, 9, 30)
MM = 72 / 25.4
PRODUCTION = CardFace(
    "3F0A9C-01", "production", "production card", "P-32 / P-40", "hone bore", "weld base", "before weld base", "hone bore", 14, 1, 3,
)  # fmt: skip
SIGNAL = CardFace(
    "A30A9C-01", "signal", "signal card", "P-50", "hone bore", "polish barrel", "before polish barrel", "hone bore", 14, 1, 1,
    "When 3 containers (42 pieces) are left, make 2 containers (28 pieces).",
)  # fmt: skip
WITHDRAWAL = CardFace(
    "B30A9C-12", "withdrawal", "withdrawal card", "barrel tube", "barrel tube", "saw tube", "at saw tube", "saw tube", 25, 12, 30, weight=31.0,
)  # fmt: skip
STRANGE = (
    '#panic("x") *b* _e_ $x$ <lab> @ref ` \\',
    "Schweißen und Richten der Rahmen in der zweiten Halle links hinter dem Lager 4711",
    "W" * 80,
    "x" * 80,
    "خط / צינור פלדה",
    "tube 🏭",
    "ﬁne ﬂow ½ № ≥ 10⁻³",
    "a\x00b\u2028c",
)


def many(number: int) -> list[CardFace]:
    return [replace(PRODUCTION, id=f"{one // 99:06X}-{one % 99 + 1:02d}", number=one + 1, of=number) for one in range(number)]  # fmt: skip


def test_each_card_says_what_from_where_to_where_how_many_and_which_of_how_many(
    read_back: Callable[[bytes], Any],
) -> None:
    sheet = read_back(card_sheet([PRODUCTION, SIGNAL, WITHDRAWAL], line="Pump line", invented=True, printed=WHEN))

    assert sheet.pages == 1
    assert sheet.size == pytest.approx((595.3, 841.9), abs=0.1)
    assert sheet.says("production card 1 of 3 make one container")
    assert sheet.says("P-32 / P-40")
    assert sheet.says("holds 14 pieces from hone bore to before weld base")
    assert sheet.says("signal card 1 of 1 make one lot")
    assert sheet.says(SIGNAL.signal)
    assert sheet.says("withdrawal card 12 of 30 fetch one container")
    assert sheet.says("holds 25 pieces, 31 kg to at saw tube")
    for face in (PRODUCTION, SIGNAL, WITHDRAWAL):
        assert sheet.says(face.id)
    assert sheet.text.count("inventeddata") == 3
    assert sheet.text.count("Pumpline·2March2026") == 3
    assert sheet.overlapping() == []


def test_a_place_that_does_not_name_where_it_goes_is_told_beside_it(read_back: Callable[[bytes], Any]) -> None:
    face = replace(PRODUCTION, start="pack", end="shipping", place="after pack", pieces=1)

    sheet = read_back(card_sheet([face], line="Pump line", printed=WHEN))

    assert sheet.says("holds 1 piece from pack to shipping lies after pack")
    assert not sheet.says("invented")


@pytest.mark.parametrize(("weight", "said"), [(31.0, True), (23.0, True), (22.9, False), (None, False)])
def test_a_heavy_container_has_a_caution_that_defers_to_local_rules(
    weight: float | None, said: bool, read_back: Callable[[bytes], Any]
) -> None:
    faces = [replace(face, weight=weight) for face in (PRODUCTION, SIGNAL, WITHDRAWAL)]

    sheet = read_back(card_sheet(faces, line="Pump line", printed=WHEN))

    assert sheet.text.count("byhandonlyaslocalrulesallow.") == (3 if said else 0)
    assert not sheet.says("…")


@pytest.mark.parametrize("number", [1, 8, 9, 300])
def test_all_cards_are_there_eight_to_a_page(number: int, read_back: Callable[[bytes], Any]) -> None:
    faces = many(number)

    sheet = read_back(card_sheet(faces, line="Pump line", printed=WHEN))

    assert sheet.pages == -(-number // 8)
    assert sheet.text.count("holds14pieces") == number
    for face in faces:
        assert sheet.says(face.id)
        assert sheet.says(f"production card {face.number} of {number}")


@pytest.mark.parametrize("name", STRANGE)
def test_long_and_strange_names_stay_inside_their_card(name: str, read_back: Callable[[bytes], Any]) -> None:
    face = replace(PRODUCTION, what=name, start=name, end=name, place=f"before {name}")
    heavy = replace(face, kind="signal", kind_words="signal card", signal=SIGNAL.signal, weight=140.0)

    sheet = read_back(card_sheet([face, heavy], line=name, printed=WHEN))

    assert sheet.pages == 1
    assert sheet.overlapping() == []
    left, top = (210 - ACROSS * WIDTH) / 2 * MM, 9 * MM
    for word in sheet.words:
        if word.top < top + HEIGHT * MM:
            card = int((word.left - left) // (WIDTH * MM))
            assert left + (card * WIDTH + 3) * MM < word.left
            assert word.right < left + ((card + 1) * WIDTH - 3) * MM
            assert top < word.top
            assert word.bottom < top + (HEIGHT - 3) * MM
        else:
            assert word.top > top + 4 * HEIGHT * MM


def test_letters_that_no_typeface_has_are_said_at_the_foot_or_found_on_the_machine(
    read_back: Callable[[bytes], Any],
) -> None:
    sheet = read_back(card_sheet([replace(PRODUCTION, what="tube \ue000")], line="Pump line", printed=WHEN))

    boxes = sheet.says("Letters that the typefaces at hand do not have are printed as boxes: U+E000.")
    assert boxes != (b"pdfuaid:part>1<" in sheet.file.read_bytes())


def test_what_is_too_long_even_for_the_smallest_letters_says_so(read_back: Callable[[bytes], Any]) -> None:
    endless = replace(PRODUCTION, what=" / ".join(f"P-{number} with a long name" for number in range(80)))

    sheet = read_back(card_sheet([endless], line="Pump line", printed=WHEN))

    assert sheet.says("P-0 with a long name / P-1")
    assert sheet.says("the plan says it whole")
    assert sheet.overlapping() == []


def test_short_names_are_read_at_arms_length(read_back: Callable[[bytes], Any]) -> None:
    sheet = read_back(card_sheet([PRODUCTION], line="Pump line", printed=WHEN))

    # The box of a word is as high as the face reaches, about 1.14 of its size.
    for word in ("P-32", "hone", "weld", "14", "pieces"):
        found = next(one for one in sheet.words if one.text == word)
        assert (found.bottom - found.top) / 1.15 >= READ_AT_ARMS_LENGTH * 0.98


def test_letters_read_at_arms_length_have_capitals_of_a_two_hundredth_of_the_distance() -> None:
    import typst

    asked = f'#context [#metadata(measure(text(font: "{page.FACE}", size: {READ_AT_ARMS_LENGTH}pt, top-edge: "cap-height", bottom-edge: "baseline")[H]).height / 1mm) <m>]'

    height = float(typst.query(asked.encode(), "<m>", field="value", one=True, ignore_system_fonts=True))

    assert height == pytest.approx(3.5, abs=0.02)
    assert pytest.approx(0.658) == CAPITAL


def test_the_codes_on_paper_are_those_of_the_numbers_with_their_blank_margin(
    read_back: Callable[[bytes], Any], tmp_path: Path
) -> None:
    faces = [replace(PRODUCTION, id=text) for text in ("3F0A9C-01", "3F0A9C-02", "a number in small letters, 41 of them here", "Ω-1", *"ABCD")]  # fmt: skip
    sheet = read_back(card_sheet(faces, line="Pump line", invented=True, printed=WHEN))
    dots = 300 / 25.4
    subprocess.run(
        ["pdftoppm", "-r", "300", "-gray", "-singlefile", str(sheet.file), str(tmp_path / "page")], check=True
    )
    page_seen = grey(tmp_path / "page.pgm")

    for place, face in enumerate(faces):
        expected = np.array(segno.make(face.id, error="m", micro=False).matrix, dtype=bool)
        across = len(expected)
        module = CODE / across
        side = module * (across + 2 * QUIET)
        left = 8 + (place % 2) * WIDTH + WIDTH - 3.5 - side
        top = 9 + (place // 2) * HEIGHT + HEIGHT - 3.5 - 4.5 - side
        centres = (np.arange(across + 2 * QUIET) + 0.5) * module
        seen = page_seen[np.ix_(np.round((top + centres) * dots).astype(int), np.round((left + centres) * dots).astype(int))] < 128  # fmt: skip
        framed = np.zeros_like(seen)
        framed[QUIET:-QUIET, QUIET:-QUIET] = expected
        assert np.array_equal(seen, framed), face.id
        assert across * module >= 20
        assert module >= SMALLEST_MODULE


def grey(file: Path) -> Any:
    """The grey values of a picture (PGM, binary)."""
    _, size, _, dots = file.read_bytes().split(b"\n", 3)
    width, height = map(int, size.split())
    return np.frombuffer(dots, dtype=np.uint8).reshape(height, width)


def test_a_code_stands_a_seventh_of_dirt() -> None:
    assert segno.make("3F0A9C-01", error="m", micro=False).error in {"M", "Q", "H"}


def test_a_number_too_long_for_a_code_that_can_be_read_is_refused() -> None:
    with pytest.raises(ValueError, match=r"a text of 400 letters was given .* smaller than 0\.4 mm"):
        qr_code("x" * 400, CODE)


def test_no_card_is_no_sheet() -> None:
    with pytest.raises(ValueError, match="no card was given"):
        card_sheet([], line="Pump line")


def test_the_same_cards_give_the_same_bytes_and_another_number_gives_others() -> None:
    once = card_sheet([PRODUCTION, SIGNAL], line="Pump line", printed=WHEN)

    assert once == card_sheet([PRODUCTION, SIGNAL], line="Pump line", printed=WHEN)
    assert once != card_sheet([PRODUCTION, replace(SIGNAL, id="A30A9C-02")], line="Pump line", printed=WHEN)
    assert b"pdfuaid:part>1<" in once
