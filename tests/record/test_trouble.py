"""Disk full, no right to write, locked, damaged, no server: told in words with a remedy, and nothing is lost."""

from __future__ import annotations

import importlib
import os
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import psycopg
import pytest
from sqlalchemy import event
from sqlalchemy.exc import OperationalError

from pullwright.record import (
    CannotOpen,
    Record,
    RecordBusy,
    RecordDamaged,
    RecordError,
    RecordFull,
    RecordReadOnly,
    RecordUnreachable,
)
from pullwright.record.address import read_address
from pullwright.record.trouble import TROUBLES, explained

LARGE = "x" * 1_000_000

SAVES_UNTIL_THE_FILE_MAY_NOT_GROW = """
import resource, sys
from pullwright.record import Record, RecordError
with Record.open(sys.argv[1]) as record:
    resource.setrlimit(resource.RLIMIT_FSIZE, (500_000, 500_000))
    try:
        record.revise("hone", "x" * 1_000_000, "A. Weber", "", based_on=1)
    except RecordError as error:
        print(type(error).__name__, error, flush=True)
"""


@pytest.fixture
def hone(where: str) -> str:
    with Record.open(where) as record:
        record.add_line("hone", "Honing", "one", "A. Weber", "")
    return where


def _nothing_is_lost(where: str | Path) -> bool:
    with Record.open(where) as record:
        kept = [each.text for each in record.revisions("hone")]
        going_on = record.revise("hone", "goes on", "B. Roth", "", based_on=1)
    return (kept, going_on.number) == (["one"], 2)


def test_full_disk_under_the_file_keeps_nothing_half(tmp_path: Path) -> None:
    with Record.open(tmp_path / "shop.db") as record:
        record.add_line("hone", "Honing", "one", "A. Weber", "")

        @event.listens_for(record._engine, "begin")
        def no_more_pages(connection: Any) -> None:
            connection.exec_driver_sql("PRAGMA max_page_count = 20")  # SQLite then answers as on a full disk

        with pytest.raises(RecordFull, match=r"No room is left for .*shop\.db.*still there.*Free some space.*full"):
            record.revise("hone", LARGE, "A. Weber", "", based_on=1)
        assert [each.text for each in record.revisions("hone")] == ["one"]

    assert _nothing_is_lost(tmp_path / "shop.db")


def test_file_that_the_system_lets_grow_no_more_keeps_nothing_half(
    tmp_path: Path, another_program: Callable[..., Any]
) -> None:
    place = str(tmp_path / "shop.db")
    with Record.open(place) as record:
        record.add_line("hone", "Honing", "one", "A. Weber", "")

    said = another_program(SAVES_UNTIL_THE_FILE_MAY_NOT_GROW, place).says()

    assert said.startswith("RecordDamaged The disk fails or is full under")
    assert "Check the disk and the room on it" in said
    assert _nothing_is_lost(place)


@pytest.mark.parametrize(
    ("state", "error"),
    [
        ("53100", RecordFull),
        ("25006", RecordReadOnly),
        ("42501", RecordReadOnly),
        ("40001", RecordBusy),
        ("57014", RecordBusy),
        ("58030", RecordDamaged),
        ("XX001", RecordDamaged),
        ("57P01", RecordUnreachable),
        ("22012", RecordError),
    ],
)
def test_what_the_server_answers_becomes_words(
    postgresql: Any, past_the_record: Callable[[str], Any], state: str, error: type[RecordError]
) -> None:
    where = postgresql.new_database()
    with Record.open(where) as record:
        record.add_line("hone", "Honing", "one", "A. Weber", "")
        with past_the_record(where) as connection:
            connection.execute(
                "CREATE FUNCTION answers() RETURNS trigger LANGUAGE plpgsql AS "
                f"$$ BEGIN RAISE EXCEPTION 'the server said no' USING ERRCODE = '{state}'; END $$"
            )
            connection.execute(
                "CREATE TRIGGER answers BEFORE INSERT ON revisions FOR EACH ROW EXECUTE FUNCTION answers()"
            )

        with pytest.raises(RecordError, match="the server said no") as told:
            record.revise("hone", "two", "A. Weber", "", based_on=1)
        assert type(told.value) is error

        with past_the_record(where) as connection:
            connection.execute("DROP TRIGGER answers ON revisions")
    assert _nothing_is_lost(where)


def test_record_locked_by_another_program_is_told_after_the_wait_and_can_be_saved_later(
    hone: str, past_the_record: Callable[[str], Any]
) -> None:
    with Record.open(hone, wait_s=0.2) as record:
        with past_the_record(hone) as other:
            if "://" in hone:
                other.execute("BEGIN")
                other.execute("SELECT id FROM lines FOR UPDATE")
            else:
                other.execute("BEGIN EXCLUSIVE")
            with pytest.raises(RecordBusy, match=r"Another program keeps locked .*Save again in a moment"):
                record.revise("hone", "two", "A. Weber", "", based_on=1)
            assert record.revision("hone").text == "one"
            other.execute("ROLLBACK")

        assert record.revise("hone", "two", "A. Weber", "", based_on=1).number == 2


