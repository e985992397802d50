"""How a text file writes its table: the encoding, what parts the cells, and whether its lines are plain enough to be read fast."""

from __future__ import annotations

import codecs
import csv
import io
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from pullwright.watch.log.faults import LogError
from pullwright.watch.log.limits import LOG_LIMITS

DELIMITERS: dict[str, str] = {
    "\t": "tabs", ";": "semicolons", "|": "pipes", ",": "commas", "^": "carets", "~": "tildes", "\x1f": "unit separators",
}  # fmt: skip
"""What may part the cells and its words, the surer ones first: commas also stand before decimals and in sentences."""
CHUNK = 8_000_000
COUNTED = 500_000
"""Bytes that are counted at once: few enough to stay near the processor."""
_BOMS = ((codecs.BOM_UTF8, "utf-8-sig"), (codecs.BOM_UTF16_LE, "utf-16"), (codecs.BOM_UTF16_BE, "utf-16"))
_WORDS = {"utf-8": "UTF-8", "utf-8-sig": "UTF-8", "utf-16": "UTF-16", "utf-16-le": "UTF-16", "utf-16-be": "UTF-16", "cp1252": "Windows-1252"}  # fmt: skip
_WESTERN = frozenset("äöüÄÖÜßéèêëàâáçñóòôíìîïúùûåÅøØæÆœ€°µ²³½–—’‘“”…±§·®×«»ºª¿¡ÉÈÀÑÓÍÚÇ\xa0\xad")


@dataclass(frozen=True, slots=True)
class Lines:
    """What one pass over the bytes of a file showed."""

    encoding: str
    newlines: int
    quotes: int
    ends_with_newline: bool
    returns: int
    delimiters: dict[str, int]

    @property
    def words(self) -> str:
        """The encoding in words."""
        return _WORDS.get(self.encoding, self.encoding)


def scan(path: Path, name: str) -> Lines:
    """Go over all bytes once. Errors: LogError where zero bytes stand in it, as they never do in a table of text."""
    with path.open("rb") as file:
        head = file.read(64_000)
    encoding = next((encoding for bom, encoding in _BOMS if head.startswith(bom)), "") or _wide(head)
    wide = encoding.startswith("utf-16")
    decoder = codecs.getincrementaldecoder("utf-8")()
    utf8, newlines, quotes, returns, last = not wide, 0, 0, 0, b""
    marks = {mark: 0 for mark in DELIMITERS if mark.encode() in head}
    high = bytearray()
    with path.open("rb") as file:
        while chunk := file.read(COUNTED):
            if not wide and (at := chunk.find(b"\0")) >= 0:
                row = newlines + chunk.count(b"\n", 0, at) + 1
                raise zero_byte(name, row)
            signs = np.frombuffer(chunk, np.uint8)
            newlines += int(np.count_nonzero(signs == 10))
            quotes += chunk.count(b'"')
            returns += chunk.count(b"\r")
            for mark in marks:
                marks[mark] += int(np.count_nonzero(signs == ord(mark)))
            if not chunk.isascii() and not wide:
                if utf8:
                    try:
                        decoder.decode(chunk)
                    except UnicodeDecodeError:
                        utf8 = False
                if len(high) < 200_000:
                    high += b"\n".join(line for line in chunk.split(b"\n") if not line.isascii())[:200_000]
            last = chunk[-1:]
    if utf8:
        try:
            decoder.decode(b"", final=True)
        except UnicodeDecodeError:
            utf8 = False
    if not wide and not utf8:
        encoding = _narrow(bytes(high))
    return Lines(encoding, newlines, quotes, last == b"\n", returns, marks)


def zero_byte(name: str, row: int) -> LogError:
    """What to say of a byte that never stands in a table of text."""
    todo = "export the log again; the file is damaged or no table"
    return LogError("a zero byte", "text", todo, file=name, row=row)


def _wide(head: bytes) -> str:
    """UTF-16 without its mark: every second byte of plain letters is zero."""
    odd, even = head[1::2].count(0), head[0::2].count(0)
    half = max(1, len(head) // 2)
    if odd > 0.4 * half and even < 0.05 * half:
        return "utf-16-le"
    return "utf-16-be" if even > 0.4 * half and odd < 0.05 * half else "utf-8"


def _narrow(sample: bytes) -> str:
    """The encoding of one byte a character that makes letters of these bytes."""
    text = sample.decode("cp1252", "replace")
    high = [letter for letter in text if ord(letter) > 127]
    if high and sum(letter in _WESTERN for letter in high) >= 0.98 * len(high):
        return "cp1252"
    from charset_normalizer import from_bytes

    best = from_bytes(sample[:60_000], cp_isolation=["cp1252", "cp1250", "cp1251", "cp850", "cp437", "mac_roman", "iso8859_15", "iso8859_2", "cp1253", "cp1254"]).best()  # fmt: skip
    return best.encoding if best else "latin-1"


def head_rows(text: str, mark: str) -> list[list[str]]:
    """The cells of the first rows of a text."""
    try:
        return list(csv.reader(io.StringIO(text, newline=""), delimiter=mark))
    except csv.Error:
        return [line.split(mark) for line in text.splitlines()]


def delimiter_of(text: str) -> str:
    """What parts the cells in the first rows of a text? A comma where nothing does.

    The mark that gives most rows the same number of cells; of several, the one that is seldom written inside a cell.

    >>> delimiter_of("Auftrag;Zeit;Menge\\nA 1;2,5;3\\nA 2;3,5;4\\n"), delimiter_of("a,b\\n1;2,3\\n")
    (';', ',')
    """
    if text[:4].lower() == "sep=" and text[4:5] in DELIMITERS:
        return text[4]
    best, best_score = ",", 0.0
    for rank, mark in enumerate(DELIMITERS):
        if mark not in text:
            continue
        widths = [len(row) for row in head_rows(text, mark) if row]
        several = Counter(width for width in widths if width > 1)
        if not several:
            continue
        width, count = max(several.items(), key=lambda one: (one[1], one[0]))
        share = count / len(widths)
        score = share + (0.3 if widths[0] == width else 0.0) - 0.04 * rank + 0.01 * min(width, 30)
        if score > best_score:
            best, best_score = mark, score
    return best


def first_text(path: Path, encoding: str, name: str) -> str:
    """The text of the first rows of a file, cut at the end of a line. Errors: LogError where a row has no end."""
    most = LOG_LIMITS["line"].most
    with path.open("rb") as file:
        head = file.read(most + 1)
    text = codecs.getincrementaldecoder(encoding)("replace").decode(head)
    if len(head) <= most:
        return text
    cut = max(text.rfind("\n"), text.rfind("\r"))
    if cut < 0:
        many = max(text.count(mark) for mark in DELIMITERS)
        if many > LOG_LIMITS["columns"].most:
            raise LogError(f"a row that goes on after {many:,} columns", f"up to {LOG_LIMITS['columns'].words}", "leave out those that are not needed; or are all bookings in one row?", file=name, row=1)  # fmt: skip
        raise LogError("a row that does not end", LOG_LIMITS["line"].words, "export the log with one row a booking", file=name, row=1)  # fmt: skip
    return text[: cut + 1]
