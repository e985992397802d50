"""From a file on disk to what the study in it says: the one reader of files of this room."""

from __future__ import annotations

from pathlib import Path

from pullwright.watch.study.csv_file import LONGEST, read_csv
from pullwright.watch.study.faults import FileFault, StudyFileError
from pullwright.watch.study.result import StudyResult, study_result


def study_file_report(path: Path | str) -> StudyResult:
    """What does the study in this CSV say?

    Parameters: `path` of a file in one of the two forms of `csv_file.read_csv`, in UTF-8, UTF-16 with its mark, or Windows-1252.
    Errors: `StudyFileError` with every fault of the file; `OSError` where it cannot be opened.
    """
    file = Path(path)
    return study_result(read_csv(text_of_bytes(file.read_bytes(), file.name), file.name))


def text_of_bytes(read: bytes, name: str) -> str:
    """The text of a file, whichever usual way its letters were written. Errors: `StudyFileError` where it is no text.

    >>> text_of_bytes("Maß;fügen".encode("cp1252"), "study.csv")
    'Maß;fügen'
    """
    if len(read) > 4 * LONGEST:
        raise StudyFileError(name, [FileFault(1, 0, "", "the file", "is too large", f"up to {LONGEST:,} signs", "")])
    marks = (b"\xff\xfe", b"\xfe\xff")
    ways = ("utf-16",) if read.startswith(marks) else ("utf-8-sig", "cp1252")
    for way in ways:
        try:
            return read.decode(way)
        except UnicodeDecodeError:
            continue
    fault = FileFault(1, 0, "", "the file", "is no text", "a CSV in UTF-8", "save the table as CSV (UTF-8)")
    raise StudyFileError(name, [fault])
