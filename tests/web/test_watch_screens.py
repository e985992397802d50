"""The pages of watching: what to watch next, a tour of rounds from its plan to the line, a round of counting to the line."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

import pytest

from pullwright.examples import EXAMPLES
from pullwright.line import Line
from pullwright.record import Record
from pullwright.survey import survey_of
from pullwright.watch.sample.looks import Round, Tour
from pullwright.web import create_app
from pullwright.web.counting import defects_bodies
from pullwright.web.pace import Pace
from pullwright.web.tours import Place, body_of, look_notes, read_places, standing_looks, tour_on
from pullwright.web.watch_ways import way_to_watch
from pullwright.web.way import Way
from tests.web.browsing import opened
from tests.web.small_line import ODD_NAMES, VALVES

NEW_TOUR = {
    "title": "Rounds in March", "who": "line lead", "first": "2026-03-16", "last": "2026-03-17", "rounds": "6",
    "half_width": "", "kind": "waiting", "stations": "bench saw\nhone 1: 2",
}  # fmt: skip
TOUR = "/lines/valves/tours/sample-1"
COUNT = "/lines/valves/counts/count-1"
DESK, PHONE = (1280, 900), (390, 844)


@pytest.fixture
def toured(at_bench):
    """A visitor to a line with a tour of six rounds, the first two of them walked."""
    assert at_bench.send("/lines/valves/tours/new", NEW_TOUR).headers["location"] == TOUR
    for number, seen in ((1, ("value", "waiting", "waiting")), (2, ("value", "motion", "unexplained"))):
        page = at_bench.get(f"{TOUR}/rounds/{number}.json").json()
        # Each round has a way of its own; what is seen belongs to the place, wherever on the way it comes.
        places = sorted(page["to_look_at"], key=lambda place: place["words"])
        typed = {place["field"]: kind for place, kind in zip(places, seen, strict=True)}
        at_bench.send(f"{TOUR}/rounds/{number}", {"who": "line lead", "remark": "", **typed})
    return at_bench


@pytest.fixture
def counted(at_bench):
    """A visitor to a line with a round of counting."""
    typed = {"title": "March", "who": "line lead", "focus": ""}
    assert at_bench.send("/lines/valves/counts/new", typed).headers["location"] == COUNT
    return at_bench


def test_every_advice_leads_to_where_exactly_that_is_begun():
    survey = survey_of(Line.from_text(EXAMPLES[0].text, name="pump.yaml"))
    leads = {
        name: found.href if (found := way_to_watch(figure, survey.line, Way("/lines/pump"))) else None
        for name, figure in survey.every_figure.items()
    }
    assert leads["study T-014"] == "/lines/pump/studies/new?step=hone%20bore&study=T-014"
    assert leads["steps / hone bore / set_up / time"] == "/lines/pump/studies/new?step=hone%20bore"
    assert leads["steps / hone bore / scrap"] == "/lines/pump/counts/new?step=hone%20bore"
    assert (
        leads["growth of the counts / stores / before hone bore"] == "/lines/pump/counts/new?store=before%20hone%20bore"
    )
    assert leads["looks that found waiting"] == "/lines/pump/tours/new?seen=waiting"
    assert leads["stations / honing machine / breakdowns / between"] is None


def test_the_front_page_and_the_watch_page_say_what_to_watch_next_and_where_to_begin(at_bench):
    for address in ("/lines/valves", "/lines/valves/watch"):
        begins = [one["begin"]["href"] for one in at_bench.get(f"{address}.json").json()["watch"] if one["begin"]]
        assert begins
        page = at_bench.get(address).text
        assert all(f'href="{href.replace("&", "&amp;")}"' in page for href in begins)
    assert "Nothing was watched here yet. Next: " in at_bench.get("/lines/valves/watch").text
    assert all(one["begin"] is None for one in at_bench.get("/examples/hand-pump.json").json()["watch"])


def test_the_watch_page_lists_sheets_newest_first_and_struck_ones_apart(toured):
    toured.send("/lines/valves/counts/new", {"title": "March", "who": "M. Adler", "focus": ""})
    page = toured.get("/lines/valves/watch.json").json()
    assert [one["head"]["title"] for one in page["sheets"]] == ["March", "Rounds in March"]
    assert page["sheets"][1]["found"] == "2 of 6 rounds walked, 6 looks"
    toured.send(f"{TOUR}/strike", {"who": "M. Adler", "why": "wrong week"})
    page = toured.get("/lines/valves/watch.json").json()
    assert [one["head"]["title"] for one in page["struck"]] == ["Rounds in March"]
    toured.send(f"{TOUR}/strike", {"who": "M. Adler", "why": "it was right after all"})
    assert toured.get("/lines/valves/watch.json").json()["struck"] == []


def test_a_tour_is_planned_in_the_paid_time_of_the_days_that_were_typed(toured, valves):
    rounds = toured.get(f"{TOUR}.json").json()["rounds"]
    assert len(rounds) == 6
    moments = [datetime.fromisoformat(one["at"]) for one in rounds]
    assert moments == sorted(moments)
    assert {moment.date().isoformat() for moment in moments} <= {"2026-03-16", "2026-03-17"}
    assert all(6 <= moment.hour < 15 for moment in moments)
    assert valves.sheet("sample-1").body["people"] == {"bench saw": 1, "hone 1": 2}


def test_a_wished_half_width_becomes_rounds(at_bench):
    at_bench.send("/lines/valves/tours/new", {**NEW_TOUR, "rounds": "", "half_width": "20"})
    # Nobody looked yet, so the half is taken: 1.96^2 x 0.25 / 0.2^2 = 24.01, 25 looks, 3 on each round.
    assert len(at_bench.get(f"{TOUR}.json").json()["rounds"]) == 9


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        ({"first": "16.3.2026"}, "first", "year, month, day"),
        ({"last": "2026-03-15"}, "last", "the last not before the first"),
        ({"rounds": "many"}, "rounds", "1 to 400 rounds"),
        ({"rounds": "400"}, "rounds", "do not fit into"),
        ({"rounds": "", "half_width": ""}, "rounds", "how sure"),
        ({"rounds": "", "half_width": "0.5"}, "half_width", "rounds would be needed"),
        ({"half_width": "wide"}, "half_width", "0.5 to 40 %"),
        ({"stations": "lathe"}, "stations", "the stations of this line are bench saw"),
        ({"stations": "hone 1: x"}, "stations", "how many people"),
        ({"stations": "hone 1\nhone 1"}, "stations", "twice"),
        ({"stations": "hone 1: 0"}, "stations", "1 to 60"),
        ({"first": "2026-03-14", "last": "2026-03-15"}, "rounds", "no working time"),
    ],
)  # fmt: skip
def test_a_plan_that_cannot_be_is_sent_back_with_what_is_allowed(at_bench, typed, field, said):
    answer = at_bench.send("/lines/valves/tours/new", {**NEW_TOUR, **typed}, headers={"accept": "application/json"})
    assert answer.status_code == 422
    assert said in {error["field"]: error["message"] for error in answer.json()["errors"]}[field]


def test_a_look_is_noted_once_changed_by_undoing_it_and_taken_back(toured, valves):
    count = len(valves.notes("sample-1"))
    page = toured.get(f"{TOUR}/rounds/1.json").json()
    typed = {place["field"]: place["seen"] for place in page["to_look_at"]}
    toured.send(f"{TOUR}/rounds/1", {"who": "line lead", **typed})
    assert len(valves.notes("sample-1")) == count
    toured.send(f"{TOUR}/rounds/1", {"who": "line lead", **typed, "seen-0": "moving"})
    toured.send(f"{TOUR}/rounds/1", {"who": "line lead", **typed, "seen-0": ""})
    page = toured.get(f"{TOUR}/rounds/1.json").json()
    assert [page["to_look_at"][0]["seen"], page["looked"]] == ["", 2]
    notes = valves.notes("sample-1")
    assert [note.kind for note in notes[count:]] == ["undo", "look", "undo"]
    assert len(tour_on(valves.sheet("sample-1"), notes).looks) == len(standing_looks(notes)) == 5


def test_a_look_that_a_phone_sends_again_stands_once_with_the_moment_of_the_tap(toured, valves):
    tap = {"who": "line lead", "seen-0": "moving", "uid": "phone-1", "taken": "1773651600000"}
    for _ in range(2):
        answer = toured.send(f"{TOUR}/rounds/3", tap, headers={"accept": "application/json"})
        assert answer.status_code == 200
    looks = [note for note in valves.notes("sample-1") if note.body.get("round") == 3]
    assert [(note.uid, note.taken) for note in looks] == [("phone-1", datetime(2026, 3, 16, 9, tzinfo=UTC))]


def test_a_tour_says_shares_with_both_intervals_how_many_more_rounds_and_where_it_differs(toured):
    page = toured.get(f"{TOUR}.json").json()
    assert page["found"]["text"].startswith("6 looks on 2 rounds found ")
    rows = {row["kind"]: row["figures"] for row in page["shares"]["rows"]}
    assert rows["waiting"][0]["value"] == pytest.approx(2 / 6)
    assert rows["waiting"][1]["value"] == 2
    assert rows["waiting"][3]["low"] <= 2 / 6 <= rows["waiting"][3]["high"]
    assert "more round" in page["sentences"][0]
    assert "station" in page["sentences"][1]
    assert [one["found"] for one in page["by_station"]] == [0, 2]
    assert len(page["charts"]) == 2


def test_a_share_opens_its_why_down_to_the_look(toured):
    why = toured.get(f"{TOUR}.json").json()["shares"]["rows"][2]["figures"][0]["why"]
    page = toured.get(why)
    assert page.status_code == 200
    readings = toured.get(why.replace("/why?", "/why.json?")).json()["why"]["readings"]
    assert [(one["who"], one["where"]) for one in readings] == [("line lead", "round 1, hone 1")] * 2
    missing = toured.get(f"{TOUR}/why?figure=looks%20that%20found%20wating")
    assert missing.status_code == 404
    assert "looks that found waiting" in missing.text


def test_looks_are_taken_away_as_a_table(toured):
    answer = toured.get(f"{TOUR}/looks.csv")
    assert answer.headers["content-type"].startswith("text/csv")
    assert answer.text.splitlines()[0] == "round,station,at,seen,who,note,uid"
    assert len(answer.text.splitlines()) == 7


def test_a_tour_goes_into_the_line_as_its_next_revision(toured, valves):
    page = toured.get(f"{TOUR}/into-line.json").json()
    assert page["changed"]["new"] >= 1
    typed = {"based_on": "1", "replace": "", "who": "A. Weber", "why": "looked for two days", "do": "save"}
    answer = toured.send(f"{TOUR}/into-line", typed)
    assert answer.headers["location"] == "/lines/valves/compare?before=1&after=2"
    (sample,) = {one.looks for one in Line.from_text(valves.revision("valves").text).samples}
    assert sample == 6
    late = toured.send(f"{TOUR}/into-line", {**typed, "why": "again"})
    assert late.status_code == 409
    assert valves.revision("valves").number == 2


def test_a_struck_or_empty_tour_does_not_go_into_the_line_and_says_why(at_bench):
    at_bench.send("/lines/valves/tours/new", NEW_TOUR)
    assert "walk a round first" in at_bench.get(f"{TOUR}/into-line").text
    at_bench.send(f"{TOUR}/strike", {"who": "M. Adler", "why": "wrong week"})
    assert "was struck" in at_bench.get(f"{TOUR}/into-line").text


def test_counts_are_kept_number_by_number_and_can_be_taken_back(counted, valves):
    counted.send(COUNT, {"who": "line lead", "stock-1": "150", "do": "keep"})
    counted.send(
        COUNT,
        {"who": "line lead", "from": "saw", "to": "hone", "far": "16 steps", "trips": "9", "step": "hone", "looked": "180",
         "wrong": "leaks: 6\nscratched: 2", "again": "3", "do": "keep"},
    )  # fmt: skip
    page = counted.get(f"{COUNT}.json").json()
    assert page["found"]["text"] == "March: stock at 1 place, 1 way, 8 of 180 pieces not right."
    assert [note.kind for note in valves.notes("count-1")] == ["stock", "way", "defects", "defects"]
    assert [row["words"] for row in page["figures"]["rows"]] == [
        "stock before hone",
        "way saw to hone",
        "not right at hone",
    ]
    assert page["charts"][0]["rows"][0][0] == "leaks"
    stock = next(one for one in page["noted"] if one["what"] == "before hone")
    counted.send(COUNT, {"who": "line lead", "do": f"back:{stock['uid']}"})
    assert "before hone" not in [one["what"] for one in counted.get(f"{COUNT}.json").json()["noted"]]
    assert len(valves.notes("count-1")) == 5


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        ({"stock-1": "a pile"}, "stock-1", "is no such number"),
        ({"other_place": "hone"}, "other_pieces", "belong together"),
        ({"from": "saw", "to": "hone"}, "far", "belong together"),
        ({"from": "saw", "to": "hone", "far": "far"}, "far", "metres or steps"),
        ({"looked": "10"}, "step", "after which step"),
        ({"step": "hone", "looked": "ten"}, "looked", "whole number"),
        ({"step": "hone", "looked": "5", "wrong": "leaks: 6"}, "wrong", "at most as many"),
        ({"step": "hone", "looked": "5", "wrong": "leaks: x"}, "wrong", "a number behind the colon"),
        ({"step": "hone", "looked": "5", "wrong": "leaks: 1", "again": "2"}, "wrong", "done again"),
    ],
)  # fmt: skip
def test_a_count_that_cannot_be_is_sent_back_and_nothing_of_it_is_kept(counted, valves, typed, field, said):
    answer = counted.send(
        COUNT, {"who": "line lead", "stock-0": "12", **typed, "do": "keep"}, headers={"accept": "application/json"}
    )
    assert answer.status_code == 422
    assert said in {error["field"]: error["message"] for error in answer.json()["errors"]}[field]
    assert valves.notes("count-1") == ()


def test_pieces_that_were_looked_at_are_never_counted_twice_however_many_things_were_wrong():
    bodies = defects_bodies("hone", 180, [("leaks", 6), ("scratched", 2), ("label", 1)], 7)
    assert sum(one["looked_at"] for one in bodies) == 180
    assert sum(one["wrong"] for one in bodies) == 9
    assert sum(one["again"] for one in bodies) == 7


def test_counts_go_into_the_line_only_over_what_may_be_replaced(counted, valves):
    counted.send(COUNT, {"who": "line lead", "stock-1": "150", "do": "keep"})
    assert "without a date" in counted.get(f"{COUNT}/into-line").text
    typed = {"based_on": "1", "who": "A. Weber", "why": "counted", "do": "save"}
    assert counted.send(f"{COUNT}/into-line", {**typed, "replace": ""}).status_code == 422
    look = counted.send(f"{COUNT}/into-line", {**typed, "replace": "yes", "do": "look"})
    assert "nothing was saved yet" in look.text
    assert valves.revision("valves").number == 1
    counted.send(f"{COUNT}/into-line", {**typed, "replace": "yes"})
    assert "pieces: 150" in valves.revision("valves").text


def test_a_sheet_of_another_line_or_kind_is_not_found_here(toured, valves):
    valves.add_line("other", "Other line", VALVES, "A. Weber", "")
    for address in (
        "/lines/other/tours/sample-1",
        "/lines/valves/counts/sample-1",
        "/lines/valves/tours/none",
        f"{TOUR}/rounds/7",
    ):
        assert toured.get(address).status_code == 404
    assert toured.get("/lines/nowhere/watch").status_code == 404


def test_places_of_a_station_whose_name_has_a_colon_are_read_too():
    assert [place.words for place in read_places("cell: 2", ["cell: 2"])] == ["cell: 2"]
    assert len(read_places("cell: 2: 3", ["cell: 2"])) == 3


@pytest.fixture(scope="module")
def shop(tmp_path_factory, serving):
    """A workbench with odd names, a tour with some looks, and a round of counting."""
    with Record.open(tmp_path_factory.mktemp("shop") / "shop.db") as record:
        record.add_line("valves", "Valve line", ODD_NAMES, "A. Weber", "first count")
        start = datetime.now().replace(second=0, microsecond=0)
        rounds = tuple(Round(n, start + timedelta(hours=n - 3), ("bench saw", "hone 1")) for n in range(1, 6))
        places = (Place("bench saw"), Place("hone 1", 1, 2), Place("hone 1", 2, 2))
        tour = Tour("Rounds <b>&", rounds, line="valves", seed=1)
        record.begin_sheet(
            "sample", tour.name, body_of(tour, places, half_width=0.05, kind="waiting"), "line lead", line="valves"
        )
        for one in rounds[:2]:
            for place, seen in zip(places, ("value", "waiting", "unexplained"), strict=True):
                record.write_notes(
                    "sample-1", look_notes(one.number, place, seen, None, who="line lead", taken=one.at.astimezone())
                )
        record.begin_sheet("count", "March", {"name": "March"}, "line lead", line="valves")
        app = create_app(record, secret=b"k" * 32, pace=Pace(burst=10_000))
        with serving(app) as server:
            yield server


@pytest.mark.parametrize(
    "address", ["/lines/valves/watch", "/lines/valves/tours/new", TOUR, f"{TOUR}/rounds/3", f"{TOUR}/into-line", COUNT]
)
def test_nothing_sticks_out_sideways_and_nothing_is_blocked(chromium, shop, address):
    with opened(chromium, shop, address, DESK) as page:
        page.evaluate("document.querySelectorAll('main details').forEach(one => { one.open = true; })")
        for size in (DESK, PHONE, (320, 640)):
            page.set_viewport_size({"width": size[0], "height": size[1]})
            assert page.evaluate("document.documentElement.scrollWidth") <= size[0], size


def test_a_tap_is_kept_at_once_and_a_tap_without_network_is_sent_when_it_is_back(chromium, shop):
    context = chromium.new_context(viewport={"width": 390, "height": 844})
    page = context.new_page()
    address = f"{shop.base}{TOUR}/rounds/4"
    page.goto(address)
    page.click("label[for=seen-0-waiting]")
    page.wait_for_selector("[data-state]:has-text('kept at the workbench')")
    context.set_offline(True)
    page.click("label[for=seen-1-moving]")
    page.wait_for_selector("[data-state]:has-text('1 look is kept on this device')")
    context.set_offline(False)
    page.wait_for_selector("[data-state]:has-text('kept at the workbench')")
    page.goto(address)
    checked = page.eval_on_selector_all("input[type=radio]:checked", "all => all.map(one => one.value)")
    assert checked == ["waiting", "moving", ""]
    context.close()


def test_a_round_is_walked_without_any_script(chromium, shop):
    with opened(chromium, shop, f"{TOUR}/rounds/5", PHONE, java_script_enabled=False) as page:
        for place, kind in ((0, "value"), (1, "motion"), (2, "unexplained")):
            page.click(f"label[for=seen-{place}-{kind}]")
        page.click("button:has-text('Keep this round')")
        page.wait_for_url(re.compile(r"/tours/sample-1$"))
        assert "3 looks" in page.locator(".plan li >> nth=4").text_content()
