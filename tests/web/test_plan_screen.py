"""The plan on its pages: what is wished is planned, every number answers why, what cannot be is said, and what is kept is a revision."""

from __future__ import annotations

import html
import re

import pytest

from pullwright.line import Line
from pullwright.pull.plan import plan_of
from pullwright.pull.wished import WISHES
from pullwright.survey import survey_of
from pullwright.survey.planned.chapters import PARTS
from pullwright.survey.planned.planned import Planned
from tests.web.small_line import ODD_NAMES, VALVES

PAGE = "/lines/valves/plan"


def first_line(answer):
    said = re.search(r"<h1[^>]*>(.*?)</h1>", answer.text, re.DOTALL)[1]
    return html.unescape(re.sub(r"<[^>]+>", "", said)).replace("\u00a0", " ").strip()


def told(visitor, address=PAGE):
    path, _, query = address.partition("?")
    return visitor.get(f"{path}.json{'?' + query if query else ''}").json()


@pytest.fixture(scope="module")
def planned():
    return Planned(plan_of(survey_of(Line.from_text(VALVES)).accounts))


def test_the_page_says_what_the_engine_plans_part_by_part(at_bench, planned):
    page = told(at_bench)
    assert page["found"]["text"] == planned.sentence
    assert [part["key"] for part in page["parts"]] == [part.key for part in PARTS]
    for part, chapter in zip(page["parts"], planned.chapters, strict=True):
        assert (part["title"], part["sentence"], part["refused"]) == (chapter.title, chapter.sentence, chapter.refused)
        assert [table["caption"] for table in part["tables"]] == [table.caption for table in chapter.tables]


def test_every_number_of_the_plan_answers_why(at_bench):
    ways = {
        cell["figure"]["why"]
        for part in told(at_bench)["parts"]
        for table in part["tables"]
        for row in table["rows"]
        for cell in row["cells"]
        if cell["figure"]
    }
    assert len(ways) > 50
    for way in sorted(ways)[::7]:
        answer = at_bench.get(html.unescape(way))
        assert answer.status_code == 200, way
        assert "How it is made" in answer.text


def test_the_page_is_well_formed_and_offers_every_wish(at_bench, tree):
    page = at_bench.get(PAGE)
    read = tree(page.text)
    assert not read.open
    names = {field["name"] for tag in ("input", "select", "textarea") for field in read.all(tag) if "name" in field}
    assert {wish.name for wish in WISHES} <= names


def test_a_wish_in_the_address_is_planned_and_kept_by_the_forms_of_the_other_parts(at_bench):
    page = at_bench.get(f"{PAGE}?balance.posts=3&cards.heaviest=12 kg")
    assert page.status_code == 200
    assert "at most so many posts: 3" in page.text
    assert '<input type="hidden" name="balance.posts" value="3">' in page.text
    as_file = Line.from_text(VALVES + "plan: {balance: {posts: 3}, cards: {heaviest: 12 kg}}\n")
    expected = Planned(plan_of(survey_of(as_file).accounts))
    assert told(at_bench, f"{PAGE}?balance.posts=3&cards.heaviest=12 kg")["found"]["text"] == expected.sentence


def test_a_wish_that_cannot_be_kept_is_refused_with_what_binds_and_what_would_do(at_bench):
    part = next(
        part for part in told(at_bench, f"{PAGE}?balance.posts=1&balance.takt=300 s")["parts"] if part["key"] == "posts"
    )
    assert part["refused"]
    assert part["binding"]
    assert part["instead"]
    assert "No such plan." in at_bench.get(f"{PAGE}?balance.posts=1&balance.takt=300 s").text


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("balance.post=3", "did you mean balance.posts?"),
        ("balance.posts=soon", "balance.posts"),
        ("balance.posts=3&balance.posts=4", "wished twice"),
        ("balance.left_of=saw, hone", "left of"),
        ("balance.together=saw; polish", "there is no"),
        ("cards.holds=saw: many", "cards.holds"),
        ("deliveries.trips=north: nobody = 60 EUR", "nobody"),
    ],
)
def test_what_cannot_be_wished_is_said_and_nothing_is_planned(at_bench, query, said):
    answer = at_bench.get(f"{PAGE}?{query}")
    assert answer.status_code == 422
    assert said in html.unescape(answer.text)


def test_an_element_moved_by_hand_changes_the_loads_and_says_what_it_breaks(at_bench):
    quicker = "balance.takt=300 s"
    posts = told(at_bench, f"{PAGE}/posts?{quicker}")["posts"]
    assert len(posts) >= 2
    first = posts[0]["blocks"][0]["name"]
    moved = told(at_bench, f"{PAGE}/posts?{quicker}&move={len(posts)} {first}")
    assert first in [block["name"] for block in moved["posts"][-1]["blocks"]] or moved["breaks"]
    assert moved["breaks"]
    assert moved["found"]["look"]


