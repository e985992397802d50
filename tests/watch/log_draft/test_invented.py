"""The invented log is what it says it is: its rows follow from its truth, and the file of the examples from its maker."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from pullwright.examples import EXAMPLES
from pullwright.watch.log.invented import MOMENT, Dirt, MadeLog, Works, dirtied, example_log, made_log

ROOT = Path(__file__).parents[3]


@pytest.fixture(scope="module")
def log() -> MadeLog:
    return made_log(rng=np.random.default_rng(11))


def seconds(row: dict[str, str]) -> float:
    begin, end = (dt.datetime.strptime(row[name], MOMENT) for name in ("Start", "End"))
    return (end - begin).total_seconds()


def test_the_example_file_is_what_its_maker_makes() -> None:
    assert (ROOT / "examples" / "hand_pump_log.csv").read_text("utf-8") == example_log().csv()


def test_a_log_is_not_offered_as_a_line() -> None:
    assert all(example.file.suffix == ".yaml" for example in EXAMPLES)


def test_bookings_of_a_visit_add_up_to_its_work(log: MadeLog) -> None:
    booked: dict[tuple[str, str], float] = defaultdict(float)
    truly: dict[tuple[str, str], float] = defaultdict(float)
    done = {(visit.order, visit.step) for visit in log.truth.visits}
    for visit in log.truth.visits:
        truly[visit.order, visit.step] += visit.run
    for row in log.rows:
        if row["Kind of work"] == "run":
            booked[row["Order"], row["Step"]] += seconds(row)

    finished = {order.order for order in log.truth.orders if order.end}
    for key in (key for key in done if key[0] in finished):
        assert booked[key] == pytest.approx(truly[key], abs=20)  # moments are cut to whole seconds


def test_no_machine_works_on_two_orders_and_nobody_works_out_of_hours(log: MadeLog) -> None:
    calendar, busy = log.truth.works.calendar(), defaultdict(list)
    for visit in log.truth.visits:
        busy[visit.station, visit.machine].append((visit.start, visit.end))
    for spans in busy.values():
        spans.sort()
        assert all(one[1] <= other[0] + dt.timedelta(seconds=1) for one, other in pairwise(spans))
    for row in log.rows:
        begin = dt.datetime.strptime(row["Start"], MOMENT)
        assert calendar.between(begin, begin + dt.timedelta(seconds=seconds(row))) == pytest.approx(seconds(row), abs=2)


def test_the_same_seed_gives_the_same_log_and_another_one_another() -> None:
    short = Works(days=10)
    one, same, other = (made_log(short, rng=np.random.default_rng(seed)).csv() for seed in (3, 3, 4))

    assert one == same != other


def test_the_truth_names_the_rows_that_were_spoilt() -> None:
    rng = np.random.default_rng(5)
    clean = made_log(Works(days=20), rng=rng)
    spoilt = dirtied(clean, Dirt(duplicates=3, spellings=4, missing_ends=5, overlaps=2, midnight=2), rng=rng)
    row_of = {k + 2: row for k, row in enumerate(spoilt.rows)}
    dirt = spoilt.truth.dirt

    assert {kind: len(rows) for kind, rows in dirt.items()} == {
        "duplicates": 3,
        "spellings": 4,
        "missing_ends": 5,
        "overlaps": 2,
        "midnight": 2,
    }
    assert all(row_of[k] == row_of[k - 1] for k in dirt["duplicates"])
    assert all(row_of[k]["End"] == "" for k in dirt["missing_ends"])
    assert all(row_of[k]["End"].endswith("00:00:00") for k in dirt["midnight"])
    assert all(row_of[k]["Step"] not in {step.name for step in clean.truth.works.steps} for k in dirt["spellings"])
    assert len(clean.rows) + 3 == len(spoilt.rows)
