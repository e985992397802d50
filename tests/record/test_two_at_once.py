"""Several people at the same moment: one is first, the others are told, and nothing is lost or half-written."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from threading import Barrier, Event
from time import sleep
from typing import Any

import pytest

from pullwright.record import (
    LineExists,
    NewNote,
    Note,
    NothingChanged,
    Record,
    RecordError,
    SheetExists,
    StaleRevision,
)

ROUNDS = 10
WRITERS = 4

SAVES_ROUND_AFTER_ROUND = """
import sys
from pullwright.record import Record, StaleRevision
where, who, rounds = sys.argv[1], sys.argv[2], int(sys.argv[3])
with Record.open(where) as record:
    for number in range(1, rounds + 1):
        print("ready", flush=True)
        sys.stdin.readline()
        try:
            record.revise("hone", f"{who} {number}", who, "", based_on=number)
            print("saved", flush=True)
        except StaleRevision as told:
            print(f"told {told.latest.number} {told.latest.who}", flush=True)
"""

SAVES_UNTIL_IT_DIES = """
import sys
from pullwright.record import Record
with Record.open(sys.argv[1]) as record:
    number = 1
    while True:
        number = record.revise("hone", f"{number + 1} " * 50_000, "A. Weber", "", based_on=number).number
        print(number, flush=True)
"""

OPENS_A_NEW_RECORD = """
import sys
from pullwright.record import Record
print("ready", flush=True)
sys.stdin.readline()
with Record.open(sys.argv[1]) as record:
    record.set_setting("opened.by", sys.argv[2], sys.argv[2])
