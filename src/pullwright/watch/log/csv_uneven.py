"""Puts the rows of a table of text right that do not match its header, so that the whole can be read at once.

Rows that have as many cells as the header are copied as they stand; only the others are looked at one by one.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from pullwright.watch.log.csv_dialect import DELIMITERS
from pullwright.watch.log.limits import LOG_LIMITS

CHUNK = 1_000_000
"""Bytes that are looked at at once: few enough to stay near the processor."""
_QUOTE, _NEWLINE, _RETURN = 34, 10, 13


@dataclass
class Misfits:
    """How many rows did not match their header, and in which way?"""

    blank: int = 0
    short: int = 0
    long: int = 0
    mixed: int = 0

    def fitted(self, cells: list[str], mark: str, width: int) -> list[str] | None:
        """The cells of a row made as many as there are columns; None where nothing stands in it."""
        if not cells or (len(cells) == 1 and not cells[0].strip() and width > 1):
            self.blank += 1
            return None
        if len(cells) == 1 and width > 1:
            other = next((m for m in DELIMITERS if m != mark and cells[0].count(m) == width - 1), None)
            if other:
                self.mixed += 1
                return cells[0].split(other)
        if len(cells) < width:
            self.short += 1
            return cells + [""] * (width - len(cells))
        if len(cells) > width and any(cell.strip() for cell in cells[width:]):
            self.long += 1
        return cells[:width]

    def said(self, mark: str) -> list[str]:
        """The same in sentences."""
        told = (
            (self.blank, "empty and left out"),
            (self.short, "shorter than the header; the missing cells are empty"),
            (self.long, "longer than the header; the cells without a name are left out"),
            (self.mixed, f"parted by something else than {DELIMITERS[mark]}"),
        )
        return [f"{count:,} {'row is' if count == 1 else 'rows are'} {words}." for count, words in told if count]


@dataclass
class Evened:
    """What was written: the rows of the file that are in it (as a spreadsheet counts them), and what did not fit."""

    misfits: Misfits = field(default_factory=Misfits)
    rows: list[NDArray[np.uint32]] = field(default_factory=list)


def is_even(path: Path, mark: str, width: int, skip: int) -> bool:
    """Has each row of a UTF-8 file after the first `skip` as many cells? Also False where only a slow look tells."""
    row = 0
    for block in _blocks(path, mark):
        if block is None or np.any((block.cells != width)[max(skip - row, 0) :]):
            return False
        row += block.ends.size
    return True


def evened(path: Path, target: Path, mark: str, width: int, skip: int) -> Evened | None:
    """Write the rows of a UTF-8 file after the first `skip`, each with `width` cells; None where only a slow look tells its cells.

    Rows end with a newline, with or without a return before it. A quotation mark stands around a whole cell, or twice inside one;
    a file in which it does not is not for this.
    """
    found, row = Evened(), 0
    with target.open("wb") as out:
        for block in _blocks(path, mark):
            if block is None or not _written(block, out, found, mark, width, row, skip):
                return None
            row += block.ends.size
    return found


@dataclass(frozen=True)
class _Block:
    """Whole rows of a file: their bytes, where each ends, and how many cells it has."""

    text: bytes
    ends: NDArray[np.int64]
    cells: NDArray[np.int64]


def _blocks(path: Path, mark: str) -> Iterator[_Block | None]:
    """The rows of a file, a block at a time; None, and nothing more, where only a slow look tells its cells."""
    rest, fresh = b"", True
    with path.open("rb") as source:
        while True:
            chunk = source.read(CHUNK)
            text = (rest + chunk).removeprefix(b"\xef\xbb\xbf") if fresh else rest + chunk
            fresh = fresh and not chunk
            if not chunk and text and not text.endswith(b"\n"):
                text += b"\n"
            if not text:
                return
            parted = _parted(text, mark)
            if parted is None:
                yield None
                return
            if parted[0].size:
                yield _Block(text, *parted)
                rest = text[int(parted[0][-1]) + 1 :]
            else:
                rest = text
            if len(rest) > LOG_LIMITS["line"].most or (not chunk and rest):
                yield None
                return


def _parted(block: bytes, mark: str) -> tuple[NDArray[np.int64], NDArray[np.int64]] | None:
    """Where each whole row of a block ends, and how many cells it has. The block begins with a row."""
    signs = np.frombuffer(block, np.uint8)
    ends, marks = np.flatnonzero(signs == _NEWLINE), np.flatnonzero(signs == ord(mark))
    quotes = np.flatnonzero(signs == _QUOTE)
    if quotes.size:
        opening, closing = quotes[0::2], quotes[1::2]
        before = signs[np.maximum(opening - 1, 0)]
        after = signs[np.minimum(closing + 1, signs.size - 1)]
        fine = np.zeros(256, bool)
        fine[[ord(mark), _NEWLINE, _QUOTE]] = True
        begins_well = (opening == 0) | fine[before]
        fine[_RETURN] = True
        ends_well = (closing == signs.size - 1) | fine[after]
        if not (begins_well.all() and ends_well.all()):
            return None
        inside = np.logical_xor.accumulate(signs == _QUOTE)
        ends, marks = ends[~inside[ends]], marks[~inside[marks]]
    cells = np.diff(np.searchsorted(marks, ends), prepend=0) + 1
    return ends, cells


def _written(block: _Block, out: io.BufferedWriter, found: Evened, mark: str, width: int, row: int, skip: int) -> bool:
    """Write the rows of a block; False where a cell is too long."""
    text, ends = block.text, block.ends
    begins = np.append(0, ends[:-1] + 1)
    bare = ends - begins
    if bare.max() > LOG_LIMITS["cell"].most:
        return False
    signs = np.frombuffer(text, np.uint8)
    empty = (bare == 0) | ((bare == 1) & (signs[begins] == _RETURN))
    first = min(max(skip - row, 0), ends.size)
    kept = np.ones(ends.size, bool)
    kept[:first] = False
    odd = np.flatnonzero((block.cells != width) | empty)
    odd = odd[odd >= first]
    pieces: list[bytes] = []
    copied = int(begins[first]) if first < ends.size else len(text)
    for k, begin, end in zip(odd.tolist(), begins[odd].tolist(), ends[odd].tolist(), strict=True):
        pieces.append(text[copied:begin])
        copied = end + 1
        line = text[begin:end].removesuffix(b"\r").decode()
        quoted = '"' in line
        cells = next(csv.reader(io.StringIO(line, newline=""), delimiter=mark)) if quoted else line.split(mark)
        fitted = found.misfits.fitted(cells if line else [], mark, width)
        if fitted is None:
            kept[k] = False
        else:
            pieces.append(f"{_quoted(fitted, mark) if quoted else mark.join(fitted)}\n".encode())
    if first < ends.size:
        pieces.append(text[copied : int(ends[-1]) + 1])
    out.write(b"".join(pieces))
    found.rows.append((np.flatnonzero(kept) + row + 1).astype(np.uint32))
    return True


def _quoted(cells: list[str], mark: str) -> str:
    """A row as text, each of its cells in quotation marks."""
    return mark.join(f'"{cell.replace(chr(_QUOTE), chr(_QUOTE) * 2)}"' for cell in cells)
