"""The revisions of a line, what differs between two, and an old one put back as a new one."""

from __future__ import annotations

import html
import re

import pytest

from pullwright.line import Line
from pullwright.survey import compare, survey_of
from tests.web.small_line import FAULTY, TOO_MUCH, VALVES

LESS = VALVES.replace("counted: 160", "counted: 60").replace(
    "manual: 150 s", "manual: {low: 120 s, likely: 130 s, high: 150 s}"
)
CHANGES = compare(*(survey_of(Line.from_text(text, name="valves.yaml")) for text in (VALVES, LESS)))
WHO = {"who": "M. Adler", "why": "as it was", "do": "save"}


@pytest.fixture
def two(valves):
    valves.revise("valves", LESS, "M. Adler", "counted & timed again", 1)
    return valves


def test_every_revision_is_listed_with_who_when_and_why_the_latest_first(two, at_bench):
    listed = at_bench.get("/lines/valves/revisions.json").json()["revisions"]
    assert [(one["number"], one["who"], one["why"], one["latest"]) for one in listed] == [
        (2, "M. Adler", "counted & timed again", True),
        (1, "A. Weber", "first count", False),
    ]
    page = at_bench.get("/lines/valves/revisions").text
    assert "counted &amp; timed again" in page
    assert 'href="/lines/valves/revisions/1"' in page


def test_the_comparison_holds_every_difference_of_the_survey_with_its_interval(two, at_bench):
    rows = at_bench.get("/lines/valves/compare.json?before=1&after=2").json()["changes"]["rows"]
    assert [(row["words"], [one["value"] for one in row["figures"]]) for row in rows] == [
        (change.words, [change.before.value, change.after.value, change.difference.value]) for change in CHANGES
    ]
    assert [(row["figures"][2]["low"], row["figures"][2]["high"]) for row in rows] == [
        change.difference.interval() for change in CHANGES
    ]
    assert len(rows) > 10
    for row in rows:
        ways = [one["why"].split("?")[0] for one in row["figures"]]
        assert ways == [f"/lines/valves/{part}/why" for part in ("revisions/1", "revisions/2", "compare")]


def test_the_comparison_shows_both_drawings_and_the_lines_of_text_that_differ(two, at_bench):
    page = at_bench.get("/lines/valves/compare?before=1&after=2").text
    assert "Revision 1: Valve line" in page
    assert "Revision 2: Valve line" in page
    assert "<del>    manual: 150 s</del>" in page
    text = at_bench.get("/lines/valves/compare.json?before=1&after=2").json()["text"]
    assert (text["gone"], text["new"]) == (2, 2)


def test_a_difference_answers_why_with_both_sides(two, at_bench):
    page = at_bench.get("/lines/valves/compare?before=1&after=2").text
    asked = {html.unescape(address) for address in re.findall(r'href="([^"]*/why\?[^"]+)"', page)}
    assert {address.split("?")[0] for address in asked} == {
        "/lines/valves/compare/why", "/lines/valves/revisions/1/why", "/lines/valves/revisions/2/why",
    }  # fmt: skip
    assert [address for address in sorted(asked) if at_bench.get(address).status_code != 200] == []
    change = next(one for one in CHANGES if one.words == "lead time")
    twin = at_bench.get("/lines/valves/compare/why.json?before=1&after=2&figure=lead%20time").json()
    assert [one["figure"]["value"] for one in twin["why"]["inputs"]] == [change.after.value, change.before.value]


def test_a_difference_of_shares_is_told_in_points(two, at_bench):
    rows = at_bench.get("/lines/valves/compare.json?before=1&after=2").json()["changes"]["rows"]
    shares = [row["figures"][2] for row in rows if row["figures"][2]["unit"] == "share"]
    assert shares
    assert {one["unit_words"] for one in shares} == {"% points"}


def test_two_that_are_worked_out_alike_say_so(valves, at_bench):
    valves.revise("valves", VALVES + "# a note\n", "M. Adler", "a note", 1)
    found = at_bench.get("/lines/valves/compare.json?before=1&after=2").json()["found"]["text"]
    assert found.startswith("Nothing that is worked out differs between revisions 1 and 2.")
    assert at_bench.get("/lines/valves/compare?before=1&after=1").status_code == 200


def test_a_later_revision_that_cannot_make_the_demand_says_so_first(valves, at_bench):
    valves.revise("valves", TOO_MUCH, "M. Adler", "a large order", 1)
    page = at_bench.get("/lines/valves/compare.json?before=1&after=2").json()
    assert "This line cannot make 400" in page["found"]["text"]
    assert page["found"]["look"]


def test_an_old_revision_is_put_back_as_a_new_one(two, at_bench):
    answer = at_bench.send("/lines/valves/revisions/1/restore", {"based_on": "2", **WHO})
    assert answer.headers["location"] == "/lines/valves/compare?before=2&after=3"
    assert [one.text for one in two.revisions("valves")] == [VALVES, LESS, VALVES]


def test_putting_back_over_what_somebody_saved_in_between_is_refused_and_can_go_on_top(two, at_bench):
    two.revise("valves", LESS + "# x\n", "A. Weber", "a note", 2)
    answer = at_bench.send("/lines/valves/revisions/1/restore", {"based_on": "2", **WHO})
    assert answer.status_code == 409
    assert "on top of revision 3" in answer.text
    assert len(two.revisions("valves")) == 3


def test_putting_back_the_latest_changes_nothing(two, at_bench):
    answer = at_bench.send("/lines/valves/revisions/2/restore", {"based_on": "2", **WHO})
    assert answer.status_code == 422
    assert len(two.revisions("valves")) == 2


def test_a_revision_that_cannot_be_read_is_not_put_back(record, bench_app, visitor_of):
    record.add_line("broken", "Broken", FAULTY, "A. Weber", "")
    record.revise("broken", VALVES, "A. Weber", "", 1)
    answer = visitor_of(bench_app).send("/lines/broken/revisions/1/restore", {"based_on": "2", **WHO})
    assert answer.status_code == 422
    assert "cannot be read as a line file (2 faults)" in answer.text
    assert len(record.revisions("broken")) == 2


@pytest.mark.parametrize(
    ("asked", "status"),
    [
        ("", 422), ("before=1", 422), ("before=x&after=2", 422), ("before=0&after=1", 422), ("before=1&after=9", 404),
        ("before=1&after=99999999999999", 422), ("before=1%27--&after=2", 422),
    ],
)  # fmt: skip
def test_a_comparison_with_what_is_not_there_is_refused_in_words(two, at_bench, asked, status):
    assert at_bench.get(f"/lines/valves/compare?{asked}").status_code == status


def test_a_figure_that_does_not_differ_leads_back_to_the_comparison(two, at_bench):
    answer = at_bench.get("/lines/valves/compare/why?before=1&after=2&figure=takt%20time")
    assert answer.status_code == 404
    assert 'href="/lines/valves/compare?before=1&amp;after=2"' in answer.text
