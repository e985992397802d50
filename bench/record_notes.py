"""How long does it take to keep notes and files, beside plain sqlite3 that inserts the same rows just as safely?

The plain side writes the same columns into a table without guards, digest or checks, one transaction a call, with the
same write-ahead log and the same flush of the disk at every save. A file goes in as one blob there.
"""

from __future__ import annotations

import json
import sqlite3
import tempfile
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime
from itertools import count
from pathlib import Path
from random import Random
from time import perf_counter

from bench.timing import Row, row
from pullwright.record import NewNote, Record

ROUNDS = 7
NOTES = 20
FILE_BYTES = 10_000_000
TAKEN = datetime(2026, 5, 4, 8, 30, tzinfo=UTC)


def measure() -> list[Row]:
    """Milliseconds of each side, and ours as a multiple of the plain one of the same round."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        log = place / "log.csv"
        log.write_bytes(_table(FILE_BYTES))
        with Record.open(place / "shop.db") as record, closing(_plain(place / "plain.db")) as plain:
            record.begin_sheet("study", "Honing", {}, "A. Weber")
            return _measured(record, plain, log)


def _measured(record: Record, plain: sqlite3.Connection, log: Path) -> list[Row]:
    numbers = count()
    content = log.read_bytes()

    def noted() -> list[NewNote]:
        body = {"element": "hone", "s": 12.5}
        return [NewNote(f"uid-{next(numbers)}", "reading", body, "A. Weber", TAKEN) for _ in range(NOTES)]

    def one_by_one() -> None:
        for note in noted():
            record.write_notes("study-1", [note])

    def plain_one_by_one() -> None:
        for note in noted():
            _insert(plain, [note])

    def keep() -> None:
        record.begin_sheet("log", "Log", {}, "A. Weber", file=("log.csv", log))

    def plain_keep() -> None:
        _transaction(plain, lambda: plain.execute("INSERT INTO files (content) VALUES (?)", (log.read_bytes(),)))

    def read() -> None:
        if b"".join(record.read_file("log-1")) != content:
            raise AssertionError("another file came back")

    def plain_read() -> None:
        if plain.execute("SELECT content FROM files WHERE id = 1").fetchone()[0] != content:
            raise AssertionError("another file came back")

    acts: list[tuple[str, Callable[[], object], Callable[[], object]]] = [
        (f"write {NOTES} notes one by one", one_by_one, plain_one_by_one),
        (
            f"write {NOTES} notes in one call",
            lambda: record.write_notes("study-1", noted()),
            lambda: _insert(plain, noted()),
        ),
        ("keep a file of 10 MB", keep, plain_keep),
        ("read a file of 10 MB", read, plain_read),
    ]
    rows: list[Row] = []
    for what, ours, theirs in acts:
        pairs = [(_milliseconds(ours), _milliseconds(theirs)) for _ in range(ROUNDS + 1)][1:]  # the first warms up
        rows.append(row(what, [mine for mine, _ in pairs], "ms"))
        rows.append(row("the same with plain sqlite3", [bare for _, bare in pairs], "ms"))
        rows.append(row(f"{what} / plain sqlite3", [mine / bare for mine, bare in pairs], "x"))
    return rows


def _plain(path: Path) -> sqlite3.Connection:
    plain = sqlite3.connect(path, isolation_level=None)
    plain.execute("PRAGMA journal_mode = WAL")
    plain.execute("PRAGMA synchronous = FULL")
    plain.execute(
        "CREATE TABLE notes (id INTEGER PRIMARY KEY, uid TEXT UNIQUE, kind TEXT, body TEXT, who TEXT, taken TEXT)"
    )
    plain.execute("CREATE TABLE files (id INTEGER PRIMARY KEY, content BLOB)")
    return plain


def _insert(plain: sqlite3.Connection, notes: list[NewNote]) -> None:
    rows = [(note.uid, note.kind, json.dumps(note.body), note.who, note.taken.isoformat()) for note in notes]
    command = "INSERT INTO notes (uid, kind, body, who, taken) VALUES (?, ?, ?, ?, ?)"
    _transaction(plain, lambda: plain.executemany(command, rows))


def _transaction(plain: sqlite3.Connection, act: Callable[[], object]) -> None:
    plain.execute("BEGIN IMMEDIATE")
    act()
    plain.execute("COMMIT")


def _table(size: int) -> bytes:
    """A made-up log: rows of part, step, start and seconds."""
    rng, rows, length = Random(7), [b"part,step,start,s\n"], 18  # noqa: S311 - nothing secret
    while length < size:
        row = f"P{rng.randrange(10**6):06},S{rng.randrange(20):02},2026-05-04 {rng.randrange(24):02}:{rng.randrange(60):02},{rng.uniform(5, 90):.2f}\n"
        rows.append(row.encode())
        length += len(row)
    return b"".join(rows)[:size]


def _milliseconds(act: Callable[[], object]) -> float:
    start = perf_counter()
    act()
    return (perf_counter() - start) * 1000
