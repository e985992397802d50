"""Every row answers why: down to a field of the line file that stands on the cited line, a reading, a count, or a rule with its reason."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from pullwright.account import Accounts, Row, accounts_of
from pullwright.figure import Figure
from pullwright.figure.walk import breadth_first
from pullwright.line import Line
from tests.account.bracket import bracket_text

OTHER = {"study": "readings", "count": None}
WITHOUT_A_PLACE = {"common practice", "computed", "published"}


def rows_of(accounts: Accounts) -> Iterator[tuple[str, Row]]:
    for account in accounts.all():
        for row in account.rows:
            yield account.key, row


def given_below(figure: Figure) -> Iterator[Figure]:
    return (one for one in breadth_first(figure) if not one.inputs)


def depth(figure: Figure) -> int:
    levels = {figure: 0}
    for one in breadth_first(figure):
        for inner in one.inputs:
            levels.setdefault(inner, levels[one] + 1)
    return max(levels.values())


def field_of(figure: Figure) -> str:
    """The field that a given figure names last: steps / bend / set_up / time stands on a line with `time`, working days with `days_off`."""
    assert figure.source is not None
    words = [word for word in figure.source.text.split(" / ") if not word.startswith("#")]
    return words[-1]


@pytest.fixture(scope="module")
def written_out() -> Line:
    """The bracket with all that the file may leave out written down."""
    text = bracket_text()
    for old, new in (
        ("station: press\n", "station: press\n    people: 1\n"),
        ("set_up: {time: 10 min}", "set_up: {time: 10 min, people: 1}"),
        ("{name: press, floor", "{name: press, machines: 1, floor"),
        ("speed: 1 m/s", "people: 1, speed: 1 m/s"),
        ("floor: 1.5 m2}", "floor: 1.5 m2, stack: 1}"),
        ("{people: 3,", "{lines: 1, people: 3,"),
    ):
        assert old in text, old
        text = text.replace(old, new)
    return Line.from_text(text, name="bracket.yaml")


@pytest.mark.parametrize("which", ["demo_line", "written_out"])
def test_every_given_figure_below_a_row_has_a_source(which, request):
    for key, row in rows_of(accounts_of(request.getfixturevalue(which))):
        for figure in given_below(row.amount):
            source = figure.source
            assert source is not None, (key, row.key, figure.name)
            assert source.kind in {"line file", "study", "count", "reading"} | WITHOUT_A_PLACE
            if source.kind in WITHOUT_A_PLACE:
                assert len(source.text.split()) >= 3, figure.name
            else:
                assert source.file
                assert source.line


@pytest.mark.parametrize("which", ["demo_line", "written_out"])
def test_the_cited_line_of_the_file_holds_the_field(which, request):
    line = request.getfixturevalue(which)
    lines = line.text.splitlines()
    checked = 0
    for key, row in rows_of(accounts_of(line)):
        for figure in given_below(row.amount):
            if (
                figure.source is not None
                and figure.source.kind in ("line file", "count")
                and "looks" not in figure.name
            ):
                at = lines[(figure.source.line or 0) - 1]
                assert re.search(rf"\b{re.escape(field_of(figure))}\b", at), (key, row.key, figure.name, at)
                checked += 1
    assert checked > 200


def test_readings_of_a_study_stand_on_the_cited_line(demo, demo_line):
    study = next(figure for figure in given_below(demo.tied_up.whole) if figure.name == "study T-014")
    assert study.source is not None
    at = demo_line.text.splitlines()[(study.source.line or 0) - 1]
    assert len(study.source.readings) == 12
    assert all(f"{reading.value:g} s" in at for reading in study.source.readings)


def test_samples_say_which_round_found_what(demo, demo_line):
    lines = demo_line.text.splitlines()
    seen = demo.hours.row("waiting").seen
    assert seen is not None
    assert seen.source is not None
    for reading in seen.source.readings:
        at = lines[int(reading.where.rpartition(":")[2]) - 1]
        assert f"waiting: {reading.value:g}" in at
        assert reading.when in at


def test_most_rows_open_five_levels_down_themselves_counted(demo):
    shallow = {
        ("floor", "stations"), ("floor", "places"), ("floor", "ways"), ("floor", "red-tagged"),
        ("hours", "waiting"), ("tied up", "owed to us"), ("tied up", "owed by us"),
    }  # fmt: skip
    for key, row in rows_of(demo):
        if (key, row.key) not in shallow:
            assert depth(row.amount) + 1 >= 5, (key, row.key, depth(row.amount))


def test_the_year_goes_down_from_money_to_a_stopwatch_reading(demo):
    figure = demo.year.row("ahead").amount
    assert figure.find("study T-014") is not None
    assert figure.find("growth of the counts / stores / before hone bore") is not None
    assert figure.find("people / machining / wage") is not None


def test_every_row_reads_aloud(demo):
    for _, row in rows_of(demo):
        assert str(row.amount.why(depth=3)).startswith(f"{row.amount.name}: ")
