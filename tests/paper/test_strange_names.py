"""Names come out as they are written: nothing in them is markup, code or a picture."""

from __future__ import annotations

from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

import pytest

from pullwright.paper import accounts_sheet

STRANGE = (
    '#panic("x") #sys.inputs.sheet *b* _e_ $x^2$ <lab> @ref \\ " `',
    '#read("/etc/passwd") #include "/etc/passwd"',
    "</svg><script>alert(1)</script>&amp;&#x41;",
    "]]> <!-- ${x} {{ y }} %s {0}",
    "= no heading",
    "- no item + 1. /no: term",
    "\\u{41} \\n ~ -- --- ... 'single' \"double\"",
    "/* no comment */ // none either",
    "Αθήνα, Жуковка, Łódź, Ærø, İzmir",
    "ﬁne ﬂow ½ № ™ ≥ 10⁻³ → ∞",
    "x" * 80,
    "W" * 80,
    "#",
    "a\u200db",
)


@pytest.mark.parametrize("name", STRANGE)
def test_name_of_line_and_station_comes_out_literally(
    name: str, lines: SimpleNamespace, read_back: Callable[[bytes], Any]
) -> None:
    text = lines.text(4, name=name, pile=900).replace("'station 2'", "'" + name.replace("'", "''") + "'")
    survey = lines.surveyed(text, "strange.yaml")

    sheet = read_back(accounts_sheet(survey, revision=name, printed=lines.when))

    assert sheet.pages == 1
    assert sheet.begins_with(f"{name} This line can make")
    assert sheet.says(f"revision {name} printed")
    assert not sheet.says("printed as boxes")


def test_names_written_from_right_to_left_have_all_their_letters(
    lines: SimpleNamespace, read_back: Callable[[bytes], Any]
) -> None:
    name = "خط עברית"

    sheet = read_back(accounts_sheet(lines.surveyed(lines.text(3, name=name)), printed=lines.when))

    assert not sheet.says("printed as boxes")
    assert sorted(sheet.text.split("Thisline")[0]) == sorted(name.replace(" ", ""))


def test_revision_with_control_characters_and_no_end_is_printed(
    lines: SimpleNamespace, read_back: Callable[[bytes], Any]
) -> None:
    revision = "a\x00b\u2028c\ud800d\n\te" + "f" * 900

    sheet = read_back(accounts_sheet(lines.surveyed(lines.text(3)), revision=revision, printed=lines.when))

    assert sheet.pages == 1
    assert sheet.says("revision a\ufffdb\ufffdc\ufffdd e")
    assert sheet.overlapping() == []


@pytest.mark.parametrize("file", ["x" * 200 + ".yaml", "two words.yaml", "$(reboot).yaml", "the text"])
def test_command_with_a_strange_file_name_can_be_typed(
    file: str, lines: SimpleNamespace, read_back: Callable[[bytes], Any]
) -> None:
    expected = {"two words.yaml": "'two words.yaml'", "$(reboot).yaml": "'$(reboot).yaml'"}.get(file, "LINE.yaml")

    sheet = read_back(accounts_sheet(lines.surveyed(lines.text(3), file), printed=lines.when))

    assert sheet.says(f"pullwright account {expected} --why")
    assert sheet.says(file)
    assert sheet.overlapping() == []


@pytest.mark.parametrize("letter", ["\ue000", "装"])
def test_letters_that_no_typeface_has_are_said_or_found_on_the_machine(
    letter: str, lines: SimpleNamespace, read_back: Callable[[bytes], Any]
) -> None:
    survey = lines.surveyed(lines.text(3).replace("'station 2'", f"'hall {letter}'"))

    sheet = read_back(accounts_sheet(survey, printed=lines.when))

    assert sheet.says("2 hall")
    boxes = sheet.says(f"Letters that the typefaces at hand do not have are printed as boxes: U+{ord(letter):04X}.")
    assert boxes != (b"pdfuaid:part>1<" in sheet.file.read_bytes())