def test_what_works_instead_is_one_click_away(at_bench):
    answer = at_bench.get(f"{PAGE}?balance.takt=300 s&balance.posts=1")
    links = re.findall(r'href="([^"]*)">Plan with (?:at most|takt)', answer.text)
    assert len(links) == 2
    for link in links:
        posts = told(at_bench, html.unescape(link))["parts"][0]
        assert not posts["refused"], link


def test_posts_that_were_moved_by_hand_can_be_planned_with(at_bench):
    wished = "balance.takt=300 s"
    posts = told(at_bench, f"{PAGE}/posts?{wished}")["posts"]
    tried = (
        f"{PAGE}/posts?{wished}&move={one['number'] + way} {block['name']}"
        for one in posts
        for block in one["blocks"]
        for way in (1, -1)
        if 1 <= one["number"] + way <= len(posts) + 1
    )
    found = (
        (address, re.search(r'href="([^"]*)">Plan with these posts', at_bench.get(address).text)) for address in tried
    )
    address, link = next((address, one[1]) for address, one in found if one)
    kept = told(at_bench, html.unescape(link))
    by_hand = {block["name"]: one["number"] for one in told(at_bench, address)["posts"] for block in one["blocks"]}
    planned = {block["name"]: one["number"] for one in kept["posts"] for block in one["blocks"]}
    assert not kept["parts"][0]["refused"]
    assert {name: planned[name] for name in by_hand if not name.startswith("carry ") and "set-ups" not in name} == {
        name: post for name, post in by_hand.items() if not name.startswith("carry ") and "set-ups" not in name
    }


@pytest.mark.parametrize("move", ["soon saw", "1 nothing", "999 saw", "-1 saw", "1", ""])
def test_a_move_of_nothing_is_refused_in_words(at_bench, move):
    answer = at_bench.get(f"{PAGE}/posts?move={move}")
    assert answer.status_code == 422
    assert "as planned" in answer.text


def test_what_is_wished_goes_into_the_line_as_a_revision(at_bench, valves):
    asked = {"based_on": "1", "what": "wishes", "who": "B. Lee", "why": "fewer people", "do": "save"}
    shown = at_bench.send(f"{PAGE}/into-line?balance.posts=3", {**asked, "do": "look"})
    assert shown.status_code == 200
    assert "posts: 3" in shown.text
    assert valves.revision("valves").number == 1
    saved = at_bench.send(f"{PAGE}/into-line?balance.posts=3", asked)
    assert saved.status_code == 303
    text = valves.revision("valves").text
    assert Line.from_text(text).plan.balance.posts == 3
    assert text.startswith(VALVES)


def test_all_that_the_plan_changes_goes_into_the_line(at_bench, valves, planned):
    asked = {"based_on": "1", "what": "usual", "who": "B. Lee", "why": "the plan", "do": "save"}
    assert at_bench.send(f"{PAGE}/into-line", asked).status_code == 303
    line = Line.from_text(valves.revision("valves").text)
    assert planned.changes
    assert line != Line.from_text(VALVES)


def test_the_plan_is_tried_in_the_forecast_beside_today(at_bench):
    assert at_bench.get(f"{PAGE}/tried").status_code == 200
    page = told(at_bench, f"{PAGE}/tried")
    assert page["refused"] == ""
    assert page["because"]
    if page["waiting"] is None:
        assert page["answers"]["compared"]
        row = page["answers"]["rows"][0]
        for which in ("today", "option", "difference"):
            assert at_bench.get(html.unescape(row[which]["why"])).status_code == 200, which


def test_only_the_parts_that_are_ticked_are_tried(at_bench, planned):
    for keys in (["cards"], ["posts"], ["lots", "people"]):
        page = told(at_bench, f"{PAGE}/tried?" + "&".join(f"part={key}" for key in keys))
        assert page["because"] == [change.because for change in planned.changes_of(keys)]
        assert {one["key"] for one in page["choices"] if one["taken"]} <= set(keys)
    assert at_bench.get(f"{PAGE}/tried?part=card").status_code == 422


def test_names_of_any_letters_are_planned(at_bench, valves):
    valves.revise("valves", ODD_NAMES, "A. Weber", "odd names", based_on=1)
    for address in (PAGE, f"{PAGE}/posts", f"{PAGE}/cards-in-forecast"):
        answer = at_bench.get(address)
        assert answer.status_code == 200
        assert "<script>alert" not in answer.text
        assert "<b>&é" not in answer.text