print("opened", flush=True)
"""


def _at_once(tasks: list[Callable[[], Any]]) -> list[Any]:
    """What each task gives back, or its RecordError, when all of them start together."""
    start = Barrier(len(tasks))

    def run(task: Callable[[], Any]) -> Any:
        start.wait()
        try:
            return task()
        except RecordError as error:
            return error

    with ThreadPoolExecutor(len(tasks)) as people:
        return list(people.map(run, tasks))


def _named(note: Note) -> tuple[int, str]:
    return note.number, note.uid


def test_of_several_threads_one_saves_and_each_other_is_shown_what_it_saved(record: Record) -> None:
    record.add_line("hone", "Honing", "start", "A. Weber", "")

    for number in range(1, ROUNDS + 1):
        results = _at_once(
            [
                lambda who=who, number=number: record.revise("hone", f"{who} {number}", who, "", based_on=number)
                for who in "ABCD"
            ]
        )
        saved = [each for each in results if not isinstance(each, RecordError)]
        told = [each for each in results if isinstance(each, StaleRevision)]
        assert (len(saved), len(told)) == (1, WRITERS - 1)
        assert all(each.latest == saved[0] and each.based_on == number for each in told)

    assert [each.number for each in record.revisions("hone")] == list(range(1, ROUNDS + 2))


def test_of_two_programs_one_saves_and_the_other_is_shown_what_it_saved(
    where: str, another_program: Callable[..., Any]
) -> None:
    with Record.open(where) as record:
        record.add_line("hone", "Honing", "start", "A. Weber", "")
        people = {who: another_program(SAVES_ROUND_AFTER_ROUND, where, who, str(ROUNDS)) for who in ("anna", "bert")}
        winners = []
        for number in range(2, ROUNDS + 2):
            assert [person.says() for person in people.values()] == ["ready", "ready"]
            for person in people.values():
                person.go()
            said = {who: person.says() for who, person in people.items()}
            winners += [who for who, word in said.items() if word == "saved"]
            assert len(winners) == number - 1
            assert sorted(said.values()) == ["saved", f"told {number} {winners[-1]}"]

        kept = record.revisions("hone")

    assert [each.who for each in kept] == ["A. Weber", *winners]
    assert [each.text for each in kept[1:]] == [f"{who} {number}" for number, who in enumerate(winners, start=1)]


def test_same_key_at_once_becomes_one_line_whole(record: Record) -> None:
    results = _at_once([lambda who=who: record.add_line("hone", f"Of {who}", who, who, "") for who in "ABCD"])

    saved = [each for each in results if not isinstance(each, RecordError)]
    assert len(saved) == 1
    assert [type(each) for each in results if each is not saved[0]] == [LineExists] * 3
    assert record.revisions("hone") == tuple(saved)
    assert [title.who for title in record.titles("hone")] == [saved[0].who]


def test_different_lines_and_settings_at_once_are_all_kept(record: Record) -> None:
    results = _at_once(
        [lambda n=n: record.add_line(f"line-{n}", "Line", str(n), "A. Weber", "") for n in range(4)]
        + [lambda n=n: record.set_setting("wall.distance", n, "A. Weber") for n in range(4)]
    )

    assert not [each for each in results if isinstance(each, RecordError)]
    assert [row.key for row in record.lines()] == [f"line-{n}" for n in range(4)]
    assert sorted(entry.value for entry in record.settings_history("wall.distance")) == [0, 1, 2, 3]


def test_sheets_begun_at_once_each_get_a_number_of_their_own(record: Record) -> None:
    for _ in range(3):
        results = _at_once([lambda who=who: record.begin_sheet("study", f"Of {who}", {}, who) for who in "ABCD"])
        assert not [each for each in results if isinstance(each, RecordError)]

    kept = record.sheets()
    assert sorted(int(sheet.key.removeprefix("study-")) for sheet in kept) == list(range(1, 13))
    assert [sheet.key for sheet in kept] == [f"study-{number}" for number in range(12, 0, -1)]


def test_same_key_of_a_sheet_at_once_is_given_once(record: Record) -> None:
    results = _at_once([lambda who=who: record.begin_sheet("study", "T", {}, who, key="honing") for who in "ABCD"])

    saved = [each for each in results if not isinstance(each, RecordError)]
    assert [type(each) for each in results if each not in saved] == [SheetExists] * 3
    assert record.sheets() == tuple(saved)


def test_phones_that_write_at_once_lose_nothing_and_write_nothing_twice(record: Record) -> None:
    record.begin_sheet("study", "Honing", {}, "A. Weber")
    taken = datetime(2024, 5, 2, 8, 30, tzinfo=UTC)
    shared = [NewNote(f"both-{n}", "reading", {"s": n}, "A. Weber", taken) for n in range(5)]

    def send(who: str) -> tuple[Note, ...]:
        own = [NewNote(f"{who}-{n}", "reading", {"s": n}, who, taken) for n in range(5)]
        return sum((record.write_notes("study-1", [*shared, note]) for note in own), ())

    results = _at_once([lambda who=who: send(who) for who in "ABCD"])

    assert not [each for each in results if isinstance(each, RecordError)]
    kept = record.notes("study-1")
    assert [note.number for note in kept] == list(range(1, 26))
    assert sorted(note.uid for note in kept) == sorted(
        [f"both-{n}" for n in range(5)] + [f"{who}-{n}" for who in "ABCD" for n in range(5)]
    )
    assert {note for each in results for note in map(_named, each)} == set(map(_named, kept))


def test_of_two_who_strike_at_once_one_does_and_the_other_is_told(record: Record) -> None:
    record.begin_sheet("study", "Honing", {}, "A. Weber")
    record.add_line("hone", "Honing", "one", "A. Weber", "")

    struck = _at_once([lambda who=who: record.strike("study-1", who, "") for who in "AB"])
    away = _at_once([lambda who=who: record.put_line_away("hone", who, "") for who in "AB"])

    for results in (struck, away):
        assert sorted(isinstance(each, NothingChanged) for each in results) == [False, True]
    assert len(record.notes("study-1")) == len(record.put_aways("hone")) == 1


def test_people_read_while_somebody_is_in_the_middle_of_saving(record: Record) -> None:
    record.add_line("hone", "Honing", "one", "A. Weber", "")

    with record._writing() as connection:
        connection.exec_driver_sql("INSERT INTO lines (key) VALUES ('half')")
        with ThreadPoolExecutor(1) as reader:
            seen = reader.submit(record.lines).result(timeout=5)

    assert [row.key for row in seen] == ["hone"]


def test_program_killed_while_saving_loses_nothing_that_it_was_told_is_saved(
    where: str, another_program: Callable[..., Any]
) -> None:
    with Record.open(where) as record:
        record.add_line("hone", "Honing", "1 ", "A. Weber", "")
    person = another_program(SAVES_UNTIL_IT_DIES, where)
    for _ in range(5):
        told_saved = int(person.says())
    person.dies()

    with Record.open(where) as record:
        kept = record.revisions("hone")
        record.revise("hone", "goes on", "B. Roth", "", based_on=kept[-1].number)

    assert len(kept) >= told_saved >= 6
    assert [each.number for each in kept] == list(range(1, len(kept) + 1))
    assert all(each.text == f"{each.number} " * 50_000 for each in kept[1:])


def test_two_programs_that_open_the_same_new_record_both_find_it_ready(
    where: str, another_program: Callable[..., Any]
) -> None:
    people = [another_program(OPENS_A_NEW_RECORD, where, who) for who in ("anna", "bert", "cora")]
    assert [person.says() for person in people] == ["ready"] * 3
    for person in people:
        person.go()

    assert [person.says() for person in people] == ["opened"] * 3
    with Record.open(where) as record:
        assert sorted(entry.who for entry in record.settings_history("opened.by")) == ["anna", "bert", "cora"]


def test_restored_backup_that_another_program_is_writing_to_is_opened_when_that_is_done(
    file_record: Record, tmp_path: Path
) -> None:
    copy = file_record.backup(tmp_path / "copy.db")  # without a write-ahead log, as backups are
    writing, opening = Event(), Event()

    def write_for_a_while() -> None:
        with closing(sqlite3.connect(copy, isolation_level=None)) as other:
            other.execute("BEGIN IMMEDIATE")
            writing.set()
            opening.wait(5)
            sleep(0.3)
            other.execute("ROLLBACK")

    with ThreadPoolExecutor(1) as other_program:
        other_program.submit(write_for_a_while)
        writing.wait(5)
        opening.set()
        with Record.open(copy, wait_s=5) as record:
            assert record.lines() == ()


def test_failure_in_the_middle_of_a_save_keeps_nothing_of_it(
    where: str, past_the_record: Callable[[str], Any], record: Record
) -> None:
    # The title is written after the line and before the first revision; here it is refused at that point.
    with past_the_record(where) as connection:
        if "://" in where:
            connection.execute(
                "CREATE FUNCTION broken() RETURNS trigger LANGUAGE plpgsql AS "
                "$$ BEGIN RAISE EXCEPTION 'broken' USING ERRCODE = '58030'; END $$"
            )
            connection.execute("CREATE TRIGGER broken BEFORE INSERT ON titles EXECUTE FUNCTION broken()")
        else:
            connection.execute("CREATE TRIGGER broken BEFORE INSERT ON titles BEGIN SELECT RAISE(FAIL, 'broken'); END")

    with pytest.raises(RecordError, match="broken"):
        record.add_line("hone", "Honing", "one", "A. Weber", "")

    with past_the_record(where) as connection:
        assert connection.execute("SELECT count(*) FROM lines").fetchone() == (0,)
