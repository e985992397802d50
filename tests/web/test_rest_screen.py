"""The rest of today on its page: what is typed is planned, nothing typed is lost, wishes stay, every number answers why, and it is printed."""

from __future__ import annotations

import html
import re
from urllib.parse import parse_qsl, urlencode

import pytest

from pullwright.pull.sequence.of_line import day_of
from pullwright.pull.sequence.rest import rest_of
from pullwright.survey.planned.rest import ToldRest
from tests.pull.sequence.sequenced_lines import carts
from tests.web.small_line import ODD_NAMES

PAGE = "/lines/carts/plan/rest"
FLOW = carts()
ASKED = {"now": "10:40", "done": "12", "started": "2", "asked.green": "6 more"}


@pytest.fixture(scope="module")
def expected():
    return ToldRest(rest_of(FLOW, day_of(FLOW), ASKED))


@pytest.fixture
def shop(record, bench_app, visitor_of):
    record.add_line("carts", "Carts", FLOW.line.text, "A. Weber", "")
    return visitor_of(bench_app)


def told(visitor, typed, page=PAGE):
    return visitor.get(f"{page}.json?{urlencode(typed)}").json()


def fields(tree, text):
    return {one["name"]: one.get("value", "") for one in tree(text).all("input") if "name" in one}


def test_the_page_says_what_the_engine_plans(shop, expected):
    page = told(shop, ASKED)
    assert page["found"] == {"text": expected.chapter.sentence, "look": True}
    assert page["sequence"] == list(expected.rest.day.sequence)
    assert page["left_over"] == expected.rest.day.left_over
    assert page["part"]["reasons"] == list(expected.chapter.reasons)
    assert [table["caption"] for table in page["part"]["tables"]] == [one.caption for one in expected.chapter.tables]


def test_the_form_holds_what_was_typed_and_what_is_asked_for_so_far(shop, tree):
    text = shop.get(f"{PAGE}?{urlencode(ASKED)}").text
    read = tree(text)
    assert not read.open
    typed = fields(tree, text)
    assert {name: typed[name] for name in ASKED} == ASKED
    assert typed["asked.red"] == "12"
    assert all(f"{kind}.{name}" in typed for kind in ("asked", "done", "lost") for name in ("red", "blue", "green"))


def test_with_nothing_typed_the_day_is_the_day(shop):
    page = told(shop, {})
    assert page["sequence"] == list(day_of(FLOW).sequence)
    assert page["found"]["text"].startswith("The rest stays as it was planned: 24 pieces more")


def test_every_number_answers_why(shop):
    page = told(shop, ASKED)
    ways = {
        cell["figure"]["why"]
        for table in page["part"]["tables"]
        for row in table["rows"]
        for cell in row["cells"]
        if cell["figure"]
    }
    assert len(ways) > 30
    for way in sorted(ways)[::4]:
        answer = shop.get(html.unescape(way))
        assert answer.status_code == 200, way
        assert "How it is made" in answer.text
    text = shop.get(f"{PAGE}?{urlencode(ASKED)}").text
    assert text.count('<span class="figure">') == text.count('<span class="figure"><a href=') > 30


def test_a_why_of_what_is_not_there_leads_back(shop):
    answer = shop.get(f"{PAGE}/why?figure=takt+of+tomorrow&{urlencode(ASKED)}")
    assert answer.status_code == 404
    assert f"{PAGE}?" in html.unescape(answer.text)
    assert shop.get(f"{PAGE}/why?figure=takt+of+the+day&done=99").status_code == 422


def test_what_cannot_be_is_said_at_its_field_and_nothing_typed_is_lost(shop, tree):
    wrong = {
        "now": "26:00",
        "done": "4",
        "started": "many",
        "asked.green": "-1",
        "asked.pink": "3",
        "until": "17:00",
        "lost.red": "0",
    }
    answer = shop.get(f"{PAGE}?{urlencode(wrong)}")
    assert answer.status_code == 200
    typed = fields(tree, answer.text)
    assert {name: typed[name] for name in wrong} == wrong
    said = html.unescape(answer.text).replace("\u00a0", " ")
    for words in (
        "'26:00' was read",
        "'many' was read",
        "For fewer type '1 fewer'",
        "product 'pink' was read; allowed: red, blue, green",
    ):
        assert words in said
    page = told(shop, wrong)
    assert page["found"]["look"]
    assert page["part"] is None
    assert [one["name"] for one in page["wrong"]] == ["asked.pink", "now", "asked.green", "started"]


