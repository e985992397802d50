"""Changing a line in a form: every field of the file, comments and order kept, and all that was changed is one revision."""

from __future__ import annotations

import html
import re

import pytest

from pullwright.line import Line
from pullwright.web.difference import difference_of
from pullwright.web.draft import Draft, Section
from pullwright.web.line_fields import fields_of, model_at
from tests.web.small_line import FAULTY, ODD_NAMES, VALVES

SAVE = {"who": "M. Adler", "why": "seen at the line", "do": "save"}


class Filling:
    """A person who fills in the form: goes from part to part with what the page shows, and types over some of it."""

    def __init__(self, visitor, at="", key="valves"):
        self.visitor, self.address = visitor, f"/lines/{key}/form" + (f"?at={at}" if at else "")
        self.answer = visitor.get(self.address)

    @property
    def page(self):
        return self.answer.text

    @property
    def entries(self):
        page = self.page
        found = {
            name: html.unescape(value)
            for name, value in re.findall(r'<input type="(?:text|hidden)"[^>]* name="(\w+)"[^>]* value="([^"]*)"', page)
        }
        found |= dict(re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)"', page))
        for name, text in re.findall(r'<textarea[^>]* name="(\w+)"[^>]*>\n(.*?)</textarea>', page, re.DOTALL):
            found[name] = html.unescape(text)
        for name, choices in re.findall(r'<select[^>]* name="(\w+)"[^>]*>(.*?)</select>', page, re.DOTALL):
            chosen = re.search(r'value="([^"]*)" selected', choices)
            found[name] = html.unescape(chosen[1]) if chosen else ""
        return found

    @property
    def draft(self):
        return self.entries["draft"]

    @property
    def first_line(self):
        return html.unescape(re.sub(r"<[^>]+>", "", re.search(r"<h1[^>]*>(.*?)</h1>", self.page, re.DOTALL)[1])).strip()

    def send(self, do, **typed):
        own = {name: value for name, value in typed.items() if name in ("who", "why", "comes_before")}
        entries = self.entries | {f"v_{name}": value for name, value in typed.items()} | own | {"do": do}
        action = html.unescape(re.search(r'<form class="form"[^>]* action="([^"]+)"', self.page)[1])
        files = {name: (None, value) for name, value in entries.items()}
        headers = {"origin": self.visitor.base, "sec-fetch-site": "same-origin"}
        self.answer = self.visitor.ask("POST", action, files=files, headers=headers)
        return self

    def save(self, **typed):
        return self.send("save", **typed, **{name: SAVE[name] for name in ("who", "why")})


def _changed_lines(before, after):
    found = difference_of(before, after)
    return [(line.kind, line.text.strip()) for line in found.lines if line.kind != "same"]


def test_the_form_shows_what_the_file_says(at_bench):
    entries = Filling(at_bench, "steps.1").entries
    assert (entries["v_name"], entries["v_station"], entries["v_machine"]) == ("hone", "hone 1", "{study: T-1}")
    assert (entries["v_manual"], entries["v_scrap"], entries["v_lot"]) == ("40 s", "{count: 4, of: 180}", "")


def test_a_typed_value_is_saved_and_the_comment_beside_it_stays(valves, at_bench):
    filling = Filling(at_bench, "steps.1").save(manual="35 s", name="hone")
    assert filling.answer.headers["location"] == "/lines/valves/compare?before=1&after=2"
    assert _changed_lines(VALVES, valves.revision("valves").text) == [("gone", "manual: 40 s"), ("new", "manual: 35 s")]
    assert "# the slow one" in valves.revision("valves").text


@pytest.mark.parametrize(
    ("at", "name", "typed", "said"),
    [
        ("steps.1", "manual", "35 apples", "apples"),
        ("steps.1", "scrap", "98.5", "0.985"),
        ("steps.1", "station", "hone 9", "no 'hone 9' among the stations"),
        ("steps.1", "manual", "{low: 5 s", "bracket"),
        ("steps.1", "people", "two", "a whole number"),
        ("steps.1", "name", "", "Name is missing"),
        ("products.0", "price", "free", "EUR"),
        ("calendar.shifts.0", "from", "6 o'clock", "clock time"),
        ("floor", "total", "-3 m2", "m2"),
    ],
)
def test_a_wrong_entry_is_told_beside_its_field_with_what_is_allowed_and_nothing_is_saved(
    valves, at_bench, at, name, typed, said
):
    filling = Filling(at_bench, at).save(**{name: typed})
    assert filling.answer.status_code == 422
    error = re.search(rf'id="error-v_{name}">(.*?)</p>', filling.page, re.DOTALL)
    assert said in html.unescape(error[1])
    assert filling.entries[f"v_{name}"] == typed
    assert filling.draft == VALVES
    assert len(valves.revisions("valves")) == 1


