"""What words mean, also the rare ones; which column is which where two would do; what XES declares for all events."""

from __future__ import annotations

from pathlib import Path

import polars as pl
import pytest

from pullwright.watch.log.convert import to_events
from pullwright.watch.log.decide import decide
from pullwright.watch.log.guess import guess_columns
from pullwright.watch.log.oddities import oddities
from pullwright.watch.log.raw import RawLog
from pullwright.watch.log.reading import open_log


def moments(folder: Path, words: list[str]) -> RawLog:
    lines = ["order,step,time,status"]
    lines += [f"P{n // 2},saw,2024-05-06 {6 + n // 60:02d}:{n % 60:02d},{word}" for n, word in enumerate(words)]
    (folder / "log.csv").write_text("\n".join(lines), "utf-8")
    return open_log(folder / "log.csv")


def test_a_lifecycle_word_that_nobody_explained_is_no_end_but_set_aside(tmp_path: Path) -> None:
    raw = moments(tmp_path, ["start", "complete"] * 3 + ["start", "parked", "start", ""])
    plan = guess_columns(raw)
    del plan.phases["parked"]  # type: ignore[attr-defined]
    found = to_events(raw, plan)
    odd = next(one for one in found.read_oddities if one.key == "unknown lifecycle word")
    assert (odd.count, odd.rows, odd.choices) == (2, (9, 11), ("set aside",))
    assert "2 rows say parked, nothing in status" in odd.sentence
    assert found.table.filter(pl.col("row").is_in([9, 11])).select("start", "end").rows() == [(None, None)] * 2
    decided = decide(found)
    assert (
        dict(decided.aside.iter_rows()).items() >= {9: "unknown lifecycle word", 11: "unknown lifecycle word"}.items()
    )
    assert decided.events.table.height == 3


def test_a_row_whose_lifecycle_word_nobody_explained_is_told_once(tmp_path: Path) -> None:
    raw = moments(tmp_path, ["start", "complete", "parked", "start", "complete"])
    raw = RawLog(
        raw.table.with_columns(time=pl.col("time").replace("2024-05-06 06:04", "")), raw.name, raw.form, raw.headers
    )
    plan = guess_columns(raw)
    del plan.phases["parked"]  # type: ignore[attr-defined]
    events = to_events(raw, plan)

    told = {one.key: one.rows for one in (*events.read_oddities, *oddities(events))}
    assert told["unknown lifecycle word"] == (4,)
    assert 4 not in told.get("no time", ())
    assert told["no time"] == (6,)  # a known word without a moment is told as ever


def test_rare_words_are_looked_for_in_the_whole_file(tmp_path: Path) -> None:
    words = ["start", "complete"] * 13_000
    words[1_251] = "parked"
    raw = moments(tmp_path, words)
    raw = RawLog(raw.table.with_columns(time=pl.lit("2024-05-06 06:00")), raw.name, raw.form, raw.headers)
    plan = guess_columns(raw)
    assert plan.phases == {"start": "start", "complete": "end", "parked": "other"}
    assert plan.phase_counts["parked"] == 1
    assert any("parked in status begin something or end it?" in question for question in plan.questions)


def unnamed(order: str = "c1") -> RawLog:
    """A log whose headers say nothing; c3 is a person who works on whatever comes."""
    rows = []
    for n in range(60):
        for k, step in enumerate(("saw", "turn", "mill", "hone", "wash")):
            at = 20_000 * n + 700 * k
            clock = f"2024-05-{6 + at // 86_400:02d} {at // 3600 % 24:02d}:{at // 60 % 60:02d}"
            rows.append((f"K{n:03d}", step, f"W{n * 7 % 5 * 5 + k}", ("S1", "S1", "S2", "S3", "S3")[k], clock))
    table = pl.DataFrame(rows, schema=[order, "c2", "c3", "machine", "c5"], orient="row")
    return RawLog(table.with_row_index("row", 2), "log.csv", "CSV, commas, UTF-8", (order, "c2", "c3", "machine", "c5"))


def test_the_step_is_what_the_station_follows_from() -> None:
    plan = guess_columns(unnamed())
    assert {role: plan.column(role) for role in ("case", "activity", "station")} == {"case": "c1", "activity": "c2", "station": "machine"}  # type: ignore[arg-type]  # fmt: skip
    assert "100% of its rows have one station" in next(one.reason for one in plan.guesses if one.role == "activity")


@pytest.mark.parametrize("swapped", [False, True])
def test_of_two_columns_named_alike_the_one_in_which_the_times_run_on_is_the_order(swapped: bool) -> None:
    raw = unnamed("order")
    table = raw.table.sort("row").with_columns(job=pl.col("c3")).drop("c3")
    names = ("order", "job") if not swapped else ("job", "order")
    table = table.select("row", *names, "c2", "machine", "c5")
    # Written down by the order, not by the clock.
    table = table.sort("order", descending=True, maintain_order=True)
    plan = guess_columns(RawLog(table, "log.csv", raw.form, tuple(table.columns[1:])))
    assert plan.column("case") == "order"
    assert "the times go on in 100% of its rows" in next(one.reason for one in plan.guesses if one.role == "case")


XES = """<?xml version="1.0"?><log>
<global scope="trace"><string key="product" value="pump"/></global>
<global scope="event"><string key="lifecycle:transition" value="complete"/><string key="org:resource" value="bench"/>
<date key="time:timestamp" value="1970-01-01T00:00:00Z"/></global>
<classifier name="work" keys="concept:name org:resource lifecycle:transition"/>
<classifier name="what" keys="'concept:name'"/><classifier scope="trace" name="all" keys="product concept:name"/>
<trace><string key="concept:name" value="P1"/>
<event><string key="concept:name" value="saw"/><string key="org:resource" value="S1"/><string key="lifecycle:transition" value="start"/><date key="time:timestamp" value="2024-05-06T06:00:00Z"/></event>
<event><string key="concept:name" value="saw"/><string key="org:resource" value="S1"/><date key="time:timestamp" value="2024-05-06T07:00:00Z"/></event>
<event><string key="concept:name" value="pack"/></event></trace>
<trace><string key="concept:name" value="P2"/><string key="product" value="valve"/><event><string key="concept:name" value="saw"/></event></trace></log>"""  # fmt: skip


def test_what_xes_declares_for_all_events_stands_in_for_what_is_missing_but_no_moment_is_made_up(
    tmp_path: Path,
) -> None:
    (tmp_path / "log.xes").write_text(XES, "utf-8")
    raw = open_log(tmp_path / "log.xes")
    assert raw.table["lifecycle:transition"].to_list() == ["start", "complete", "complete", "complete"]
    assert raw.table["org:resource"].to_list() == ["S1", "S1", "bench", "bench"]
    assert raw.table["case product"].to_list() == ["pump"] * 3 + ["valve"]
    assert raw.table["time:timestamp"].null_count() == 2
    assert (
        "3 events do not say lifecycle:transition; what the log declares for all stands there (complete)."
        in raw.noticed
    )
    assert raw.table["classifier work"].to_list() == ["saw + S1", "saw + S1", "pack + bench", "saw + bench"]
    assert "classifier what" not in raw.headers
    plan = guess_columns(raw)
    assert (plan.column("case"), plan.column("activity")) == ("case concept:name", "concept:name")
