"""More or fewer people on its page: every number of the range, its why, its wishes, and the way back to a plan with it."""

from __future__ import annotations

import html
import re

import pytest

from tests.web.test_plan_screen import PAGE, told

HERE = f"{PAGE}/more-or-fewer"


@pytest.fixture
def page(at_bench):
    return told(at_bench, f"{HERE}?fewest=1&most=4")


def test_the_plan_leads_there_and_nothing_of_the_range_is_worked_out_for_it(at_bench):
    said = at_bench.get(f"{PAGE}?balance.load=90+%25").text
    assert f"{HERE}?balance.load=90+%25" in html.unescape(said)


def test_each_number_of_the_range_has_a_row(page):
    assert [row["words"] for row in page["tables"][0]["rows"]] == ["1 person", "2 people", "3 people", "4 people"]
    assert [row["words"] for row in page["tables"][1]["rows"]] == ["1 person", "2 people", "3 people", "4 people"]
    assert all(row["cells"][0]["words"] for row in page["tables"][1]["rows"])


def test_every_number_answers_why(at_bench, page):
    ways = [
        html.unescape(cell["figure"]["why"])
        for table in page["tables"]
        for row in table["rows"]
        for cell in row["cells"]
        if cell["figure"]
    ]
    assert len(ways) >= 10
    for way in ways[::3]:
        answer = at_bench.get(way)
        assert answer.status_code == 200, way
        assert "How it is made" in answer.text
        assert "Back to more or fewer people" in answer.text
    assert at_bench.get(f"{HERE}/why?fewest=1&most=4&figure=nothing").status_code == 404


def test_each_number_can_be_planned(at_bench):
    said = at_bench.get(f"{HERE}?fewest=1&most=4").text
    links = [html.unescape(one) for one in re.findall(r'href="([^"]*balance\.posts=[^"]*)#posts"', said)]
    assert links
    for link in links:
        plan = told(at_bench, link)
        posts = next(part for part in plan["parts"] if part["key"] == "posts")
        assert not posts["refused"], (link, posts["refused"])
        assert len(plan["posts"]) <= int(re.search(r"balance\.posts=(\d+)", link)[1])


def test_wishes_of_the_address_are_kept(at_bench):
    loaded = told(at_bench, f"{HERE}?fewest=2&most=3&balance.load=50+%25")
    assert "highest load of a post" in loaded["wishes"]
    said = at_bench.get(f"{HERE}?fewest=2&most=3&balance.load=50+%25").text
    assert '<input type="hidden" name="balance.load" value="50 %">' in said
    plain = told(at_bench, f"{HERE}?fewest=2&most=3")

    def first_takt(page):
        return page["tables"][0]["rows"][0]["cells"][0]["figure"]["number"]

    assert first_takt(loaded) != first_takt(plain)


@pytest.mark.parametrize("asked", ["fewest=5&most=2", "fewest=0", "fewest=1&most=900", "most=-3", "fewest=many"])
def test_what_is_no_range_is_refused(at_bench, asked):
    assert at_bench.get(f"{HERE}?{asked}").status_code == 422


def test_one_end_alone_is_enough(at_bench):
    page = told(at_bench, f"{HERE}?fewest=2")
    assert page["fewest"] == 2
    assert page["most"] > 2


def test_examples_have_it_too(at_bench):
    assert at_bench.get("/examples/first-line/plan/more-or-fewer").status_code == 200
