"""The forecast on a page is the forecast of the engine: today, an option beside it, and what cannot be run is said in words."""

from __future__ import annotations

import html
import re

import pytest

from pullwright.forecast.compared import compared
from pullwright.forecast.forecast import quick_forecast_of
from pullwright.forecast.said import ASKED, sentence_of, verdict
from pullwright.forecast.search.knob import Knob, turned
from pullwright.forecast.warm import USUAL_SECONDS, WARMTH, warm_up_kernels
from pullwright.line import Line
from pullwright.web.foreseen import Forecasts
from tests.web.small_line import TOO_MUCH, VALVES

LINE = Line.from_text(VALVES, name="valves.yaml")
PAGE = "/lines/valves/forecast"
MORE = "demand:valve=130"


@pytest.fixture(scope="module", autouse=True)
def kernels():
    """Compiled once: no page of these tests waits for that."""
    warm_up_kernels()


@pytest.fixture(scope="module")
def today():
    return quick_forecast_of(LINE)


@pytest.fixture(scope="module")
def option(today):
    line = turned(LINE, [Knob("demand", "valve", (1.3,))], [1.3])
    return compared(today, quick_forecast_of(line, like=today))


def words_of(page):
    first = re.search(r"<h1[^>]*>(.*?)</h1>", page, re.DOTALL)[1]
    return html.unescape(re.sub(r"<[^>]+>", "", first)).replace("\u00a0", " ").removeprefix("Look here").strip()


def test_the_first_line_is_what_the_forecast_says(at_bench, today):
    assert words_of(at_bench.get(PAGE).text).startswith(sentence_of(today))


def test_the_twin_holds_the_answers_of_the_engine(at_bench, today):
    told = at_bench.get(f"{PAGE}.json").json()
    rows = {row["today"]["name"]: row["today"] for row in told["answers"]["rows"]}
    assert list(rows) == [one.name for one in ASKED if one.name in today.outcomes]
    for name, row in rows.items():
        assert row["value"] == pytest.approx(today[name].value)
        assert (row["low"], row["high"]) == pytest.approx((today[name].low, today[name].high))
    assert told["made_by"] == today.made_by


def test_an_option_stands_beside_today_with_the_difference_and_a_word(at_bench, option):
    told = at_bench.get(f"{PAGE}.json?{MORE}").json()
    rows = {row["today"]["name"]: row for row in told["answers"]["rows"]}
    for name in ("throughput", "lead time", "orders waiting"):
        found = option[name]
        assert rows[name]["option"]["value"] == pytest.approx(found.option.value)
        assert rows[name]["difference"]["value"] == pytest.approx(found.difference.value)
        assert rows[name]["verdict"] == verdict(found)
    assert told["settings"] == "demand of valve 130 % instead of 100 %"


def test_the_page_is_well_formed_with_and_without_an_option(at_bench, tree):
    for address in (
        PAGE,
        f"{PAGE}?{MORE}",
        f"{PAGE}/answer?{MORE}",
        f"{PAGE}/pictures?{MORE}",
        "/examples/hand-pump/forecast/answer",
    ):
        page = tree(at_bench.get(address).text)
        assert page.open == []
        ids = [attributes["id"] for _, attributes in page.elements if "id" in attributes]
        assert len(ids) == len(set(ids)), address
        assert len(page.all("h1")) == 1


def test_every_control_has_its_words_its_unit_and_todays_value(at_bench, tree):
    page = tree(at_bench.get(PAGE).text)
    labelled = {label["for"] for label in page.all("label")}
    numbers = [one for one in page.all("input") if one.get("class") == "control-number"]
    assert {one["name"] for one in numbers} >= {"demand:valve", "people:crew", "room before:hone", "machines:table"} - {
        "room before:hone"
    }
    assert all(one["id"] in labelled for one in numbers)
    assert "today 100 %" in page.text
    assert len([one for one in page.all("input") if one.get("type") == "range"]) == len(numbers)


def test_without_a_script_the_form_asks_for_the_same_page_with_everything_turned(at_bench, tree):
    page = tree(at_bench.get(f"{PAGE}?{MORE}&people:crew=3").text)
    assert all(form["method"] == "get" and form["action"] == PAGE for form in page.all("form"))
    kept = [(one["name"], one["value"]) for one in page.all("input") if one.get("type") == "hidden"]
    assert ("demand:valve", "130") in kept
    assert ("people:crew", "3") in kept
    typed = {one["name"]: one["value"] for one in page.all("input") if one.get("class") == "control-number"}
    assert (typed["demand:valve"], typed["people:crew"]) == ("130", "3")