def test_a_field_that_is_emptied_goes_and_one_that_is_filled_comes(valves, at_bench):
    Filling(at_bench, "steps.1").save(scrap="", lot="20")
    assert _changed_lines(VALVES, valves.revision("valves").text) == [
        ("gone", "scrap: {count: 4, of: 180}"), ("new", "lot: 20"),
    ]  # fmt: skip


def test_what_was_changed_in_several_parts_is_saved_as_one_revision(valves, at_bench):
    filling = Filling(at_bench, "steps.0").send("go:people.0", value_adding="70 %").send("go:stores.1", number="3")
    assert filling.first_line.startswith("Changed so far, and not saved yet: 2 lines new, 2 gone.")
    filling.save(counted="90")
    assert [kind for kind, _ in _changed_lines(VALVES, valves.revision("valves").text)] == ["gone", "new"] * 3
    assert len(valves.revisions("valves")) == 2


def test_a_field_of_a_part_that_is_not_there_yet_adds_the_part(valves, at_bench):
    filling = Filling(at_bench, "steps.1").send("go:steps.1.set_up", lot="20").save(time="12 min", people="1")
    assert filling.answer.status_code == 303
    step = Line.from_text(valves.revision("valves").text).steps[1]
    assert step.set_up is not None
    assert step.set_up.time.value == 720


def test_a_step_and_its_station_are_added_where_they_belong_in_the_flow(valves, at_bench):
    filling = Filling(at_bench, "stations.new").send("keep", name="wash", floor="2 m2")
    assert filling.answer.status_code == 200
    filling.send("go:steps.new")
    filling.save(name="wash", station="wash", manual="60 s", value_adding="50 %", comes_before="pack")
    assert filling.answer.status_code == 303
    line = Line.from_text(valves.revision("valves").text)
    assert [line.steps[i].name for i in line.route.chains[0].steps] == ["saw", "hone", "wash", "pack"]


def test_a_store_is_added_and_taken_out_again(valves, at_bench):
    filling = Filling(at_bench, "stores.new").send("keep", before="pack", counted="12", capacity="40")
    assert len(Line.from_text(filling.draft).stores) == 3
    filling.send("remove")
    assert filling.draft == VALVES
    assert "Nothing is changed so far." in filling.first_line


def test_an_entry_that_others_need_can_be_taken_out_and_what_is_wrong_then_is_listed(valves, at_bench):
    filling = Filling(at_bench, "stations.2").send("remove")
    assert filling.answer.status_code == 200
    assert "there is no 'table' among the stations" in html.unescape(filling.page)
    assert 'value="go:steps.2"' in filling.page
    refused = filling.save()
    assert refused.answer.status_code == 422
    assert "Nothing was saved yet: 1 thing is wrong" in refused.first_line
    refused.send("go:steps.2").save(station="hone 1")
    assert refused.answer.status_code == 303
    assert len(Line.from_text(valves.revision("valves").text).stations) == 2


def test_a_new_entry_that_lacks_something_is_told_so_beside_the_field(at_bench):
    filling = Filling(at_bench, "stations.new").send("keep", floor="2 m2")
    assert filling.answer.status_code == 422
    assert "name is missing" in re.search(r'id="error-v_name">(.*?)</p>', filling.page, re.DOTALL)[1].lower()
    assert filling.draft == VALVES


@pytest.mark.parametrize("missing", ["who", "why"])
def test_a_save_needs_who_and_why_and_the_draft_is_kept(valves, at_bench, missing):
    filling = Filling(at_bench, "stations.new").send("keep", name="wash", floor="2 m2")
    entries = filling.entries | SAVE | {missing: ""}
    files = {name: (None, value) for name, value in entries.items()}
    answer = at_bench.ask("POST", "/lines/valves/form?at=stations.3", files=files, headers={"origin": at_bench.base})
    assert answer.status_code == 422
    filling.answer = answer
    assert "name: wash" in filling.draft
    assert "Station wash" in filling.page
    assert len(valves.revisions("valves")) == 1


def test_somebody_who_saved_in_between_is_told_and_the_draft_can_go_on_top(valves, at_bench):
    filling = Filling(at_bench, "steps.1")
    valves.revise("valves", VALVES + "# packed twice\n", "A. Weber", "a note", 1)
    filling.save(manual="35 s")
    assert filling.answer.status_code == 409
    assert "A. Weber saved revision 2" in filling.first_line
    assert "# packed twice" in filling.page
    assert filling.entries["v_manual"] == "35 s"
    filling.save()
    assert filling.answer.status_code == 303
    assert valves.revision("valves").number == 3


