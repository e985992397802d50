"""What the analyses of a log find is what really happened in the works that the log was made from.

Bounds: a mean is held to within four standard errors of what the works was made with, a share to within four standard
deviations of its binomial law; with fixed seeds, so that a test that passes keeps passing.
"""

from __future__ import annotations

import math
from collections import Counter
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pytest

from pullwright.line import Line
from pullwright.survey import survey_of
from pullwright.watch.log.convert import to_events
from pullwright.watch.log.draft import Draft, draft_line
from pullwright.watch.log.events import Events, Oddity
from pullwright.watch.log.guess import guess_columns
from pullwright.watch.log.invented import Dirt, MadeLog, Works, dirtied, made_log
from pullwright.watch.log.reading import open_log

oddities = pytest.importorskip("pullwright.watch.log.oddities", reason="oddities of a log cannot be found yet").oddities

from pullwright.watch.log.decide import Decided, decide  # noqa: E402
from pullwright.watch.log.story import Story, story  # noqa: E402

WORKS = Works(days=96)


class Told(NamedTuple):
    """A made log and what was found in it."""

    log: MadeLog
    events: Events
    decided: Decided
    story: Story


def told(log: MadeLog, folder: Path) -> Told:
    file = folder / "works.csv"
    file.write_text(log.csv(), "utf-8")
    raw = open_log(file)
    events = to_events(raw, guess_columns(raw))
    taken = decide(events)
    return Told(log, events, taken, story(taken))


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> Told:
    return told(made_log(WORKS, rng=np.random.default_rng(7)), tmp_path_factory.mktemp("log"))


@pytest.fixture(scope="module")
def draft(found: Told) -> Draft:
    return draft_line(found.story, found.decided, name="Works")


@pytest.mark.parametrize("step", WORKS.steps, ids=lambda step: step.name)
def test_the_time_of_a_piece_is_that_of_the_works(found: Told, step) -> None:  # type: ignore[no-untyped-def]
    visits = [visit for visit in found.log.truth.visits if visit.step == step.name]
    made = sum(step.mean(visit.product) * visit.pieces for visit in visits) / sum(visit.pieces for visit in visits)

    measured = found.story.steps.of(step.name).per_piece.value

    assert measured == pytest.approx(made, abs=4 * step.cv * made / math.sqrt(len(visits)))
    assert measured == pytest.approx(sum(v.run for v in visits) / sum(v.pieces for v in visits), rel=0.03)


@pytest.mark.parametrize("step", [step for step in WORKS.steps if not step.times], ids=lambda step: step.name)
def test_the_spread_of_a_step_is_that_of_the_works(found: Told, step) -> None:  # type: ignore[no-untyped-def]
    visits = [visit for visit in found.log.truth.visits if visit.step == step.name]
    runs = np.array([visit.run for visit in visits])

    measured = found.story.steps.of(step.name).touch_cv

    # The standard error of a cv is about cv x sqrt((0.5 + cv²) / n).
    assert measured == pytest.approx(step.cv, abs=4 * step.cv * math.sqrt((0.5 + step.cv**2) / len(runs)) + 0.03)
    assert measured == pytest.approx(runs.std(ddof=1) / runs.mean(), rel=0.15)


@pytest.mark.parametrize("step", [step for step in WORKS.steps if step.setup], ids=lambda step: step.name)
def test_set_ups_are_those_of_the_works(found: Told, step) -> None:  # type: ignore[no-untyped-def]
    many = sum(1 for visit in found.log.truth.visits if visit.step == step.name and visit.setup)
    row = found.story.steps.of(step.name)

    assert row.setup_from == "kind"
    assert row.setup.value == pytest.approx(step.setup, abs=4 * step.setup_cv * step.setup / math.sqrt(many))


def test_scrap_is_that_of_the_works(found: Told) -> None:
    for step in (step for step in WORKS.steps if step.scrap):
        visits = [visit for visit in found.log.truth.visits if visit.step == step.name]
        pieces = sum(visit.pieces for visit in visits)
        row = next(one for one in found.story.yields.steps if one.step == step.name)

        assert row.scrap.value == pytest.approx(sum(v.scrapped for v in visits) / pieces, rel=1e-9)
        assert row.scrap.value == pytest.approx(step.scrap, abs=4 * math.sqrt(step.scrap * (1 - step.scrap) / pieces))