def test_a_form_sent_as_it_is_shown_asks_for_today(at_bench, tree):
    page = tree(at_bench.get(PAGE).text)
    typed = {one["name"]: one["value"] for one in page.all("input") if one.get("class") == "control-number"}
    told = at_bench.get(f"{PAGE}/answer.json", params=typed).json()
    assert told["settings"] == ""
    assert all(row["option"] is None for row in told["answers"]["rows"])


def test_every_number_opens_its_why_with_the_settings_it_was_asked_with(at_bench):
    told = at_bench.get(f"{PAGE}.json?{MORE}").json()
    row = told["answers"]["rows"][0]
    for which, said in (
        ("today", "units shipped / working days counted"),
        ("option", "units shipped"),
        ("difference", "on the same luck"),
    ):
        page = at_bench.get(row[which]["why"])
        assert page.status_code == 200
        assert said in page.text
    assert "All of its spread is luck here" in at_bench.get(row["today"]["why"]).text


def test_the_why_goes_down_to_the_line_file(at_bench):
    page = at_bench.get(f"{PAGE}/why?figure=throughput").text
    assert "products / valve / demand" in page
    assert 'href="/lines/valves/text#L9"' in page
    inner = at_bench.get(f"{PAGE}/why", params={"figure": "products / valve / demand"})
    assert inner.status_code == 200


def test_a_figure_that_is_not_there_is_named_with_a_near_one(at_bench):
    answer = at_bench.get(f"{PAGE}/why?figure=throughputt")
    assert answer.status_code == 404
    assert "throughput" in answer.text
    assert at_bench.get(f"{PAGE}/why").status_code == 404
    assert "no surer forecast" in at_bench.get(f"{PAGE}/why?figure=throughput&of=sure").text


@pytest.mark.parametrize(
    "asked",
    [
        "nonsense=1",
        "people:crew=0",
        "people:crew=x",
        "people:crew=99999",
        "demand:valve=nan",
        "cards:saw=3",
        "=",
        "people:crew=2&people:crew=3",
    ],
)
@pytest.mark.parametrize("part", ["", "/answer", "/pictures", "/why", "/surer"])
def test_a_setting_that_is_not_allowed_is_a_problem_that_names_it(at_bench, part, asked):
    answer = at_bench.get(f"{PAGE}{part}?{asked}")
    assert answer.status_code == 422
    assert "This what-if cannot be asked" in answer.text
    assert f'href="{PAGE}"' in answer.text


def test_a_line_that_cannot_keep_up_says_what_grows(valves, at_bench):
    valves.revise("valves", TOO_MUCH, "A. Weber", "a large order", 1)
    told = at_bench.get(f"{PAGE}.json").json()
    assert told["found"]["look"]
    assert "growing" in told["found"]["text"]
    rows = {row["words"]: row for row in told["answers"]["rows"]}
    assert rows["orders waiting"]["look"] == "grows without end"


def test_a_line_that_cannot_be_run_says_why_and_where_it_is_put_right(valves, at_bench):
    valves.revise("valves", capped(10), "A. Weber", "a cap below the lot", 1)
    page = at_bench.get(PAGE)
    assert page.status_code == 200
    assert words_of(page.text).startswith("The forecast cannot run this line:")
    assert 'href="/lines/valves/form"' in page.text


def test_an_option_that_cannot_be_run_says_so_and_leads_back(valves, at_bench):
    valves.revise("valves", capped(30), "A. Weber", "a cap above the lot", 1)
    for part in ("", "/answer", "/pictures"):
        page = at_bench.get(f"{PAGE}{part}?cap:saw=10")
        assert page.status_code == 200
        assert "cannot run this line with cap of saw 10 instead of 30" in words_of(page.text)
        assert f'href="{PAGE}"' in page.text


def test_an_option_that_contradicts_itself_is_a_problem_in_words(at_bench):
    answer = at_bench.get(f"{PAGE}?demand:valve=0")
    assert answer.status_code == 422
    assert "The line cannot be turned like that." in answer.text


def capped(limit):
    """At most so many pieces between the saw and packing, in lots of twenty."""
    return VALVES.replace(
        "    station: bench saw\n", f"    station: bench saw\n    release: {{by: cap, limit: {limit}, until: pack}}\n"
    ).replace("    station: hone 1\n", "    station: hone 1\n    lot: 20\n")