def test_new_record_locked_by_another_program_is_told(tmp_path: Path) -> None:
    place = tmp_path / "shop.db"
    with closing(sqlite3.connect(place, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        other.execute("CREATE TABLE t (x)")
        with pytest.raises(RecordBusy, match="Another program keeps locked"):
            Record.open(place, wait_s=0.2)
        other.execute("ROLLBACK")

    Record.open(place).close()


def test_folder_without_the_right_to_write_is_told(tmp_path: Path, someone_else: Callable[[], Any]) -> None:
    Record.open(tmp_path / "first.db").close()  # everything needed is read in while we still may

    with (
        someone_else() as folder,
        pytest.raises(RecordReadOnly, match=r"There is no right to write .*and to its folder"),
    ):
        Record.open(folder / "shop.db")


def test_record_in_a_folder_without_the_right_to_write_is_told_and_left_whole(
    tmp_path: Path, someone_else: Callable[[], Any]
) -> None:
    with Record.open(tmp_path / "first.db") as first:
        first.add_line("hone", "Honing", "one", "A. Weber", "")
    whole = (tmp_path / "first.db").read_bytes()
    root = os.geteuid() == 0

    with someone_else() as folder:
        place = folder / "shop.db"
        mine = os.geteuid()
        if root:
            os.seteuid(0)
        else:
            folder.chmod(0o755)
        place.write_bytes(whole)
        place.chmod(0o444)
        folder.chmod(0o555)
        if root:
            os.seteuid(mine)

        with pytest.raises((CannotOpen, RecordReadOnly), match=r"right to (read and )?write"):
            Record.open(place)

        assert place.read_bytes() == whole


def test_damaged_file_is_told_with_the_backup_as_remedy_and_left_as_it_is(tmp_path: Path) -> None:
    place = tmp_path / "shop.db"
    with Record.open(place) as record:
        record.add_line("hone", "Honing", LARGE, "A. Weber", "")
    damaged = place.read_bytes()[:100] + b"\xff" * 4096 + place.read_bytes()[4196:]
    place.write_bytes(damaged)

    with pytest.raises(RecordDamaged, match=r"the file is damaged: .*put the latest backup in its place"):
        Record.open(place)

    assert place.read_bytes() == damaged


def test_record_on_a_server_survives_that_its_sessions_are_ended(
    postgresql: Any, past_the_record: Callable[[str], Any]
) -> None:
    where = postgresql.new_database()
    with Record.open(where) as record:
        record.add_line("hone", "Honing", "one", "A. Weber", "")
        with past_the_record(where) as other:
            other.execute(
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity "
                "WHERE application_name = 'pullwright' AND datname = current_database()"
            )

        assert record.revision("hone").text == "one"


def test_no_free_connection_within_the_wait_is_told_as_busy(tmp_path: Path) -> None:
    with Record.open(tmp_path / "shop.db", wait_s=0.1) as record:
        taken = []
        try:
            with pytest.raises(RecordBusy):  # noqa: PT012  (how many there are is the pool's affair)
                for _ in range(100):
                    reading = record._reading()
                    reading.__enter__()
                    taken.append(reading)
        finally:
            for reading in taken:
                reading.__exit__(None, None, None)

        assert 1 < len(taken) < 100
        assert record.lines() == ()


def test_every_row_of_the_table_is_met_by_what_it_names() -> None:
    address = read_address("shop.db")
    for trouble in TROUBLES:
        for name in trouble.sqlite:
            cause = sqlite3.OperationalError("said")
            cause.sqlite_errorname = f"{name}_AND_MORE"
            assert type(explained(OperationalError("", None, cause), address)) is trouble.error
        for number in trouble.system:
            assert type(explained(OSError(number, "said"), address)) is trouble.error
        for state in trouble.postgresql:
            answer = psycopg.errors.lookup(state)("said") if len(state) == 5 else _with_state(f"{state}000")
            assert type(explained(OperationalError("", None, answer), address)) is trouble.error


def _with_state(state: str) -> psycopg.Error:
    answer = psycopg.OperationalError("said")
    answer.sqlstate = state
    return answer


def test_mistakes_of_the_program_itself_are_not_dressed_up_as_trouble_of_the_disk(
    file_record: Record, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = importlib.import_module("pullwright.record.lines")
    monkeypatch.setattr(found, "all_lines", lambda _: 1 / 0)

    with pytest.raises(ZeroDivisionError):
        file_record.lines()
