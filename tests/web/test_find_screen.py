"""The search for a setting on a page is the search of the engine: begun, stopped, taken up again, and what cannot be looked for is said in words."""

from __future__ import annotations

import html
import re

import pytest

from pullwright.forecast.search.find import find
from pullwright.forecast.warm import warm_up_kernels
from pullwright.line import Line
from pullwright.web.hunts import Wanted
from tests.web.small_cards import SEALS

PAGE = "/lines/seals/forecast/find"
ASKED = {"do": "begin", "goal": "fewest cards of form", "values": "1..10", "own": "", "promises": "", "confidence": "95 %", "days": "40"}  # fmt: skip
QUERY = ""


@pytest.fixture(scope="module", autouse=True)
def kernels():
    """Compiled once: no page of these tests waits for that."""
    warm_up_kernels()


@pytest.fixture
def seals(at_bench, valves):
    valves.add_line("seals", "Seal line", SEALS, "A. Weber", "first count")
    return at_bench


@pytest.fixture
def hunts(seals, bench_app):
    return bench_app.state.desk.forecasts.hunts


def told(visitor):
    return visitor.get(f"{PAGE}.json").json()


def first_line(answer):
    said = re.search(r"<h1[^>]*>(.*?)</h1>", answer.text, re.DOTALL)[1]
    return html.unescape(re.sub(r"<[^>]+>", "", said)).replace("\u00a0", " ").strip()


@pytest.fixture(scope="module")
def expected():
    return find(Line.from_text(SEALS), "fewest cards of form 1..10", days=40, warm_days=10)


def test_the_page_says_what_the_engine_finds_and_leads_to_it_as_a_what_if(seals, hunts, expected):
    assert seals.send(PAGE, ASKED).status_code == 303
    assert hunts.wait(SEALS, QUERY, 120).answer == expected
    page = told(seals)
    assert (page["state"], page["found"]["text"], tuple(page["words"])) == (
        "done",
        expected.words[0],
        expected.words[1:],
    )
    assert [(tuple(one["setting"]), one["runs"], one["verdict"]) for one in page["tried"]] == [
        (one.setting, one.runs, one.verdict) for one in expected.tried
    ]
    assert [one["setting"] for one in page["tried"] if one["chosen"]] == [list(expected.found.setting)]
    assert page["href"] == f"/lines/seals/forecast?cards%3Aform={expected.found.setting[0]}"
    assert "cards of form 3 instead of 8" in first_line(seals.get(page["href"]))


def test_the_answer_stands_on_a_well_formed_page_with_the_word_of_each_verdict(seals, hunts, tree):
    seals.send(PAGE, ASKED)
    hunts.wait(SEALS, QUERY, 120)
    page = seals.get(PAGE)
    read = tree(page.text)
    assert not read.open
    assert "kept" in read.text
    assert "broken" in read.text
    assert 'class="out-of-place"' not in page.text


def test_a_search_that_is_stopped_keeps_what_it_found_and_goes_on_from_there(seals, hunts, expected):
    wanted = Wanted("fewest cards of form 1..10", (), 0.95, 40)
    line = Line.from_text(SEALS)
    begun = wanted.hunt(line)
    begun.search.step()
    hunting_text = begun.search.saved()
    hunts.begin(SEALS, QUERY, wanted, wanted.hunt(line))
    hunts.stop(SEALS, QUERY)
    hunting = hunts.wait(SEALS, QUERY, 120)
    if not (hunting.answer and hunting.answer.done):
        assert told(seals)["state"] == "stopped"
    hunting.saved, hunting.answer = hunting_text, None
    seals.send(PAGE, ASKED)
    again = hunts.wait(SEALS, QUERY, 120)
    assert again is hunting
    assert again.answer == expected


def test_where_nothing_keeps_the_promise_the_page_says_what_binds_and_is_marked(seals, hunts):
    seals.send(PAGE, {**ASKED, "values": "1..2"})
    hunts.wait(SEALS, QUERY, 120)
    page = told(seals)
    assert page["found"]["look"]
    assert not page["href"]
    assert any("What binds" in one for one in page["words"])


@pytest.mark.parametrize(
    ("entries", "field", "said"),
    [
        ({"own": "fewest unicorns"}, "own", "Begin with one of"),
        ({"own": "fewest cards of forms 1..4"}, "own", "allowed: &#39;form&#39;"),
        ({"values": "9..1"}, "values", "write the smaller end first"),
        ({"promises": "always happy"}, "promises", "is no promise"),
        ({"promises": "throughput 4000 /d"}, "promises", "cannot be kept"),
        ({"confidence": "120 %"}, "confidence", "from 50 % to below 100 %"),
        ({"days": "a few"}, "days", "a whole number from 4"),
        ({"goal": "own"}, "own", "say what is to be found"),
        ({"goal": "fewest of all"}, "goal", "one of these is allowed"),
    ],
)
def test_what_cannot_be_looked_for_comes_back_with_the_reason_beside_its_field(seals, entries, field, said):
    answer = seals.send(PAGE, {**ASKED, **entries})
    assert answer.status_code == 422
    message = re.search(rf'id="error-{field}">(.*?)</p>', answer.text, re.DOTALL)
    assert message, answer.text[answer.text.find("wrong-list") :][:600]
    assert said in message[1].replace("\u00a0", " ")


def test_a_line_without_promises_says_where_they_are_written(at_bench):
    answer = at_bench.send("/lines/valves/forecast/find", {**ASKED, "goal": "fewest people of crew", "values": "1..3"})
    assert answer.status_code == 422
    assert "has no promises" in answer.text


def test_a_line_that_is_turned_has_a_search_of_its_own(seals, hunts):
    seals.send(f"{PAGE}?demand:seal=50", ASKED)
    found = hunts.wait(SEALS, "demand%3Aseal=50", 120).answer.found
    assert found.setting[0] < 3
    assert told(seals)["state"] == "none"
    page = seals.get(f"{PAGE}.json?demand:seal=50").json()
    assert "demand%3Aseal=50" in page["href"]
    assert "cards%3Aform=" in page["href"]


def test_to_stop_what_never_began_changes_nothing(seals):
    assert seals.send(PAGE, {"do": "stop"}).status_code == 303
    assert told(seals)["state"] == "none"
