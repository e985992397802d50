"""Files that are handed in with a sheet: kept whole or not at all, and never passed off as right when they are not."""

from __future__ import annotations

import hashlib
import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import event

from pullwright.record import InvalidEntry, KeptFile, NoFile, Record, RecordDamaged, RecordFull, UnknownLine, files

NOISE = random.Random(7).randbytes(1_500_000)  # noqa: S311  (nothing secret; it cannot be compressed)


@pytest.fixture
def log(tmp_path: Path) -> Path:
    place = tmp_path / "upload.tmp"
    place.write_bytes(NOISE + b"part,start\n" * 150_000)
    return place


def _begin(record: Record, path: Path, name: str = "May – log.csv", line: str | None = None) -> str:
    return record.begin_sheet("log", "May", {}, "A. Weber", line=line, file=(name, path)).key


def test_file_comes_back_byte_for_byte_in_parts_of_at_most_a_megabyte(
    record: Record, log: Path, tmp_path: Path, where: str, past_the_record: Callable[[str], Any]
) -> None:
    content = log.read_bytes()
    key = _begin(record, log)
    log.unlink()

    assert record.kept_file(key) == KeptFile("May – log.csv", len(content), hashlib.sha256(content).hexdigest())
    parts = list(record.read_file(key))
    assert b"".join(parts) == content
    assert max(len(part) for part in parts) == 1_000_000
    assert record.write_file_to(key, tmp_path / "out.csv") == tmp_path / "out.csv"
    assert (tmp_path / "out.csv").read_bytes() == content
    with past_the_record(where) as connection:
        sizes = [row[0] for row in connection.execute("SELECT length(content) FROM file_parts ORDER BY number")]
    assert len(sizes) == 4
    assert max(sizes) <= 2**20
    assert sizes[-1] < 20_000  # a table is kept in much less than its size


def test_empty_file_is_a_file(file_record: Record, tmp_path: Path) -> None:
    (tmp_path / "empty").touch()
    key = _begin(file_record, tmp_path / "empty")

    kept = file_record.kept_file(key)
    assert kept is not None
    assert (kept.size, list(file_record.read_file(key))) == (0, [])


def test_sheet_without_a_file_says_so(file_record: Record, tmp_path: Path) -> None:
    file_record.begin_sheet("study", "Honing", {}, "A. Weber")

    assert file_record.kept_file("study-1") is None
    with pytest.raises(NoFile, match="No file was handed in with the sheet 'study-1'"):
        file_record.read_file("study-1")
    with pytest.raises(NoFile):
        file_record.write_file_to("study-1", tmp_path / "out")


def _kept_rows(where: str, past_the_record: Callable[[str], Any]) -> list[int]:
    with past_the_record(where) as connection:
        tables = ("sheets", "files", "file_parts")
        return [connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0] for table in tables]  # noqa: S608


def test_sheet_that_cannot_be_begun_leaves_nothing_of_its_file(
    file_record: Record, log: Path, past_the_record: Callable[[str], Any]
) -> None:
    with pytest.raises(UnknownLine):
        _begin(file_record, log, line="hone")

    assert _kept_rows(file_record.url_for_people, past_the_record) == [0, 0, 0]


def test_full_disk_in_the_middle_of_a_file_keeps_neither_the_sheet_nor_a_part(
    tmp_path: Path, log: Path, past_the_record: Callable[[str], Any]
) -> None:
    where = tmp_path / "shop.db"
    with Record.open(where) as record:

        @event.listens_for(record._engine, "begin")
        def no_more_pages(connection: Any) -> None:
            connection.exec_driver_sql("PRAGMA max_page_count = 300")  # room for the first part only

        with pytest.raises(RecordFull, match="No room is left"):
            _begin(record, log)
    assert _kept_rows(str(where), past_the_record) == [0, 0, 0]
    with Record.open(where) as record:
        assert _begin(record, log) == "log-1"


