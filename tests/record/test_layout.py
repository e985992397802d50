"""A record is brought up to date with all that is in it, or left exactly as it is."""

from __future__ import annotations

import importlib
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Column, Engine, Integer, MetaData

import pullwright
from pullwright.record import NotARecord, Record, RecordError, RecordTooNew, layout
from pullwright.record.address import make_file_ready, read_address
from pullwright.record.engine import make_engine
from pullwright.record.layout import STEPS, bring_up_to_date
from pullwright.record.tables import VERSION_TABLE, metadata

Plain = Callable[[str], Any]
LAYOUTS = [step.revision for step in ScriptDirectory(str(STEPS)).walk_revisions()][::-1]
"""Oldest first."""

OLD_ROWS = {
    "v0001": (
        "INSERT INTO lines (key) VALUES ('hone')",
        "INSERT INTO revisions (line_id, number, text, who, at, why) "
        "VALUES (1, 1, 'one', 'A. Weber', '2024-05-02 08:30:00.000001', 'counted')",
        "INSERT INTO titles (line_id, title, who, at, why) "
        "VALUES (1, 'Honing', 'A. Weber', '2024-05-02 08:30:00.000001', 'counted')",
    ),
    "v0002": (
        "INSERT INTO settings (name, value, who, at) "
        "VALUES ('wall.distance', '15', 'A. Weber', '2024-05-02 08:30:00.000001')",
    ),
    "v0003": (),
    "v0004": (
        "INSERT INTO sheets (key, kind, line_id, title, body, who, at) "
        "VALUES ('study-1', 'study', 1, 'Honing', '{}', 'A. Weber', '2024-05-02 08:30:00.000001')",
    ),
}
"""Rows that people may have written with each layout, in that layout's own columns."""


@contextmanager
def _engine(where: str) -> Iterator[Engine]:
    address = read_address(where)
    if address.file is not None:
        make_file_ready(address.file)
    engine = make_engine(address, 5.0)
    try:
        yield engine
    finally:
        engine.dispose()


def _bring_to(where: str, goal: str) -> None:
    with _engine(where) as engine:
        bring_up_to_date(engine, read_address(where), 5.0, goal=goal)


def test_every_layout_has_rows_to_try_it_with() -> None:
    assert list(OLD_ROWS) == LAYOUTS


@pytest.mark.parametrize("start", LAYOUTS)
def test_record_of_any_older_layout_is_brought_up_to_date_with_all_its_rows(
    where: str, start: str, past_the_record: Plain
) -> None:
    written: list[str] = []
    for step in LAYOUTS[: LAYOUTS.index(start) + 1]:
        _bring_to(where, step)
        with past_the_record(where) as connection:
            assert connection.execute("SELECT version_num FROM record_version").fetchall() == [(step,)]
            for row in OLD_ROWS[step]:
                if "://" in where:
                    row = row.replace(".000001'", ".000001+00'")
                connection.execute(row)
                written.append(row)

    with Record.open(where) as record:
        kept = record.revision("hone")
        assert (kept.number, kept.text, kept.who, kept.why) == (1, "one", "A. Weber", "counted")
        assert kept.when.isoformat() == "2024-05-02T08:30:00.000001+00:00"
        assert [title.title for title in record.titles("hone")] == ["Honing"]
        settings = [entry.value for entry in record.settings_history("wall.distance")]
        assert settings == ([15] if any("settings" in row for row in written) else [])
        assert record.revise("hone", "two", "B. Roth", "", based_on=1).number == 2
        assert [line.away for line in record.lines()] == [False]
        began = [sheet.key for sheet in record.sheets()]
        assert began == (["study-1"] if any("sheets" in row for row in written) else [])
        assert record.begin_sheet("study", "Honing", {}, "A. Weber", line="hone").key == f"study-{len(began) + 1}"


def _differences(where: str, wanted: MetaData) -> list[Any]:
    Record.open(where).close()
    with _engine(where) as engine, engine.connect() as connection:
        context = MigrationContext.configure(
            connection, opts={"version_table": VERSION_TABLE, "compare_type": True, "compare_server_default": True}
        )
        return list(compare_metadata(context, wanted))


def test_steps_make_exactly_the_tables_that_the_program_uses(where: str) -> None:
    assert _differences(where, metadata) == []


def test_comparison_of_tables_would_see_a_column_that_no_step_makes(where: str) -> None:
    wanted = MetaData()
    for table in metadata.tables.values():
        table.to_metadata(wanted)
    wanted.tables["settings"].append_column(Column("forgotten", Integer))

    assert [(what, column.name) for what, _, _, column in _differences(where, wanted)] == [("add_column", "forgotten")]


