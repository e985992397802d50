"""Files that are handed in with a sheet: kept whole, in compressed parts, and checked against their digest when read."""

from __future__ import annotations

import hashlib
import os
import tempfile
import zlib
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from sqlalchemy import Connection, insert, select

from pullwright.record.address import read_address
from pullwright.record.entries import KeptFile
from pullwright.record.errors import InvalidEntry, NoFile, RecordDamaged
from pullwright.record.limits import FILE_BYTES, checked
from pullwright.record.sheets import sheet_id
from pullwright.record.tables import file_parts, files, sheets
from pullwright.record.trouble import told_in_words

PART_BYTES = 1_000_000
"""How much of a file is kept in one part, before it is compressed."""
LEVEL = 1
"""How hard zlib tries: the quickest, which makes tables a fifth or less and hardly keeps anybody waiting."""


@dataclass(frozen=True, slots=True)
class Prepared:
    """A file that is read, compressed and ready to be kept: `lengths` are those of its parts in `content`, in bytes."""

    file: KeptFile
    content: IO[bytes]
    lengths: tuple[int, ...]


@contextmanager
def prepared(name: str, path: Path) -> Iterator[Prepared]:
    """Read and compress a file before anybody has to wait for a lock."""
    name, digest, size, lengths = checked("file name", name), hashlib.sha256(), 0, []
    with tempfile.TemporaryFile() as content:
        try:
            with path.open("rb") as source:
                while piece := source.read(PART_BYTES):
                    size += len(piece)
                    _refuse_too_large(max(size, os.fstat(source.fileno()).st_size))
                    digest.update(piece)
                    lengths.append(content.write(zlib.compress(piece, LEVEL)))
        except OSError as error:
            if error.filename is None:
                raise
            read = f"{str(path)!r} ({error.strerror})"
            raise InvalidEntry("file", read, "a file that can be read", "Check that it is there.") from error
        content.seek(0)
        yield Prepared(KeptFile(name, size, digest.hexdigest()), content, tuple(lengths))


def keep(connection: Connection, ready: Prepared) -> int:
    """Keep a file and all its parts; give its number in the database."""
    file = ready.file
    values = {"name": file.name, "size": file.size, "digest": file.digest}
    kept: int = connection.execute(insert(files).values(**values).returning(files.c.id)).scalar_one()
    for number, length in enumerate(ready.lengths, start=1):
        part = ready.content.read(length)
        connection.execute(insert(file_parts).values(file_id=kept, number=number, content=part))
    return kept


def of_sheet(connection: Connection, key: str) -> tuple[int, KeptFile] | None:
    """The file of a sheet and its number in the database; None when there is none."""
    wanted = select(files.c.id, files.c.name, files.c.size, files.c.digest).join(sheets, sheets.c.file_id == files.c.id)
    row = connection.execute(wanted.where(sheets.c.id == sheet_id(connection, key))).one_or_none()
    return None if row is None else (row[0], KeptFile(*row[1:]))


def read(reading: Callable[[], AbstractContextManager[Connection]], key: str) -> Iterator[bytes]:
    """Give the content of a sheet's file, part by part; the last part only when the whole is what was handed in."""
    with reading() as connection:
        found = of_sheet(connection, key)
    if found is None:
        raise NoFile(key)
    return _parts(reading, key, *found)


def write_to(reading: Callable[[], AbstractContextManager[Connection]], key: str, path: Path) -> Path:
    """Write the content to a new file, which gets its name only when all of it is there and right."""
    target, content = path.absolute(), read(reading, key)
    if target.exists():
        raise InvalidEntry("file", repr(str(target)), "the name of a new file", "It was left as it is; name another.")
    with told_in_words(read_address(target)):
        number, name = tempfile.mkstemp(prefix=f"{target.name}.", suffix=".part", dir=target.parent)
        part = Path(name)
        try:
            with os.fdopen(number, "wb") as out:
                out.writelines(content)
            part.replace(target)
        finally:
            part.unlink(missing_ok=True)
    return target


def _parts(
    reading: Callable[[], AbstractContextManager[Connection]], key: str, file: int, kept: KeptFile
) -> Iterator[bytes]:
    digest, size, number, held = hashlib.sha256(), 0, 0, b""
    # Each part is read for itself, so that a reader who stops halfway keeps no connection; parts never change.
    while size < kept.size:
        number += 1
        with reading() as connection:
            row = file_parts.c
            part = connection.scalar(select(row.content).where(row.file_id == file, row.number == number))
        if part is None:
            raise _damaged(key, kept, f"part {number} is missing")
        try:
            piece = zlib.decompress(part)
        except zlib.error as error:
            raise _damaged(key, kept, f"part {number} cannot be read") from error
        if not piece:
            raise _damaged(key, kept, f"part {number} is empty")
        if held:
            yield held
        held = piece
        digest.update(piece)
        size += len(piece)
    if (size, digest.hexdigest()) != (kept.size, kept.digest):
        raise _damaged(key, kept, "its content does not match its digest")
    if held:
        yield held


def _damaged(key: str, kept: KeptFile, what: str) -> RecordDamaged:
    return RecordDamaged(
        f"The file {kept.name!r} of the sheet {key!r} is damaged in the record: {what}. "
        "Do not use what was read of it; put the latest good backup in the record's place."
    )


def _refuse_too_large(size: int) -> None:
    if size > FILE_BYTES:
        remedy = "Hand in a shorter span of time, or fewer columns."
        raise InvalidEntry("file", f"{size:,} bytes", f"at most {FILE_BYTES:,} bytes", remedy)