@pytest.mark.parametrize(
    ("damage", "told"),
    [
        (
            "UPDATE file_parts SET content = (SELECT content FROM file_parts WHERE number = 2) WHERE number = 1",
            "digest",
        ),
        ("UPDATE file_parts SET content = x'00' WHERE number = 2", "part 2 cannot be read"),
        ("UPDATE file_parts SET content = x'789c030000000001' WHERE number = 2", "part 2 is empty"),
        ("DELETE FROM file_parts WHERE number = 4", "part 4 is missing"),
        ("UPDATE files SET digest = 'ab'", "its content does not match its digest"),
        ("UPDATE files SET size = size - 1", "its content does not match its digest"),
    ],
)
def test_damaged_file_is_told_and_never_handed_out_whole(
    file_record: Record, log: Path, tmp_path: Path, past_the_record: Callable[[str], Any], damage: str, told: str
) -> None:
    key = _begin(file_record, log)
    with past_the_record(file_record.url_for_people) as connection:
        for table in ("files", "file_parts"):
            for guard in ("never_change", "never_go"):
                connection.execute(f"DROP TRIGGER {table}_{guard}")
        assert connection.execute(damage).rowcount == 1
    out = tmp_path / "out"
    out.mkdir()

    read = []
    with pytest.raises(RecordDamaged, match=rf"'May – log\.csv' of the sheet 'log-1' is damaged.*{told}.*backup"):
        read.extend(file_record.read_file(key))
    assert sum(map(len, read)) < log.stat().st_size
    with pytest.raises(RecordDamaged, match=told):
        file_record.write_file_to(key, out / "log.csv")
    assert list(out.iterdir()) == []


def test_writing_a_file_out_overwrites_nothing(file_record: Record, log: Path, tmp_path: Path) -> None:
    key = _begin(file_record, log)
    there = tmp_path / "there.csv"
    there.write_text("keep me")

    with pytest.raises(InvalidEntry, match=r"there\.csv'; allowed is the name of a new file\. It was left as it is"):
        file_record.write_file_to(key, there)

    assert there.read_text() == "keep me"


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("", "file name: read ''.*1 to 200 characters"),
        ("x" * 201, "file name: read .*1 to 200 characters"),
        ("../log.csv", "file name: read '../log.csv'; allowed is a name without folders. Leave the folder off"),
        ("c:\\log.csv", "name without folders"),
        ("a\nb.csv", "file name: read .*one line"),
    ],
)
def test_name_that_cannot_be_shown_is_refused(file_record: Record, log: Path, name: str, told: str) -> None:
    with pytest.raises(InvalidEntry, match=told):
        _begin(file_record, log, name=name)
    assert file_record.sheets() == ()


def test_file_that_cannot_be_read_is_told_and_nothing_is_begun(file_record: Record, tmp_path: Path) -> None:
    for path in (tmp_path / "nowhere.csv", tmp_path):
        with pytest.raises(InvalidEntry, match=r"^file: read .*; allowed is a file that can be read\."):
            _begin(file_record, path)
    assert file_record.sheets() == ()


def test_file_at_the_limit_is_kept_and_one_more_byte_is_refused(
    file_record: Record, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert files.FILE_BYTES == 600_000_000
    monkeypatch.setattr(files, "FILE_BYTES", 1_200_000)
    place = tmp_path / "log"
    place.write_bytes(b"x" * 1_200_000)
    _begin(file_record, place)
    place.write_bytes(b"x" * 1_200_001)

    with pytest.raises(InvalidEntry, match="file: read 1,200,001 bytes; allowed is at most 1,200,000 bytes"):
        _begin(file_record, place)
    assert len(file_record.sheets()) == 1


def test_reader_who_stops_halfway_keeps_no_connection(tmp_path: Path, log: Path) -> None:
    with Record.open(tmp_path / "shop.db", wait_s=0.1) as record:
        key = _begin(record, log)
        halfway = [record.read_file(key) for _ in range(30)]
        assert {len(next(reading)) for reading in halfway} == {1_000_000}
        assert len(record.sheets()) == 1
