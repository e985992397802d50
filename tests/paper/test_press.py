"""The press: what it refuses, and that its messages say what happened."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from pullwright.paper import PrintError, accounts_sheet, press
from pullwright.paper.press import MissingLettersError, Setting, measured


@pytest.fixture
def template(monkeypatch: pytest.MonkeyPatch) -> Any:
    def as_template(text: str) -> None:
        monkeypatch.setattr(press, "_template", lambda name: text.encode("utf-8"))

    return as_template


def test_an_error_of_the_template_is_told_with_what_to_do(template: Any, lines: SimpleNamespace) -> None:
    template("#let sheet = json(bytes(sys.inputs.sheet))\n#sheet.nothing-of-that-name")

    with pytest.raises(PrintError) as error:
        press.press("any.typ", {"title": "x"}, lines.when)

    assert "the sheet could not be printed: dictionary does not contain key" in str(error.value)
    assert "please tell its makers" in str(error.value)


def test_an_error_while_measuring_is_told_too(template: Any) -> None:
    template('#panic("no room")')

    with pytest.raises(PrintError, match="no room"):
        measured("any.typ", {})


def test_a_template_that_measures_nothing_is_told(template: Any) -> None:
    template("nothing is labelled here")

    with pytest.raises(PrintError, match="could not be printed"):
        measured("any.typ", {})


def test_letters_that_are_missing_are_named(template: Any, lines: SimpleNamespace) -> None:
    template('#set document(title: "x")\n#json(bytes(sys.inputs.sheet)).words')

    with pytest.raises(MissingLettersError) as error:
        press.press("any.typ", {"words": "a装b配"}, lines.when, Setting())

    assert error.value.letters == ("装", "配")
    assert "U+88C5 U+914D" in str(error.value)


def test_text_in_the_data_is_never_read_as_typst(template: Any, lines: SimpleNamespace) -> None:
    template('#set document(title: "x")\n#json(bytes(sys.inputs.sheet)).words')

    assert press.press("any.typ", {"words": "#panic()"}, lines.when).startswith(b"%PDF-")


def test_template_cannot_be_made_to_read_files(template: Any, lines: SimpleNamespace) -> None:
    template('#read("/etc/passwd")')

    with pytest.raises(PrintError):
        press.press("any.typ", {}, lines.when)


def test_the_sheet_of_a_press_that_fails_is_a_print_error(template: Any, lines: SimpleNamespace) -> None:
    template("#(")

    with pytest.raises(PrintError):
        accounts_sheet(lines.surveyed(lines.text(3)), printed=lines.when)
