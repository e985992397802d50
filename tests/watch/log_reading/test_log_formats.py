"""The same log in every format and dialect gives the same events; what is no log gives a clear error."""

from __future__ import annotations

import gzip
import importlib.util
import os
import sys
from collections.abc import Callable
from pathlib import Path

import polars as pl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.watch.log.convert import to_events
from pullwright.watch.log.events import COLUMNS, Events
from pullwright.watch.log.faults import LogError
from pullwright.watch.log.guess import ColumnPlan, guess_columns
from pullwright.watch.log.reading import open_log
from pullwright.watch.neutral import neutral_csv

_spec = importlib.util.spec_from_file_location("made_logs", Path(__file__).with_name("made_logs.py"))
assert _spec
assert _spec.loader
made = importlib.util.module_from_spec(_spec)
sys.modules["made_logs"] = made
_spec.loader.exec_module(made)

SHARED = Path(os.environ.get("PULLWRIGHT_SHARED_DATA", Path(__file__).parents[4] / "shared" / "data"))
REAL = SHARED / "production_log" / "Production_Data.csv"


def read(path: Path) -> Events:
    raw = open_log(path)
    plan = guess_columns(raw)
    assert ColumnPlan.from_dict(plan.as_dict()) == plan
    return to_events(raw, plan)


def text(path: Path, content: str, encoding: str = "utf-8") -> Events:
    path.write_bytes(content.encode(encoding))
    return read(path)


def plain(events: Events) -> list[tuple[object, ...]]:
    return events.table.drop("row").rows()


def test_four_formats_give_equal_events(tmp_path: Path) -> None:
    frame = made.frame()
    frame.write_csv(tmp_path / "a.csv")
    made.save_xlsx(tmp_path / "a.xlsx")
    frame.write_parquet(tmp_path / "a.parquet")
    (tmp_path / "a.xes").write_text(made.xes(), "utf-8")
    (tmp_path / "b.xes.gz").write_bytes(gzip.compress(made.xes(lifecycle=False).encode()))
    first = read(tmp_path / "a.csv")
    assert list(first.table.columns) == list(COLUMNS)
    assert first.table["start"].to_list() == frame["start"].to_list()
    assert first.table["kind"].cast(pl.String).to_list() == frame["kind"].to_list()
    assert not first.read_oddities
    for name in ("a.xlsx", "a.parquet", "a.xes", "b.xes.gz"):
        other = read(tmp_path / name)
        assert plain(other) == plain(first), name
        assert other.has == first.has, name


def _german(row: dict[str, object]) -> str:
    start, end = row["start"], row["end"]
    kind = {"set-up": "Rüsten", "run": "Fertigung"}[str(row["kind"])]
    return f"{row['order']};{row['step']};{row['station']};{start:%d.%m.%Y %H:%M};{end:%d.%m.%Y %H:%M};{kind};{row['person']};{row['good']},0;{row['scrap']}"  # fmt: skip


def _dated(row: dict[str, object]) -> str:
    return f"{row['order']}\t{row['step']}\t{row['station']}\t{row['start']:%m/%d/%Y}\t{row['start']:%H:%M}\t{row['end']:%H:%M}\t{row['kind']}\t{row['person']}\t{row['good']}\t{row['scrap']}"  # fmt: skip


def _epoch(row: dict[str, object]) -> str:
    import datetime as dt

    start, end = (row[k].replace(tzinfo=dt.UTC).timestamp() for k in ("start", "end"))  # type: ignore[attr-defined]
    return f"{row['order']}|{row['step']}|{row['station']}|{start:.0f}|{end:.0f}|{row['kind']}|{row['person']}|{row['good']}|{row['scrap']}"  # fmt: skip


def _serial(row: dict[str, object]) -> str:
    import datetime as dt

    start, end = ((row[k] - dt.datetime(1899, 12, 30)) / dt.timedelta(days=1) for k in ("start", "end"))  # type: ignore[operator]
    return f"{row['order']},{row['step']},{row['station']},{start:.9f},{end:.9f},{row['kind']},{row['person']},{row['good']},{row['scrap']}"  # fmt: skip


