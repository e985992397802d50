"""The page about the record: its examples run, and its tables say what the program does."""

from __future__ import annotations

import doctest
from pathlib import Path

import pytest

import pullwright.record
from pullwright.record import RecordError
from pullwright.record.limits import FILE_BYTES, LIMITS, NOTES_AT_ONCE

PAGE = Path(__file__).parents[2] / "docs" / "record.md"
ROWS = {
    "setting name": "name of a setting",
    "setting value": "value of a setting",
    "sheet body": "body of a sheet",
    "note uid": "uid of a note",
    "note kind": "kind of a note",
    "note body": "body of a note",
    "file name": "name of a file",
}


def test_examples_of_the_page_run_as_they_stand(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)

    result = doctest.testfile(str(PAGE), module_relative=False, encoding="utf-8")

    assert result.attempted >= 10
    assert result.failed == 0


def test_sizes_on_the_page_are_those_of_the_table() -> None:
    page = PAGE.read_text("utf-8")
    for field, limit in LIMITS.items():
        (row,) = [
            line
            for line in page.splitlines()
            if line.startswith(f"| {ROWS.get(field, field)} | ") and limit.counted_in in line
        ]
        assert f" {limit.most:,} {limit.counted_in}" in row


def test_sizes_of_files_and_calls_stand_on_the_page() -> None:
    page = PAGE.read_text("utf-8")
    assert f"| a file | up to {FILE_BYTES:,} bytes" in page
    assert f"| notes in one call | up to {NOTES_AT_ONCE:,} |" in page


def test_every_error_stands_on_the_page() -> None:
    page = PAGE.read_text("utf-8")
    named = [getattr(pullwright.record, name) for name in pullwright.record.__all__]
    for error in named:
        if isinstance(error, type) and issubclass(error, RecordError):
            assert f"`{error.__name__}`" in page
