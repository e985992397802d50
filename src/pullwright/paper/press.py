"""The press: a Typst template, data that is never read as Typst, and out comes a PDF or what a template measured."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import lru_cache
from importlib.resources import files
from typing import Any, Literal

from pullwright.paper.words import missing_letters

_ACCESSIBLE: Literal["ua-1"] = "ua-1"
_NO_LETTER = re.compile(r'the text `"(.+?)"` could not be displayed', re.DOTALL)


class PrintError(RuntimeError):
    """The print could not be made; the message says what the press said."""


class MissingLettersError(PrintError):
    """Some letters are in no face that the press has; `letters` are those."""

    def __init__(self, letters: tuple[str, ...]) -> None:
        self.letters = letters
        super().__init__("no typeface has the letters " + " ".join(f"U+{ord(letter):04X}" for letter in letters))


@dataclass(frozen=True, slots=True)
class Setting:
    """How the press is set: accessible (PDF/UA-1) or plain, with the typefaces of this machine or only those that Typst brings."""

    accessible: bool = True
    machine_faces: bool = False


SETTINGS = (Setting(), Setting(machine_faces=True), Setting(accessible=False, machine_faces=True))
"""Tried one after another: the first gives the same bytes on every machine; the others only where letters are missing in it."""


def press(template: str, data: Mapping[str, Any], when: datetime, setting: Setting = SETTINGS[0]) -> bytes:
    """Print a template of this package with this data.

    Parameters: template (file name in the package), data (JSON values; the template reads it as `sys.inputs.sheet`, so no
    text in it can become markup or code), when (written into the file as its date). Result: the PDF.
    Errors: MissingLettersError where an accessible print would show boxes for letters, PrintError for anything else.
    """
    import typst

    try:
        made = typst.compile(
            _template(template),
            sys_inputs={"sheet": _as_json(data)},
            format="pdf",
            ignore_system_fonts=not setting.machine_faces,
            pdf_standards=[_ACCESSIBLE] if setting.accessible else [],
            timestamp=int(_in_utc(when).timestamp()),
        )
    except typst.TypstError as error:
        missing = tuple(dict.fromkeys(letter for found in _NO_LETTER.findall(error.diagnostic) for letter in found))
        if missing:
            raise MissingLettersError(missing) from error
        raise _failed(error) from error
    if not isinstance(made, bytes):
        raise PrintError(f"the press gave {type(made).__name__} where one PDF was wanted")
    return made


def press_with_letters(template: str, made: Callable[[str], Mapping[str, Any]], when: datetime) -> bytes:
    """Print a template with all its letters: with the faces that Typst brings if they do, else with those of the machine.

    `made` gives the data, with a footnote about letters that are printed as boxes; it is empty in a print that shows none.
    Errors: PrintError where the press fails.
    """
    missing: tuple[str, ...] = ()
    for setting in SETTINGS:
        # Only a print that may show boxes says so: typefaces of the machine may have had the letters.
        note = "" if setting.accessible else missing_letters(missing)
        try:
            return press(template, made(note), when, setting)
        except MissingLettersError as error:
            missing = error.letters
    raise PrintError(f"the sheet could not be printed: no typeface has {' '.join(missing)}")


def measured(template: str, data: Mapping[str, Any]) -> Any:
    """What a template answers when it is asked to measure: the value that it labels <measured>."""
    return json.loads(_answer(template, _as_json(data)))


@lru_cache(maxsize=16)
def _answer(template: str, sheet: str) -> str:
    """To measure takes ten times as long as to print: what is printed again soon was measured already."""
    import typst

    try:
        return typst.query(
            _template(template),
            "<measured>",
            field="value",
            one=True,
            sys_inputs={"sheet": sheet},
            ignore_system_fonts=True,
        )
    except (typst.TypstError, RuntimeError) as error:
        raise _failed(error) from error


def _failed(error: Exception) -> PrintError:
    said = str(getattr(error, "message", "") or error).strip() or type(error).__name__
    hints = "; ".join(getattr(error, "hints", None) or ())
    return PrintError(
        f"the sheet could not be printed: {said}"
        + (f" ({hints})" if hints else "")
        + ". This is a fault of Pullwright, not of the line file: please tell its makers."
    )


@lru_cache
def _template(name: str) -> bytes:
    return (files("pullwright.paper") / name).read_bytes()


def _as_json(data: Mapping[str, Any]) -> str:
    return json.dumps(data, ensure_ascii=False, allow_nan=False)


def _in_utc(when: datetime) -> datetime:
    """A time without a zone counts as UTC, so that the bytes do not depend on where the machine stands."""
    return when.replace(tzinfo=UTC) if when.tzinfo is None else when