DIALECTS: dict[str, tuple[str, Callable[[dict[str, object]], str], str]] = {
    "German, semicolons": ("Auftrag;Arbeitsgang;Maschine;Beginn;Ende;Zeitart;Bediener;Gutmenge;Ausschuss", _german, "cp1252"),
    "a report above": ("Werk 3\n\nAuftrag;Arbeitsgang;Maschine;Beginn;Ende;Zeitart;Bediener;Gutmenge;Ausschuss", _german, "utf-16"),
    "date and times apart": ("Order\tOperation\tMachine\tDate\tStart time\tEnd time\tKind\tOperator\tGood\tScrap", _dated, "utf-8"),
    "two rows of header": ("Order\tStep\tMachine\tDate\tStart\tEnd\tKind\tOperator\tPieces\t\n\t\t\t\t[h]\t[h]\t\t\tgood\tscrap", _dated, "utf-8-sig"),
    "seconds since 1970": ("order|step|machine|start ts|end ts|type|operator|good qty|scrap qty", _epoch, "utf-8"),
    "days of a spreadsheet": ("order,step,machine,start,end,type,operator,good qty,scrap qty", _serial, "utf-8"),
}  # fmt: skip


@pytest.mark.parametrize("dialect", DIALECTS)
def test_every_dialect_gives_equal_events(dialect: str, tmp_path: Path) -> None:
    header, line, encoding = DIALECTS[dialect]
    made.frame().write_csv(tmp_path / "plain.csv")
    lines = [header, *map(line, made.bookings())]
    found = text(tmp_path / "log.csv", "\r\n".join(lines) + "\r\n", encoding)
    assert plain(found) == plain(read(tmp_path / "plain.csv"))


def test_times_with_zones_lie_on_one_even_scale(tmp_path: Path) -> None:
    found = text(tmp_path / "a.csv", "order,step,start,end\nA,saw,2024-10-27T02:30:00+02:00,2024-10-27T02:10:00+01:00\nA,turn,2024-10-27T06:00:00+01:00,2024-10-27T07:00:00+01:00\n")  # fmt: skip
    assert (found.table["end"] - found.table["start"]).dt.total_minutes().to_list() == [40, 60]
    assert found.table["clock"].to_list() == [7200, 3600]