def test_orders_go_back_as_often_as_in_the_works(found: Told) -> None:
    truly = len({visit.order for visit in found.log.truth.visits if visit.again and visit.step == "assemble"})

    loop = next(one for one in found.story.way.repeats if one.step == "assemble")

    assert loop.after == "leak test"
    assert loop.cases == truly


def test_the_calendar_is_that_of_the_works(found: Told) -> None:
    calendar = found.story.calendar.calendar

    assert [(shift.start, shift.end, sorted(shift.days)) for shift in calendar.shifts] == [
        (21_600, 52_200, [0, 1, 2, 3, 4])
    ]
    assert [(one.start, one.end) for one in calendar.shifts[0].breaks] == [(32_400, 33_300), (43_200, 45_000)]
    within = {day for day in WORKS.days_off if found.story.calendar.first < day < found.story.calendar.last}
    assert set(calendar.days_off) == within


def test_the_way_is_that_of_the_works(found: Told) -> None:
    assert [one.step for one in found.story.way.order] == [step.name for step in WORKS.steps]
    assert found.story.way.usual == tuple(step.name for step in WORKS.route("P-32"))


def test_lead_times_are_those_of_the_works(found: Told) -> None:
    calendar = WORKS.calendar()
    day = calendar.average_day().working
    through = [order for order in found.log.truth.orders if order.end]
    days = [calendar.between(order.start, order.end) / day for order in through if order.end]

    lead = found.story.lead.all

    assert lead.finished == len(through)
    assert lead.mean_worked.value == pytest.approx(float(np.mean(days)), rel=0.02)


def test_machines_are_counted_as_they_stand_in_the_works(found: Told) -> None:
    counted = {one.station: one.machines for one in found.story.stations.stations}

    assert counted == {station.name: station.machines for station in WORKS.stations}


def test_breakdowns_are_those_of_the_works(found: Told) -> None:
    truly = Counter(station for station, _ in found.log.truth.breakdowns)
    for station in (one for one in WORKS.stations if one.between):
        row = next(one for one in found.story.breakdowns.stations if one.station == station.name)

        assert row.count == pytest.approx(truly[station.name], abs=1)
        # Means of exponential times: the standard error is the mean by the root of their number.
        assert row.between.value == pytest.approx(station.between, abs=4 * station.between / math.sqrt(row.count))
        assert row.repair.value == pytest.approx(station.repair, abs=4 * station.repair / math.sqrt(row.count))


def test_littles_law_holds_on_the_log(found: Told) -> None:
    assert found.story.wip.little.exact_error < 1e-9


def test_the_draft_is_the_line_of_the_works(draft: Draft) -> None:
    line = Line.from_text(draft.text, name="draft")

    assert [step.name for step in line.steps] == [step.name for step in WORKS.steps]
    assert {one.name: one.machines for one in line.stations} == {one.name: one.machines for one in WORKS.stations}
    assert line.steps[3].for_ == ("P-32", "P-40")
    assert line.steps[6].rework is not None
    assert line.steps[6].rework.to == "assemble"
    assert {element.for_ for element in line.steps[2].elements} >= {("P-50",)}


def test_the_whole_workbench_takes_the_draft_as_it_is(draft: Draft) -> None:
    survey = survey_of(Line.from_text(draft.text, name="draft"))

    assert survey.flow.keeps_up
    assert survey.accounts.all()
    assert survey.drawing()


def test_what_was_dirtied_is_found_with_its_rows(tmp_path: Path) -> None:
    rng = np.random.default_rng(5)
    dirt = Dirt(duplicates=6, spellings=9, missing_ends=7, overlaps=4, midnight=3)
    log = dirtied(made_log(Works(days=40), rng=rng), dirt, rng=rng)
    dirty = told(log, tmp_path)
    odd: dict[str, Oddity] = {one.key: one for one in (*dirty.events.read_oddities, *oddities(dirty.events))}

    for kind, key in (("duplicates", "duplicates"), ("missing_ends", "no end"), ("midnight", "midnight")):
        assert set(log.truth.dirt[kind]) <= set(odd[key].rows), kind
    steps = {one.step for one in dirty.story.way.order}
    assert steps == {step.name for step in WORKS.steps}