@pytest.mark.parametrize(
    "typed",
    [
        {"done": "25"},
        {"now": "05:00"},
        {"done.red": "13"},
        {"done": "20", "started": "5"},
        {"asked.red": "0", "asked.blue": "0", "asked.green": "0"},
    ],
)
def test_one_thing_that_cannot_be_is_in_the_first_line(shop, typed):
    page = told(shop, typed)
    assert page["found"]["text"].startswith("Nothing is planned anew yet.")
    assert "allowed:" in page["found"]["text"]
    assert len(page["wrong"]) == 1


def test_wishes_are_kept_on_the_way_there_and_back(shop, tree):
    plan = shop.get("/lines/carts/plan?day.pitch=3").text
    assert f'href="{PAGE}?day.pitch=3"' in plan
    text = shop.get(f"{PAGE}?day.pitch=3&{urlencode(ASKED)}").text
    assert ("day.pitch", "3") in [(one.get("name"), one.get("value")) for one in tree(text).all("input")]
    assert 'href="/lines/carts/plan?day.pitch=3#today"' in text
    assert "pieces asked for at a time: 3" in text
    assert "A slot asks for 3 pieces" in text.replace("\u00a0", " ")


def test_the_link_to_longer_work_makes_all_of_it(shop):
    page = shop.get(f"{PAGE}?{urlencode(ASKED)}").text
    way = html.unescape(re.search(r'<a href="([^"]+)">All of it, with work until', page)[1])
    longer = told(shop, parse_qsl(way.partition("?")[2]))
    assert longer["left_over"] == {}
    assert longer["found"]["text"].startswith("All that is asked for now fits until")


def test_a_second_change_goes_on_from_the_first(shop, tree):
    typed = {**ASKED, "asked.green": "1 more"}
    page = shop.get(f"{PAGE}?{urlencode(typed)}").text
    way = html.unescape(re.search(r'<a href="([^"]+)">Something else has changed', page)[1])
    assert dict(parse_qsl(way.partition("?")[2])) == {"before": urlencode(typed)}
    text = shop.get(way).text
    assert fields(tree, text)["asked.green"] == "5"
    assert "was planned anew once before" in text
    second = told(shop, [*parse_qsl(way.partition("?")[2]), ("done", "13"), ("now", "11:30")])
    assert second["sequence"][:12] == told(shop, typed)["sequence"][:12]
    assert second["earlier"] == 1
    assert shop.get(f"{PAGE}?before=done%3D99").status_code == 422
    assert shop.get(f"{PAGE}?before=colour%3Dred").status_code == 422
    assert shop.get(f"{PAGE}?{urlencode([('before', 'done=1')] * 13)}").status_code == 422


def test_a_slip_in_a_wish_is_said_as_on_the_plan(shop):
    answer = shop.get(f"{PAGE}?day.pich=3")
    assert answer.status_code == 422
    assert "did you mean day.pitch?" in html.unescape(answer.text)


def test_where_the_day_has_no_sequence_it_is_said(shop):
    page = told(shop, {"day.set_ups": "1"})
    assert page["refused"]
    assert page["found"]["text"].startswith("There is no sequence of today to plan anew")


def test_it_is_there_for_examples_and_earlier_revisions_and_printed(shop, record):
    record.revise("carts", FLOW.line.text.replace("demand: 12 /d", "demand: 11 /d"), "A. Weber", "", 1)
    assert told(shop, {}, "/lines/carts/revisions/1/plan/rest")["sequence"].count("red") == 12
    assert told(shop, {})["sequence"].count("red") == 11
    assert shop.get("/examples/first-line/plan/rest?done=1").status_code == 200
    printed = shop.get(f"/lines/carts/revisions/1/plan/rest.pdf?{urlencode(ASKED)}")
    assert printed.headers["content-type"] == "application/pdf"
    assert printed.headers["content-disposition"] == 'inline; filename="carts-rest.pdf"'
    assert printed.content.startswith(b"%PDF-")
    assert shop.get(f"{PAGE}.pdf?done=99").status_code == 422


def test_names_of_any_letters_are_planned(record, bench_app, visitor_of):
    record.add_line("odd", "Odd", ODD_NAMES, "A. Weber", "")
    name = "'; DROP TABLE lines; --"
    typed = {"done": "4", "now": "08:00", f"asked.{name}": "2 more", f"lost.{name}": "1"}
    answer = visitor_of(bench_app).get(f"/lines/odd/plan/rest?{urlencode(typed)}")
    assert answer.status_code == 200
    assert "<script>alert" not in answer.text
    assert told(visitor_of(bench_app), typed, "/lines/odd/plan/rest")["done"] == 3