def test_record_of_a_newer_program_is_refused_and_left_untouched(where: str, past_the_record: Plain) -> None:
    with Record.open(where) as record:
        record.add_line("hone", "Honing", "one", "A. Weber", "")
    with past_the_record(where) as connection:
        connection.execute("UPDATE record_version SET version_num = 'v9999'")
    before = Path(where).read_bytes() if "://" not in where else b""

    with pytest.raises(
        RecordTooNew,
        match=rf"newer Pullwright: its layout is v9999, and this program knows {LAYOUTS[0]} to {LAYOUTS[-1]}\. "
        "It was left untouched; bring this program up to date",
    ):
        Record.open(where)

    if before:
        assert Path(where).read_bytes() == before
        assert [path.name for path in Path(where).parent.iterdir()] == ["shop.db"]


def test_record_that_a_newer_program_brings_up_to_date_while_we_open_it_is_refused(
    where: str, past_the_record: Plain, monkeypatch: pytest.MonkeyPatch
) -> None:
    _bring_to(where, "v0001")
    waiting = layout.for_writing

    def meanwhile(engine: Engine) -> Engine:
        with past_the_record(where) as newer_program:
            newer_program.execute("UPDATE record_version SET version_num = 'v9999'")
        return waiting(engine)

    monkeypatch.setattr(layout, "for_writing", meanwhile)

    with pytest.raises(RecordTooNew, match="v9999"):
        Record.open(where)


def test_database_of_another_program_is_refused_and_left_untouched(where: str, past_the_record: Plain) -> None:
    with past_the_record(where) as connection:
        connection.execute("CREATE TABLE recipes (name TEXT)")
        connection.execute("INSERT INTO recipes VALUES ('bread')")
    before = Path(where).read_bytes() if "://" not in where else b""

    with pytest.raises(NotARecord, match=r"is not a record: it holds other tables \(recipes\). It was left untouched"):
        Record.open(where)

    with past_the_record(where) as connection:
        assert connection.execute("SELECT name FROM recipes").fetchall() == [("bread",)]
    if before:
        assert Path(where).read_bytes() == before


def test_step_that_fails_halfway_leaves_the_record_at_its_old_layout(where: str, past_the_record: Plain) -> None:
    _bring_to(where, "v0001")
    with past_the_record(where) as connection:
        for row in OLD_ROWS["v0001"]:
            connection.execute(row)
        # In the way of the guards of the third step, after the second has made its table.
        if "://" in where:
            connection.execute(
                "CREATE FUNCTION record_only_adds() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN RETURN NEW; END $$"
            )
        else:
            connection.execute("CREATE TRIGGER titles_never_go AFTER INSERT ON titles BEGIN SELECT 1; END")

    with pytest.raises(RecordError, match="already exists"):
        Record.open(where)

    with past_the_record(where) as connection:
        assert connection.execute("SELECT version_num FROM record_version").fetchall() == [("v0001",)]
        with pytest.raises(Exception, match="settings"):
            connection.execute("SELECT * FROM settings")
        connection.execute("DROP FUNCTION record_only_adds()" if "://" in where else "DROP TRIGGER titles_never_go")
    with Record.open(where) as record:
        assert record.revision("hone").text == "one"


def test_opening_a_record_that_is_up_to_date_changes_no_byte_of_it(tmp_path: Path) -> None:
    place = tmp_path / "shop.db"
    with Record.open(place) as record:
        record.add_line("hone", "Honing", "one", "A. Weber", "")
    before = place.read_bytes()

    Record.open(place).close()

    assert place.read_bytes() == before


def test_steps_are_found_wherever_the_package_is_set_up(
    tmp_path: Path, package_in: Callable[[Path], dict[str, str]]
) -> None:
    elsewhere = tmp_path / "50 % of a place"
    package = Path(pullwright.__file__).parent
    shutil.copytree(package, elsewhere / "pullwright", ignore=shutil.ignore_patterns("__pycache__"))
    code = (
        "import pullwright, sys; from pullwright.record import Record\n"
        "Record.open(sys.argv[1]).close(); print(pullwright.__file__)"
    )

    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", code, tmp_path / "shop.db"],
        env=package_in(elsewhere),
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=True,
    )

    assert Path(done.stdout.strip()).parent == elsewhere / "pullwright"
    assert (tmp_path / "shop.db").stat().st_size > 0


def test_importing_the_runner_of_the_steps_runs_nothing() -> None:
    importlib.import_module("pullwright.record.migrations.env")
