"""Moments in many ways of writing, across the hours that the clock jumps over and that come twice."""

from __future__ import annotations

from pathlib import Path

import polars as pl
import pytest

from pullwright.watch.log.convert import to_events
from pullwright.watch.log.events import Events, Oddity
from pullwright.watch.log.guess import guess_columns
from pullwright.watch.log.reading import open_log
from pullwright.watch.log.time_forms import read_times


def events(folder: Path, rows: list[tuple[str, str]], zone: str = "") -> Events:
    path = folder / "log.csv"
    path.write_text("\n".join(["order;step;start;end", *(f"A;saw;{a};{b}" for a, b in rows)]), "utf-8")
    raw = open_log(path)
    return to_events(raw, guess_columns(raw).with_reading(zone=zone))


def minutes(found: Events) -> list[int | None]:
    spans: list[int | None] = (found.table["end"] - found.table["start"]).dt.total_minutes().to_list()
    return spans


def met(found: Events) -> dict[str, Oddity]:
    return {one.key: one for one in found.read_oddities}


@pytest.mark.parametrize(
    ("spring", "autumn"),
    [
        (("2024-03-31T01:30:00+01:00", "2024-03-31T03:30:00+02:00"), ("2024-10-27T01:30:00+02:00", "2024-10-27T03:30:00+01:00")),
        (("2024-03-31 01:30", "2024-03-31 03:30"), ("2024-10-27 01:30", "2024-10-27 03:30")),
    ],
    ids=["offsets", "zone set"],
)  # fmt: skip
def test_a_span_across_a_jump_lasts_as_long_as_it_did(
    spring: tuple[str, str], autumn: tuple[str, str], tmp_path: Path
) -> None:
    found = events(tmp_path, [spring, autumn], "" if "T" in spring[0] else "Europe/Vienna")
    assert minutes(found) == [60, 180]
    assert found.table["clock"].to_list() == [3600, 7200]
    assert not found.read_oddities


def test_without_a_zone_a_span_across_a_jump_lasts_as_the_clock_says(tmp_path: Path) -> None:
    found = events(tmp_path, [("2024-03-31 01:30", "2024-03-31 03:30"), ("2024-10-27 01:30", "2024-10-27 03:30")])
    assert minutes(found) == [120, 120]


def test_the_southern_half_of_the_world_jumps_the_other_way(tmp_path: Path) -> None:
    found = events(tmp_path, [("2024-10-06 01:30", "2024-10-06 03:30"), ("2024-04-07 01:30", "2024-04-07 03:30")], "Australia/Sydney")  # fmt: skip
    assert minutes(found) == [60, 180]


def test_an_end_in_the_hour_that_comes_twice_is_not_before_its_start(tmp_path: Path) -> None:
    found = events(tmp_path, [("2024-10-27 02:10", "2024-10-27 02:50"), ("2024-10-27 02:50", "2024-10-27 02:10")], "Europe/Vienna")  # fmt: skip
    assert minutes(found) == [40, 20]
    assert met(found)["clock time that comes twice"].rows == (2, 3)


def test_three_ways_of_writing_are_each_read_and_told_with_their_rows(tmp_path: Path) -> None:
    usual = [(f"2024-05-{day:02d} 06:00", f"2024-05-{day:02d} 07:00") for day in range(13, 18)]
    found = events(tmp_path, [*usual, ("18.05.2024 06:00", "18.05.2024 07:00"), ("05/19/2024 6:00 AM", "05/19/2024 7:00 AM"), ("soon", "2024-05-20 07:00")])  # fmt: skip
    assert minutes(found) == [60] * 7 + [None]
    odd = next(one for one in found.read_oddities if one.key == "several date formats" and one.column == "start")
    assert odd.rows == (7, 8)
    assert "start is written in 3 ways: YYYY-MM-DD h:mm in 5;" in odd.sentence
    assert met(found)["unreadable time"].rows == (9,)
    assert met(found)["unreadable time"].choices == ("leave it out",)


def test_moments_without_a_zone_among_others_are_told_and_taken_with_theirs(tmp_path: Path) -> None:
    rows = [("2024-07-01T06:00:00+02:00", "2024-07-01T07:00:00+02:00"), ("2024-07-01T08:00:00", "2024-07-01T09:00:00+02:00"), ("2024-07-01T10:00:00+02:00", "2024-07-01T11:00:00+02:00")]  # fmt: skip
    found = events(tmp_path, rows)
    assert minutes(found) == [60, 60, 60]
    odd = met(found)["zone not said"]
    assert (odd.rows, odd.column) == ((3,), "start")
    assert "offset of the others" in odd.sentence
    set_by_hand = events(tmp_path, rows, "Europe/London")
    assert minutes(set_by_hand) == [60, 0, 60]
    assert "taken in Europe/London" in met(set_by_hand)["zone not said"].sentence


def test_a_column_without_zones_beside_one_with_them_is_brought_on_the_same_scale(tmp_path: Path) -> None:
    found = events(tmp_path, [("2024-07-01T06:00:00+02:00", "2024-07-01 07:00"), ("2024-07-01T08:00:00+02:00", "2024-07-01 09:30")])  # fmt: skip
    assert minutes(found) == [60, 90]
    assert met(found)["zone not said"].count == 2


@pytest.mark.parametrize(
    "texts",
    [
        ["3. März 2024 06:15", "4. Mai 2024 06:15", "5. Dezember 2024 06:15"],
        ["03-Mrz-2024 06:15", "04-Mai-2024 06:15", "05-Dez-2024 06:15"],
        ["3 mars 2024 06:15", "4 mai 2024 06:15", "5 décembre 2024 06:15"],
        ["3 mars 24 06:15", "4 mai 24 06:15", "5 déc. 24 06:15"],
        ["3 de marzo de 2024 06:15", "4 de mayo de 2024 06:15", "5 de diciembre de 2024 06:15"],
        ["3 maart 2024 06:15", "4 mei 2024 06:15", "5 december 2024 06:15"],
        ["March 3, 2024 6:15 AM", "May 4, 2024 6:15 AM", "Dec 5, 2024 6:15 AM"],
    ],
)
def test_months_are_known_by_their_names(texts: list[str]) -> None:
    read = read_times(pl.Series("at", texts), day_first=True)
    assert read.at.dt.to_string("%m-%d %H:%M").to_list() == ["03-03 06:15", "05-04 06:15", "12-05 06:15"]
    assert read.at.dt.year().unique().to_list() == [2024]
    assert len(read.forms) == 1


def test_a_word_that_names_no_month_is_no_moment() -> None:
    read = read_times(pl.Series("at", ["3 marble 2024", "4 May 2024"]), day_first=True)
    assert read.lost.to_list() == [0]
