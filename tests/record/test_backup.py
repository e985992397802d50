"""A backup is taken while people work, is whole, and opens as a record."""

from __future__ import annotations

import sqlite3
import stat
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from threading import Event, Thread
from typing import Any

import pytest

from pullwright.record import BackupRefused, NewNote, Record, RecordDamaged, RecordReadOnly


def _all_of(record: Record) -> tuple[Any, ...]:
    """Everything that can be read out of a record of these tests."""
    lines = record.lines()
    history = tuple((record.revisions(line.key), record.titles(line.key)) for line in lines)
    sheets = record.sheets(struck=True)
    noted = tuple((record.notes(sheet.key), record.kept_file(sheet.key)) for sheet in sheets)
    contents = [b"".join(record.read_file(sheet.key)) for sheet in sheets if record.kept_file(sheet.key)]
    return lines, history, record.settings_history("wall.distance"), sheets, noted, contents


@pytest.fixture
def full(file_record: Record, tmp_path: Path) -> Record:
    for key in ("hone", "turn"):
        file_record.add_line(key, key.title(), "one\r\n", "A. Weber", "counted")
        file_record.revise(key, "two – 旋盤\n", "B. Roth", "", based_on=1)
    file_record.rename("hone", "Fine honing", "C. Lind", "two of them")
    file_record.set_setting("wall.distance", 15.0, "A. Weber")
    file_record.set_setting("wall.distance", 20.0, "B. Roth")
    log = tmp_path / "log.csv"
    log.write_bytes(bytes(range(256)) * 5_000)  # two parts
    file_record.begin_sheet("log", "May", {"columns": [1, "ä"]}, "A. Weber", file=("May.csv", log))
    log.unlink()
    file_record.begin_sheet("study", "Honing", {}, "A. Weber", line="hone")
    taken = datetime(2024, 5, 2, 8, 30, tzinfo=UTC)
    file_record.write_notes("study-1", [NewNote("a", "reading", {"s": 12.5}, "A. Weber", taken)])
    file_record.strike("study-1", "A. Weber", "wrong watch")
    return file_record


def test_restored_backup_holds_everything_and_goes_on(full: Record, tmp_path: Path) -> None:
    copy = full.backup(tmp_path / "copy.db")
    at_backup = _all_of(full)
    assert (len(at_backup[3]), [len(content) for content in at_backup[5]]) == (2, [1_280_000])
    full.revise("hone", "three", "A. Weber", "after the backup", based_on=2)

    with Record.open(copy) as restored:
        assert _all_of(restored) == at_backup
        assert restored.revise("hone", "other three", "A. Weber", "", based_on=2).number == 3
        with pytest.raises(sqlite3.IntegrityError, match="only ever added"), closing(sqlite3.connect(copy)) as plain:
            plain.execute("DELETE FROM revisions")
    assert full.revision("hone").text == "three"


def test_backup_put_in_the_place_of_a_lost_record_is_the_record(full: Record, tmp_path: Path) -> None:
    place = Path(full.url_for_people)
    copy = full.backup(str(tmp_path / "copy.db"))
    at_backup = _all_of(full)
    full.close()
    place.unlink()

    copy.rename(place)

    with Record.open(place) as restored:
        assert _all_of(restored) == at_backup


def test_backup_is_one_file_for_its_owner_only_with_nothing_beside_it(full: Record, tmp_path: Path) -> None:
    folder = tmp_path / "backups"
    folder.mkdir()

    copy = full.backup(folder / "copy.db")

    assert list(folder.iterdir()) == [copy]
    assert stat.S_IMODE(copy.stat().st_mode) == 0o600
    # Bytes 18 and 19 are 2 where a file is read together with a write-ahead log, else 1 (SQLite file format, 1.3.3).
    assert copy.read_bytes()[18:20] == b"\x01\x01"
    with closing(sqlite3.connect(f"file:{copy}?mode=ro&immutable=1", uri=True)) as plain:
        assert plain.execute("SELECT count(*) FROM revisions").fetchone() == (4,)


def test_backup_named_by_a_relative_path_is_told_with_its_full_path(
    full: Record, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)

    assert full.backup("copy.db") == tmp_path / "copy.db"


def test_backups_taken_while_somebody_saves_are_each_whole(file_record: Record, tmp_path: Path) -> None:
    file_record.add_line("hone", "Honing", "1", "A. Weber", "")
    enough = Event()

    def save_on() -> None:
        number = 1
        while not enough.is_set():
            number = file_record.revise("hone", f"{number + 1}" * 20_000, "A. Weber", "", based_on=number).number

    somebody = Thread(target=save_on)
    somebody.start()
    try:
        counts = []
        for number in range(5):
            saved_before = file_record.revision("hone").number
            copy = file_record.backup(tmp_path / f"copy{number}.db")
            with Record.open(copy) as restored:
                kept = restored.revisions("hone")
            assert [each.number for each in kept] == list(range(1, len(kept) + 1))
            assert all(each.text == str(each.number) * 20_000 for each in kept[1:])
            assert len(kept) >= saved_before
            counts.append(len(kept))
    finally:
        enough.set()
        somebody.join()

    assert counts[-1] > counts[0]


def test_backup_overwrites_nothing(full: Record, tmp_path: Path) -> None:
    there = tmp_path / "copy.db"
    there.write_text("keep me")

    with pytest.raises(BackupRefused, match=r"something at .*copy\.db already, and it was left as it is; name another"):
        full.backup(there)
    with pytest.raises(BackupRefused, match="something at"):
        full.backup(full.url_for_people)

    assert there.read_text() == "keep me"
    assert full.revision("hone").number == 2


def test_backup_into_a_missing_folder_is_refused(full: Record, tmp_path: Path) -> None:
    with pytest.raises(BackupRefused, match=r"There is no folder .*stick; make it first"):
        full.backup(tmp_path / "stick" / "copy.db")


def test_backup_into_a_folder_without_the_right_to_write_is_told(full: Record, someone_else: Callable[[], Any]) -> None:
    with someone_else() as folder:
        with pytest.raises(RecordReadOnly, match=r"There is no right to write .*copy\.db"):
            full.backup(folder / "copy.db")
        assert list(folder.iterdir()) == []


def test_damaged_record_is_not_passed_off_as_a_backup(full: Record, tmp_path: Path) -> None:
    full.revise("turn", "x" * 1_000_000, "A. Weber", "", based_on=2)
    full.close()
    place = Path(full.url_for_people)
    whole = place.read_bytes()
    # One page in the middle of the long text: what was saved is wrong, though the record still opens.
    place.write_bytes(whole[:409_600] + b"\xff" * 4096 + whole[413_696:])

    with Record.open(place) as record, pytest.raises(RecordDamaged, match=r"The backup was not made: .* is damaged"):
        record.backup(tmp_path / "copy.db")

    assert [path.name for path in tmp_path.iterdir()] == ["shop.db"]


def test_backup_of_a_record_on_a_server_names_the_servers_own_way(postgresql: Any, tmp_path: Path) -> None:
    with (
        Record.open(postgresql.new_database()) as record,
        pytest.raises(BackupRefused, match=r"PostgreSQL server.*pg_dump --format=custom.*pg_restore"),
    ):
        record.backup(tmp_path / "copy.db")

    assert list(tmp_path.iterdir()) == []