def test_a_line_with_faults_is_opened_with_them_beside_their_fields(record, bench_app, visitor_of):
    record.add_line("broken", "Broken line", FAULTY, "A. Weber", "")
    filling = Filling(visitor_of(bench_app), key="broken")
    assert filling.page.count("Go there") == 2
    filling.send("go:steps.1")
    assert "98.5 is a share above 1" in re.search(r'id="error-v_scrap">(.*?)</p>', filling.page, re.DOTALL)[1]
    filling.send("go:steps.2", scrap="98.5 %").save(station="table")
    assert filling.answer.status_code == 303


def test_a_text_that_is_no_yaml_is_sent_to_the_editor_of_text(record, bench_app, visitor_of):
    record.add_line("broken", "Broken line", "line: {", "A. Weber", "")
    answer = visitor_of(bench_app).get("/lines/broken/form")
    assert answer.status_code == 422
    assert 'href="/lines/broken/edit"' in answer.text


def test_every_part_of_every_kind_of_line_can_be_opened_and_holds_what_the_file_says(record, bench_app, visitor_of):
    from pathlib import Path

    everything = (Path(__file__).parents[1] / "line" / "everything.yaml").read_text("utf-8")
    record.add_line("all", "Everything", everything, "A. Weber", "")
    visitor = visitor_of(bench_app)
    draft = Draft(everything)

    def parts(section):
        yield section
        for field in section.fields:
            path = (*section.path, field.name)
            value = draft.value(path)
            if field.shape == "mapping" and value is not None:
                yield from parts(Section(path))
            elif field.shape == "entries":
                for number, entry in enumerate(value or ()):
                    if isinstance(entry, dict):
                        yield from parts(Section((*path, number)))

    opened = list(parts(Section(())))
    assert len(opened) > 40
    for section in opened:
        filling = Filling(visitor, section.name, key="all")
        assert filling.answer.status_code == 200, section
        for field in section.fields:
            if field.shape not in ("mapping", "entries"):
                assert filling.entries[f"v_{field.name}"] == draft.typed(section, field), (section, field.name)
        assert Filling(visitor, section.name, key="all").send("keep").draft == everything, section


def test_every_field_shows_what_is_allowed_in_it(at_bench):
    page = html.unescape(at_bench.get("/lines/valves/form?at=steps.1").text)
    for field in fields_of(model_at(("steps", 0))):
        assert field.means in page, field.name
    assert "such as 45 s" in page
    assert '<option value="hone 1"></option>' in page


@pytest.mark.parametrize(
    "at", ["steps.99", "steps.-1", "steps", "boats", "steps.1.name", "steps.x", "x" * 300, "%27--", "a." * 40]
)
def test_a_part_that_is_not_there_is_refused_in_words(at_bench, at):
    assert at_bench.get(f"/lines/valves/form?at={at}").status_code in (404, 422)


@pytest.mark.parametrize("do", ["go:boats", "go:steps.99", "go:", "remove", "burn it"])
def test_whatever_button_a_program_presses_nothing_breaks_and_nothing_is_saved(valves, at_bench, do):
    assert Filling(at_bench).send(do).answer.status_code in (200, 404, 422)
    assert len(valves.revisions("valves")) == 1


@pytest.mark.parametrize("draft", ["", "{", "- 1", "line: x", "x: " + "[" * 3000, "\x00", "🏭" * 500])
def test_a_draft_that_a_program_made_up_is_refused_in_words(valves, at_bench, draft):
    entries = Filling(at_bench).entries | SAVE | {"draft": draft}
    files = {name: (None, value) for name, value in entries.items()}
    answer = at_bench.ask("POST", "/lines/valves/form", files=files, headers={"origin": at_bench.base})
    assert answer.status_code in (400, 422)
    assert len(valves.revisions("valves")) == 1


def test_names_of_any_letters_go_through_the_form_unchanged(record, bench_app, visitor_of):
    record.add_line("odd", "Odd", ODD_NAMES, "A. Weber", "")
    visitor = visitor_of(bench_app)
    filling = Filling(visitor, "steps.1", key="odd").save(manual="41 s")
    assert filling.answer.status_code == 303
    assert _changed_lines(ODD_NAMES, record.revision("odd").text) == [("gone", "manual: 40 s"), ("new", "manual: 41 s")]
