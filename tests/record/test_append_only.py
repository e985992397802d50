"""What was written stays: the database itself refuses to change or remove it, whoever asks."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import psycopg
import pytest

from pullwright.record import NewNote, Record, RecordError
from pullwright.record.tables import metadata

Plain = Callable[[str], AbstractContextManager[Any]]
COLUMN = {
    "lines": "key",
    "revisions": "text",
    "titles": "title",
    "settings": "value",
    "lines_away": "why",
    "files": "name",
    "file_parts": "content",
    "sheets": "body",
    "notes": "body",
}
"""Every table, with a column that a forger would like to change."""


@pytest.fixture
def written(where: str, tmp_path: Path) -> str:
    """A record with two rows in every table."""
    log = tmp_path / "log.csv"
    log.write_text("part,start\n")
    with Record.open(where) as record:
        for key in ("hone", "turn"):
            record.add_line(key, "A title", "some text", "A. Weber", "counted")
            record.set_setting("wall.distance", 15, "A. Weber")
            record.put_line_away(key, "A. Weber", "not run any more")
            sheet = record.begin_sheet("log", "A log", {}, "A. Weber", line=key, file=("log.csv", log)).key
            record.write_notes(sheet, [NewNote(f"uid-{key}", "mark", {}, "A. Weber", datetime(2024, 5, 2, tzinfo=UTC))])
    return where


def _rows(connection: Any, table: str) -> list[Any]:
    return list(connection.execute(f"SELECT * FROM {table} ORDER BY id").fetchall())  # noqa: S608


def test_no_table_is_left_out_here() -> None:
    assert set(COLUMN) == set(metadata.tables)


@pytest.mark.parametrize(
    "change",
    [
        "UPDATE {table} SET {column} = 'forged'",
        "UPDATE {table} SET {column} = 'forged' WHERE id = 1",
        "DELETE FROM {table}",
        "DELETE FROM {table} WHERE id = 2",
    ],
)
def test_change_and_removal_are_refused_and_leave_every_row(written: str, past_the_record: Plain, change: str) -> None:
    with past_the_record(written) as connection:
        for table, column in COLUMN.items():
            before = _rows(connection, table)
            with pytest.raises(
                (sqlite3.IntegrityError, psycopg.errors.RestrictViolation),
                match=f"{table} are only ever added, never changed or removed",
            ):
                connection.execute(change.format(table=table, column=column))

            assert len(before) == 2
            assert _rows(connection, table) == before


def test_emptying_a_table_on_the_server_is_refused(postgresql: Any, past_the_record: Plain) -> None:
    where = postgresql.new_database()
    Record.open(where).close()

    with past_the_record(where) as connection:
        for table in COLUMN:
            with pytest.raises(psycopg.errors.RestrictViolation, match="only ever added"):
                connection.execute(f"TRUNCATE {table} CASCADE")


@pytest.mark.parametrize(
    "replacement",
    [
        "INSERT OR REPLACE INTO revisions SELECT id, line_id, number, 'forged', who, at, why FROM revisions",
        "INSERT OR REPLACE INTO revisions (line_id, number, text, who, at, why) "
        "SELECT line_id, number, 'forged', who, at, why FROM revisions",
        "INSERT OR REPLACE INTO lines (key) VALUES ('hone')",
        "INSERT OR REPLACE INTO titles SELECT id, line_id, 'forged', who, at, why FROM titles",
        "REPLACE INTO settings SELECT id, name, '99', who, at FROM settings",
    ],
)
def test_replacing_a_row_of_the_file_by_inserting_is_refused(
    file_record: Record, past_the_record: Plain, replacement: str
) -> None:
    first = file_record.add_line("hone", "Honing", "one", "A. Weber", "")
    file_record.set_setting("wall.distance", 15, "A. Weber")

    with (
        past_the_record(file_record.url_for_people) as connection,
        pytest.raises(sqlite3.IntegrityError, match="only ever added"),
    ):
        connection.execute(replacement)

    assert file_record.revisions("hone") == (first,)
    assert file_record.setting("wall.distance") == 15


def test_replacing_a_row_about_sheets_by_inserting_is_refused(tmp_path: Path, past_the_record: Plain) -> None:
    where, log = tmp_path / "shop.db", tmp_path / "log.csv"
    log.write_text("part,start\n")
    with Record.open(where) as record:
        record.add_line("hone", "Honing", "one", "A. Weber", "")
        record.put_line_away("hone", "A. Weber", "")
        record.begin_sheet("log", "A log", {}, "A. Weber", file=("log.csv", log))
        record.strike("log-1", "A. Weber", "")

    with past_the_record(str(where)) as connection:
        for columns in (
            "lines_away (id, line_id, away, who, at, why)",
            "files (id, name, size, digest)",
            "file_parts (id, file_id, number, content)",
            "file_parts (file_id, number, content)",
            "sheets (id, key, kind, title, body, who, at)",
            "sheets (key, kind, title, body, who, at)",
            "notes (id, sheet_id, number, uid, kind, body, who, taken, at)",
            "notes (sheet_id, number, uid, kind, body, who, taken, at)",
        ):
            table, _, names = columns.rstrip(")").partition(" (")
            before = _rows(connection, table)
            with pytest.raises(sqlite3.IntegrityError, match=f"{table} are only ever added"):
                connection.execute(f"REPLACE INTO {columns} SELECT {names} FROM {table}")  # noqa: S608
            assert _rows(connection, table) == before


def test_number_of_a_revision_is_given_once(written: str, past_the_record: Plain) -> None:
    with (
        past_the_record(written) as connection,
        pytest.raises((sqlite3.IntegrityError, psycopg.errors.UniqueViolation)),
    ):
        connection.execute(
            "INSERT INTO revisions (line_id, number, text, who, at, why) "
            "SELECT line_id, number, 'another', who, at, why FROM revisions WHERE id = 1"
        )


def test_unique_numbers_do_not_hang_on_the_guards_alone(written: str, past_the_record: Plain) -> None:
    with past_the_record(written) as connection:
        if "://" not in written:
            connection.execute("DROP TRIGGER revisions_never_replace")
        with pytest.raises((sqlite3.IntegrityError, psycopg.errors.UniqueViolation), match=r"(?i)unique"):
            connection.execute(
                "INSERT INTO revisions (line_id, number, text, who, at, why) "
                "SELECT line_id, number, 'another', who, at, why FROM revisions WHERE id = 1"
            )


def test_numbers_of_revisions_start_at_one(written: str, past_the_record: Plain) -> None:
    with past_the_record(written) as connection, pytest.raises((sqlite3.IntegrityError, psycopg.errors.CheckViolation)):
        connection.execute(
            "INSERT INTO revisions (line_id, number, text, who, at, why) "
            "SELECT line_id, 0, 'another', who, at, why FROM revisions WHERE id = 1"
        )


def test_record_keeps_no_revision_of_a_line_that_is_not_there(record: Record) -> None:
    with pytest.raises(RecordError, match=r"(?i)foreign key"), record._writing() as connection:
        connection.exec_driver_sql(
            "INSERT INTO revisions (line_id, number, text, who, at, why) "
            "VALUES (77, 1, 'one', 'A. Weber', '2024-05-02 08:30:00', '')"
        )


def test_adding_goes_on_under_the_guards(written: str) -> None:
    with Record.open(written) as record:
        record.revise("hone", "another text", "B. Roth", "", based_on=1)

        assert [each.text for each in record.revisions("hone")] == ["some text", "another text"]