def test_a_named_zone_counts_hours_that_are_missing_and_that_come_twice(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_text("order,step,start,end\nA,saw,2024-03-31 01:30,2024-03-31 03:30\nA,saw,2024-03-31 02:30,2024-03-31 04:00\nA,saw,2024-10-27 02:50,2024-10-27 02:10\n", "utf-8")  # fmt: skip
    raw = open_log(path)
    found = to_events(raw, guess_columns(raw).with_reading(zone="Europe/Vienna"))
    assert (found.table["end"] - found.table["start"]).dt.total_minutes().to_list() == [60, None, 20]
    keys = {oddity.key: oddity.rows for oddity in found.read_oddities}
    assert keys["clock time that does not exist"] == (3,)
    assert keys["clock time that comes twice"] == (4,)


def test_what_cannot_be_read_is_null_and_counted_with_its_row(tmp_path: Path) -> None:
    body = "order,step,start,end,good\n\nA,saw,2024-05-06 06:00,2024-05-06 07:00,3\nA,turn,sometime,2024-05-06 08:00,three\nB,saw,07.05.2024 06:00,2024-05-07 07:00,4\nB,turn,2024-05-07 07:00,2024-05-07 08:00,4\n"
    found = text(tmp_path / "a.csv", body)
    rows = {oddity.key: oddity.rows for oddity in found.read_oddities}
    assert rows == {"unreadable time": (4,), "several date formats": (5,), "unreadable number": (4,)}
    assert found.table["start"].null_count() == 1


def test_moments_are_paired_and_those_left_over_are_kept(tmp_path: Path) -> None:
    body = "order,step,time,status\nA,saw,2024-05-06 06:00,start\nA,saw,2024-05-06 06:30,complete\nA,saw,2024-05-06 06:40,complete\nA,saw,2024-05-06 07:00,start\nA,saw,2024-05-06 08:00,complete\nA,turn,2024-05-06 09:00,start\n"
    table = text(tmp_path / "a.csv", body).table
    assert table["row"].to_list() == [2, 4, 5, 7]
    assert (table["end"] - table["start"]).dt.total_minutes().to_list() == [30, None, 60, None]


def test_day_or_month_first_is_asked_where_the_data_do_not_tell(tmp_path: Path) -> None:
    (tmp_path / "a.csv").write_text("order,step,start,end\nA,saw,05/06/2024 06:00,05/06/2024 07:00\nA,turn,05/07/2024 06:00,05/07/2024 07:00\n", "utf-8")  # fmt: skip
    raw = open_log(tmp_path / "a.csv")
    plan = guess_columns(raw)
    assert any("day or the month" in question for question in plan.questions)
    assert [to_events(raw, plan.with_reading(day_first=first)).table["start"][0].month for first in (True, False)] == [
        6,
        5,
    ]


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "an empty file"),
        (b"order,step,start\n", "a header and no row"),
        (b"\x89PNG\r\n\x1a\n" + bytes(50), "a picture"),
        (b"order,step\nA,\0saw\n", "a zero byte"),
        (b",".join(b"c%d" % n for n in range(5000)) + b"\n", "columns"),
        (b"x" * 1_200_000, "a row that does not end"),
        (b'<?xml version="1.0"?><!DOCTYPE log [<!ENTITY a "b">]><log/>', "a document type"),
        (b"<log><trace><event>", "XML that breaks off"),
        (b"PK\x03\x04" + bytes(100), "a workbook that is damaged"),
        (b"PAR1" + bytes(100), "a Parquet file that is damaged"),
        (b"\x1f\x8b" + bytes(30), "a packed file that is damaged"),
    ],
)
def test_what_is_no_log_is_said_clearly(content: bytes, said: str, tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_bytes(content)
    with pytest.raises(LogError, match=said) as caught:
        read(path)
    assert str(caught.value).startswith("log.csv")
    assert caught.value.allowed


def test_a_wrong_ending_is_read_and_said(tmp_path: Path) -> None:
    made.save_xlsx(tmp_path / "log.csv")
    assert "content is XLSX" in open_log(tmp_path / "log.csv").noticed[0]


def test_unknown_names_in_a_plan_name_the_near_one(tmp_path: Path) -> None:
    made.frame().write_csv(tmp_path / "a.csv")
    plan = guess_columns(open_log(tmp_path / "a.csv"))
    with pytest.raises(LogError, match="did you mean order"):
        plan.with_roles({"case": "ordre"})
    with pytest.raises(LogError, match="did you mean station"):
        plan.with_roles({"statoin": "order"})
    assert plan.with_roles({"product": "order"}).column("product") == "order"


def test_formulas_are_neutral_in_exports() -> None:
    table = pl.DataFrame({"a": ["=1+1", "+x", "-y", "@z", "\tq", "\rq", "fine"], "n": [-1] * 7})
    cells = neutral_csv(table)
    assert not any(line.lstrip('"')[:1] in ("=", "+", "-", "@", "\t") for line in cells.split("\n"))
    assert ",-1" in cells


@pytest.fixture(scope="module")
def bases(tmp_path_factory: pytest.TempPathFactory) -> list[bytes]:
    folder = tmp_path_factory.mktemp("bases")
    made.frame().write_csv(folder / "a.csv")
    made.save_xlsx(folder / "a.xlsx")
    return [b"", (folder / "a.csv").read_bytes(), (folder / "a.xlsx").read_bytes(), made.xes().encode()]


@settings(max_examples=30)
@given(base=st.integers(0, 3), at=st.floats(0, 1), cut=st.integers(0, 200), noise=st.binary(max_size=60))
def test_only_events_or_a_clear_error_come_out(
    base: int, at: float, cut: int, noise: bytes, bases: list[bytes], tmp_path_factory: pytest.TempPathFactory
) -> None:
    content = bases[base]
    where = int(at * len(content))
    path = tmp_path_factory.mktemp("fuzz") / "log"
    path.write_bytes(content[:where] + noise + content[where + cut :])
    try:
        found = read(path)
    except LogError as error:
        assert error.read and error.allowed  # noqa: PT017, PT018 (either outcome is right)
    else:
        assert list(found.table.columns) == list(COLUMNS)


@pytest.mark.skipif(not REAL.exists(), reason="the open data are not beside this checkout (PULLWRIGHT_SHARED_DATA)")
def test_a_real_log_is_understood_in_full() -> None:
    """Levy (2014), 4TU.ResearchData: counts verified in the file; what D, S and B mean is inferred there and here."""
    raw = open_log(REAL)
    plan = guess_columns(raw)
    assert {role: names[0] for role, names in plan.roles.items()} == {
        "case": "Case ID", "activity": "Activity", "station": "Resource", "start": "Start Timestamp", "end": "Complete Timestamp",
        "span": "Span", "kind": "Report Type", "product": "Part Desc.", "person": "Worker ID", "asked": "Work Order  Qty",
        "good": "Qty Completed", "scrap": "Qty Rejected", "held": "Qty for MRB", "rework": "Rework",
    }  # fmt: skip
    assert plan.meanings == {"D": "run", "S": "set-up", "B": "down"}
    table = to_events(raw, plan).table
    assert table.height == 4543
    assert [table[name].sum() for name in ("good", "scrap", "held", "rework")] == [92519, 593, 105, 32]
    assert int(((table["end"] - table["start"]).dt.total_seconds() != table["span"]).sum()) == 705
    assert table["span"].null_count() == 0