def test_what_the_file_lacks_for_cash_is_asked_for_kindly(at_bench):
    told = at_bench.get(f"{PAGE}/pictures.json").json()
    assert len(told["lacking"]) == 1
    assert "Cash cannot be counted yet" in at_bench.get(PAGE).text


def test_cash_and_floor_stand_there_where_the_file_has_them(valves, at_bench):
    valves.revise("valves", VALVES + "money: {cash: 9000 EUR}\n", "A. Weber", "cash", 1)
    told = at_bench.get(f"{PAGE}/pictures.json?{MORE}").json()
    rows = {row["words"]: row for row in told["money"]["rows"]}
    assert list(rows) == [
        "lowest cash",
        "chance to run dry",
        "cash that is enough",
        "most floor taken",
        "chance of too little floor",
    ]
    assert rows["lowest cash"]["difference"]["value"] is not None
    assert [chart["title"] for chart in told["charts"]][-2:] == ["Floor taken", "Cash"]
    for row in rows.values():
        assert at_bench.get(row["today"]["why"]).status_code == 200


def test_the_nine_rows_of_a_station_fill_its_bar(at_bench, today):
    page = at_bench.get(PAGE).text
    shares = [
        today[f"{words} / hone 1"].value
        for words in (
            "working",
            "set up",
            "repaired",
            "held",
            "out of its shifts",
            "without people",
            "short of a part",
            "not asked",
            "starved",
        )
    ]
    assert sum(shares) == pytest.approx(1.0)
    assert "hone 1: working" in page


def test_a_page_that_waits_for_the_kernels_says_so_and_looks_again(at_bench, monkeypatch):
    monkeypatch.setattr(WARMTH, "state", "under way")
    page = at_bench.get(PAGE).text
    assert "once after an installation" in page
    assert '<meta http-equiv="refresh" content="2">' in page
    assert at_bench.get(f"{PAGE}.json").json()["waiting"]["usual"] == USUAL_SECONDS


def test_a_question_that_nobody_waits_for_is_given_up(at_bench, monkeypatch):
    monkeypatch.setattr(Forecasts, "waits_for", lambda *_: lambda: True)
    answer = at_bench.get(f"{PAGE}/answer?people:crew=1")
    assert answer.status_code == 409
    assert "Nobody waits" in answer.text


def test_the_forecast_of_an_earlier_revision_and_of_an_example_are_there(valves, at_bench):
    valves.revise("valves", TOO_MUCH, "A. Weber", "a large order", 1)
    assert "growing" not in words_of(at_bench.get("/lines/valves/revisions/1/forecast").text)
    assert at_bench.get("/examples/hand-pump/forecast.json").json()["answers"]["rows"]
    assert at_bench.get("/lines/none/forecast").status_code == 404


def test_the_surer_forecast_is_begun_followed_and_kept_for_the_revision(at_bench, bench_app):
    page = f"{PAGE}/surer"
    assert at_bench.get(f"{page}.json").json()["state"] == "none"
    assert at_bench.send(page, {"do": "begin"}).headers["location"] == page
    works = bench_app.state.desk.forecasts.surer
    (name,) = works._works
    works.wait(name, 120)
    told = at_bench.get(f"{page}.json").json()
    assert told["state"] == "done"
    rows = {row["words"]: row for row in told["rows"]}
    assert rows["shipped"]["luck"]["value"] + rows["shipped"]["ignorance"]["value"] == pytest.approx(1.0)
    assert "draws of what is not known" in told["made_by"]
    assert "and how sure it is" in at_bench.get(page).text
    why = at_bench.get(rows["shipped"]["answer"]["why"]).text
    assert "is what is not known of the inputs" in why
    assert told["made_by"].partition(";")[0] in why


def test_the_surer_forecast_is_stopped_by_its_button(at_bench, bench_app, monkeypatch):
    monkeypatch.setattr("pullwright.web.foreseen.forecast_of", _until_stopped)
    page = f"{PAGE}/surer?people:crew=3"
    at_bench.send(page, {"do": "begin"})
    assert '<button class="button second" type="submit" name="do" value="stop">Stop</button>' in at_bench.get(page).text
    at_bench.send(page, {"do": "stop"})
    works = bench_app.state.desk.forecasts.surer
    (name,) = works._works
    works.wait(name, 60)
    assert at_bench.get(f"{PAGE}/surer.json?people:crew=3").json()["state"] == "stopped"


def _until_stopped(line, *, stop, progress, **_):
    from pullwright.forecast.errors import Stopped

    progress(1, 10)
    while not stop():
        pass
    raise Stopped("the forecast was stopped")
