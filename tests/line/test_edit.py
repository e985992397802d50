"""Changing a line file in one place: that place changes, and not a letter elsewhere."""

from __future__ import annotations

import pickle
from contextlib import suppress
from functools import cache
from pathlib import Path as FilePath
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.line import Line, edit
from pullwright.line.edit import EditError, add_item, also_changes, remove_field, remove_item, set_field
from pullwright.line.faults import Path
from pullwright.line.marks import Tree
from pullwright.line.yaml_tree import read_tree
from tests.strategies import line_texts

EXAMPLES = sorted((FilePath(__file__).parents[2] / "examples").glob("*.yaml"))
TEXTS = st.sampled_from([file.read_text("utf-8") for file in EXAMPLES])
FILES = st.one_of(TEXTS, line_texts(5), line_texts(5).map(lambda text: text.replace("\n", "\r\n")))
WHOLE_FILES = settings(max_examples=40)


def written_out(tree: Tree, path: Path) -> bool:
    """Is the value written at its own place, neither repeated there nor repeated elsewhere?"""
    return tree.repeat_above(path) is None and not list(tree.repeated_at(path))


def scalars(tree: Tree) -> list[Path]:
    return [
        path
        for path, mark in tree.marks.items()
        if mark.style in ("plain", "quoted", "text") and written_out(tree, path)
    ]


def at(data: Any, path: Path) -> Any:
    for step in path:
        data = data[step]
    return data


# --- laws over whole files --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("file", EXAMPLES, ids=lambda file: file.name)
def test_every_value_set_to_itself_leaves_every_byte(file: FilePath, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(edit, "read_tree", cache(read_tree))  # the same text a thousand times
    text = file.read_text("utf-8")
    tree = read_tree(text)
    for path in scalars(tree):
        assert set_field(text, path, at(tree.data, path)) == text, path


@WHOLE_FILES
@given(FILES, st.data())
def test_a_value_that_is_changed_and_changed_back_leaves_every_byte(text: str, data: st.DataObject) -> None:
    tree = read_tree(text)
    path = data.draw(st.sampled_from([path for path in scalars(tree) if tree.marks[path].style != "text"]))
    changed = set_field(text, path, "something else")
    assert changed != text
    assert set_field(changed, path, at(tree.data, path)) == text


@WHOLE_FILES
@given(FILES, st.data(), st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=30))
def test_only_the_span_of_a_changed_value_differs(text: str, data: st.DataObject, value: str) -> None:
    tree = read_tree(text)
    path = data.draw(st.sampled_from(scalars(tree)))
    mark = tree.marks[path]
    changed = set_field(text, path, value)
    tail = len(text) - mark.end
    assert changed[: mark.start] == text[: mark.start]
    assert changed[len(changed) - tail :] == text[mark.end :]
    again = read_tree(changed)
    assert str(at(again.data, path)) == value
    same = [other for other in scalars(tree) if other != path]
    assert all(at(again.data, other) == at(tree.data, other) for other in same)


@WHOLE_FILES
@given(FILES, st.data())
def test_a_field_that_is_added_and_removed_leaves_every_byte(text: str, data: st.DataObject) -> None:
    tree = read_tree(text)
    mappings = [
        path for path, mark in tree.marks.items() if isinstance(at(tree.data, path), dict) and written_out(tree, path)
    ]
    path = data.draw(st.sampled_from(mappings))
    value = data.draw(st.sampled_from(["45 s", {"mean": "45 s", "cv": 0.2}, ["saw", "a, b"], "a: b", [{"name": "x"}]]))
    fuller = set_field(text, (*path, "another"), value)
    assert comments(fuller) == comments(text)
    assert remove_field(fuller, (*path, "another")) == text


@WHOLE_FILES
@given(FILES, st.data())
def test_an_entry_that_is_added_and_removed_leaves_every_byte(text: str, data: st.DataObject) -> None:
    tree = read_tree(text)
    lists = [path for path in tree.marks if isinstance(at(tree.data, path), list) and written_out(tree, path)]
    path = data.draw(st.sampled_from(lists))
    item = data.draw(st.sampled_from(["saw", {"name": "a: b", "of": ["x"]}, "{name: saw}", "name: saw\nof: [x]\n"]))
    longer = add_item(text, path, item)
    count = len(at(tree.data, path))
    assert len(at(read_tree(longer).data, path)) == count + 1
    if count:
        assert remove_item(longer, path, count) == text


@WHOLE_FILES
@given(FILES, st.data())
def test_a_field_that_is_removed_is_the_only_thing_that_goes(text: str, data: st.DataObject) -> None:
    tree = read_tree(text)
    fields = [path for path in tree.key_marks if written_out(tree, path) and not holds_something_repeated(tree, path)]
    path = data.draw(st.sampled_from(fields))
    rest = read_tree(remove_field(text, path)).data
    expected = read_tree(text).data
    del at(expected, path[:-1])[path[-1]]
    assert rest == expected


@WHOLE_FILES
@given(FILES, st.data())
def test_an_entry_that_is_removed_is_the_only_thing_that_goes(text: str, data: st.DataObject) -> None:
    tree = read_tree(text)
    entries = [path for path in tree.marks if path and isinstance(path[-1], int) and written_out(tree, path)]
    path = data.draw(st.sampled_from([path for path in entries if not holds_something_repeated(tree, path)]))
    index = path[-1]
    assert isinstance(index, int)
    rest = read_tree(remove_item(text, path[:-1], index)).data
    expected = read_tree(text).data
    del at(expected, path[:-1])[index]
    assert rest == expected


def holds_something_repeated(tree: Tree, path: Path) -> bool:
    return any(repeat.of[: len(path)] == path for repeat in tree.repeats.values())


def comments(text: str) -> list[str]:
    return [
        line[line.index("#") :].rstrip() for line in text.splitlines() if line.lstrip().startswith("#") or " # " in line
    ]


@given(
    FILES,
    st.lists(
        st.one_of(st.integers(-1, 3), st.text(max_size=8), st.sampled_from(["steps", "name", "uses"])), max_size=4
    ),
)
@WHOLE_FILES
def test_no_path_makes_anything_but_a_new_text_or_an_edit_error(text: str, path: list[str | int]) -> None:
    for change in (
        lambda: set_field(text, tuple(path), "45 s"),
        lambda: remove_field(text, tuple(path)),
        lambda: add_item(text, tuple(path), "{name: x}"),
        lambda: remove_item(text, tuple(path), 0),
    ):
        with suppress(EditError):
            assert not read_tree(change()).faults


# --- one field --------------------------------------------------------------------------------------------------------

SMALL = """\
# A small line.
steps:
  - name: saw      # the first
    machine: 210 s
    set_up: {time: 12 min, people: 1}  # long

  - {name: hone, machine: 640 s}

# Nothing below.
"""


@pytest.mark.parametrize(
    ("value", "written"),
    [
        ("240 s", "machine: 240 s"),
        ("5", "machine: 5"),
        (5, "machine: 5"),
        ("no", "machine: no"),
        (True, "machine: yes"),
        ("true", 'machine: "true"'),
        ("null", 'machine: "null"'),
        ("~", 'machine: "~"'),
        ("", 'machine: ""'),
        ("a: b", 'machine: "a: b"'),
        ("a #b", 'machine: "a #b"'),
        ("a#b", "machine: a#b"),
        ("a, b", "machine: a, b"),
        ("- a", 'machine: "- a"'),
        ("-1 m", "machine: -1 m"),
        ("*a", 'machine: "*a"'),
        ("@home", 'machine: "@home"'),
        ("it's", "machine: it's"),
        ('say "saw"', 'machine: say "saw"'),
        ('"saw"', 'machine: "\\"saw\\""'),
        (" saw ", 'machine: " saw "'),
        ("saw\nhone", 'machine: "saw\\nhone"'),
        ("saw:", 'machine: "saw:"'),
        ("---", 'machine: "---"'),
        ("<<", 'machine: "<<"'),
        ("2026-01-01", "machine: 2026-01-01"),
        ("06:00", "machine: 06:00"),
        ("007", "machine: 007"),
        ("Größe 5 µm", "machine: Größe 5 µm"),
        ({"mean": "45 s", "cv": 0.2}, "machine: {mean: 45 s, cv: 0.2}"),
        ({"readings": ["1 s", "a, b"]}, 'machine: {readings: [1 s, "a, b"]}'),
        ([], "machine: []"),
    ],
)
def test_a_value_is_written_plainly_where_it_can_be_and_quoted_where_it_must(value: Any, written: str) -> None:
    assert set_field(SMALL, ("steps", 0, "machine"), value) == SMALL.replace("machine: 210 s", written)


def test_in_braces_a_comma_needs_quotes() -> None:
    assert set_field(SMALL, ("steps", 1, "machine"), "a, b") == SMALL.replace("machine: 640 s", 'machine: "a, b"')


@pytest.mark.parametrize("mark", ["'", '"'])
def test_a_quoted_value_stays_in_its_quotes(mark: str) -> None:
    text = f"shift: {{from: {mark}06:00{mark}, to: '14:00'}}  # early\n"
    assert set_field(text, ("shift", "from"), "07:30") == text.replace("06:00", "07:30")


def test_a_block_of_text_keeps_its_header_and_indentation() -> None:
    text = "about: >-\n    Pumps for wells,\n    in three bores.\n\ninvented: yes\n"
    assert set_field(text, ("about",), "Lamps.") == "about: >-\n    Lamps.\n\ninvented: yes\n"
    assert read_tree(set_field(text, ("about",), "Lamps.\nTwo lines.")).data["about"] == "Lamps.\nTwo lines."
    assert read_tree(set_field(text, ("about",), " space and : # signs ")).data["about"] == " space and : # signs "


def test_a_long_value_may_take_the_place_of_a_short_one_and_back() -> None:
    fields = set_field(SMALL, ("steps", 0, "set_up"), "12 min")
    assert fields == SMALL.replace("{time: 12 min, people: 1}", "12 min")
    block = "steps:\n  - name: saw\n    set_up:\n      time: 12 min   # long\n      people: 1\n    lot: 7\n"
    assert (
        set_field(block, ("steps", 0, "set_up"), {"time": "9 min"})
        == "steps:\n  - name: saw\n    set_up: {time: 9 min}\n    lot: 7\n"
    )


def test_a_missing_field_is_added_below_the_last_one_and_comments_stay() -> None:
    assert set_field(SMALL, ("steps", 0, "lot"), 56) == SMALL.replace("# long\n", "# long\n    lot: 56\n")
    assert set_field(SMALL, ("steps", 1, "lot"), 56) == SMALL.replace("640 s}", "640 s, lot: 56}")
    assert set_field(SMALL, ("currency",), "CHF") == SMALL.replace("640 s}\n", "640 s}\ncurrency: CHF\n")


def test_a_missing_mapping_is_added_with_its_field() -> None:
    assert set_field(SMALL, ("money", "cash"), "9 EUR") == SMALL.replace("640 s}\n", "640 s}\nmoney: {cash: 9 EUR}\n")
    assert set_field("money:\nline: x\n", ("money", "cash"), "9 EUR") == "money: {cash: 9 EUR}\nline: x\n"
    assert set_field("a: {money: }\n", ("a", "money", "cash"), "9 EUR") == "a: {money: {cash: 9 EUR}}\n"


def test_a_field_is_added_to_a_file_without_a_line_end() -> None:
    assert set_field("line: x", ("about",), "y") == "line: x\nabout: y"
    assert remove_field("line: x\nabout: y", ("about",)) == "line: x"


def test_windows_line_ends_and_a_byte_order_mark_stay() -> None:
    text = "\ufeffline: x\r\nsteps:\r\n- name: saw # first\r\n  lot: 5\r\n"
    assert set_field(text, ("line",), "y") == text.replace("x", "y")
    assert set_field(text, ("steps", 0, "lot"), 7) == text.replace("5", "7")
    assert set_field(text, ("steps", 0, "scrap"), "1 %") == text + "  scrap: 1 %\r\n"
    assert set_field(text, ("about",), "z") == text + "about: z\r\n"
    assert add_item(text, ("steps",), {"name": "hone", "lot": 3}) == text + "- name: hone\r\n  lot: 3\r\n"
    assert remove_field(text, ("line",)) == text.replace("line: x\r\n", "")


def test_tabs_before_a_comment_stay() -> None:
    text = "line:\tx\t# why\nabout: y\n"
    assert set_field(text, ("line",), "z") == text.replace("x", "z")


def test_letters_beyond_the_first_plane_count_as_one() -> None:
    text = "about: 🏭🏭 Größe  # 🏭\nline: x\n"
    assert set_field(text, ("line",), "y") == text.replace("x", "y")


@pytest.mark.parametrize("value", [None, float("nan"), float("inf"), object(), {"a": None}])
def test_what_no_line_file_holds_is_refused(value: Any) -> None:
    with pytest.raises(EditError, match="cannot stand in a line file"):
        set_field(SMALL, ("steps", 0, "machine"), value)


# --- what is repeated -------------------------------------------------------------------------------------------------

REPEATED = """\
a:
  uses: &bolts
    - {part: bolt, quantity: 4}   # M8
b:
  uses: *bolts
c: {price: &price 5 EUR, cost: *price}
"""


def test_a_change_inside_a_repetition_is_refused_with_the_place_to_go_to() -> None:
    with pytest.raises(EditError) as caught:
        set_field(REPEATED, ("b", "uses", 0, "quantity"), 6)
    assert str(caught.value) == (
        "b.uses[1].quantity: b.uses repeats with * what is written in line 2 (a.uses)"
        " (change it there, or write the value out here first)"
    )
    for change in (
        lambda: remove_field(REPEATED, ("b", "uses", 0, "part")),
        lambda: add_item(REPEATED, ("b", "uses"), "x"),
        lambda: remove_item(REPEATED, ("b", "uses"), 0),
        lambda: set_field(REPEATED, ("b", "uses", 0, "more"), 1),
    ):
        with pytest.raises(EditError, match=r"repeats with \* what is written in line 2"):
            change()


def test_a_change_where_it_is_written_holds_wherever_it_is_repeated() -> None:
    changed = set_field(REPEATED, ("a", "uses", 0, "quantity"), 6)
    assert changed == REPEATED.replace("quantity: 4", "quantity: 6")
    assert read_tree(changed).data["b"]["uses"][0]["quantity"] == 6
    assert also_changes(REPEATED, ("a", "uses", 0, "quantity")) == (("b", "uses", 0, "quantity"),)
    assert also_changes(REPEATED, ("a",)) == ()
    longer = add_item(REPEATED, ("a", "uses"), "{part: nut, quantity: 4}")
    assert len(read_tree(longer).data["b"]["uses"]) == 2
    assert remove_item(longer, ("a", "uses"), 1) == REPEATED


def test_the_mark_of_a_repeated_value_stays() -> None:
    assert set_field(REPEATED, ("c", "price"), "6 EUR") == REPEATED.replace("5 EUR", "6 EUR")


def test_a_repetition_may_be_written_out() -> None:
    assert set_field(REPEATED, ("c", "cost"), "7 EUR") == REPEATED.replace("*price", "7 EUR")
    assert set_field(REPEATED, ("b", "uses"), []) == REPEATED.replace("*bolts", "[]")
    assert remove_field(REPEATED, ("c", "cost")) == REPEATED.replace(", cost: *price", "")


def test_what_is_repeated_elsewhere_cannot_be_removed() -> None:
    for change in (
        lambda: remove_field(REPEATED, ("a", "uses")),
        lambda: remove_field(REPEATED, ("a",)),
        lambda: set_field(REPEATED, ("a",), "x"),
    ):
        with pytest.raises(EditError, match=r"\*bolts refers to nothing above it"):
            change()


# --- removing ---------------------------------------------------------------------------------------------------------


def test_a_removed_field_takes_its_line_with_it() -> None:
    assert remove_field(SMALL, ("steps", 0, "machine")) == SMALL.replace("    machine: 210 s\n", "")
    assert remove_field(SMALL, ("steps", 0, "set_up", "people")) == SMALL.replace(", people: 1", "")
    assert remove_field(SMALL, ("steps", 1, "name")) == SMALL.replace("name: hone, ", "")


def test_the_first_field_of_an_entry_leaves_its_dash() -> None:
    assert remove_field(SMALL, ("steps", 0, "name")) == SMALL.replace(
        "name: saw      # the first\n    machine", "machine"
    )


def test_the_last_thing_in_a_mapping_or_list_leaves_empty_brackets() -> None:
    assert remove_field("money:\n  cash: 5 EUR\nline: x\n", ("money", "cash")) == "money:\n  {}\nline: x\n"
    assert remove_field("money: {cash: 5 EUR}\n", ("money", "cash")) == "money: {}\n"
    assert remove_item("for: [x]\n", ("for",), 0) == "for: []\n"
    assert remove_item("for:\n  - x\nline: y\n", ("for",), 0) == "for: []\nline: y\n"


def test_entries_are_removed_whole_wherever_they_stand() -> None:
    text = "a:\n  # one\n  - 1\n  # two\n  - x: 2\n    y: 3   # three\n\n  - - 4\n    - 5\n"
    assert remove_item(text, ("a",), 0) == text.replace("  - 1\n", "")
    assert remove_item(text, ("a",), 1) == text.replace("  - x: 2\n    y: 3   # three\n", "")
    assert remove_item(text, ("a",), 2) == text.replace("  - - 4\n    - 5\n", "")
    assert remove_item(text, ("a", 2), 0) == text.replace("- - 4\n    - 5", "- - 5")


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda: remove_field(SMALL, ("steps", 0, "lot")), "steps[1].lot: there is no such field"),
        (lambda: remove_field(SMALL, ()), "the file: there is no such field"),
        (lambda: remove_field(SMALL, ("steps", 0)), "steps[1]: there is no such field"),
        (lambda: remove_item(SMALL, ("steps",), 2), "steps[3]: there is no such entry"),
        (lambda: remove_item(SMALL, ("steps", 0), 0), "steps[1][1]: there is no such entry"),
        (lambda: set_field(SMALL, ("steps", 4, "lot"), 1), "steps[5].lot: there is no entry 5 in steps (add entries at the end of a list)"),
        (lambda: set_field(SMALL, ("steps", 0, "machine", "mean"), "1 s"), "steps[1].machine.mean: '210 s' stands at steps[1].machine, which has no fields (set the whole of it)"),
        (lambda: set_field(SMALL, (), "x"), "the file: the file as a whole cannot be set (give the path of a field)"),
        (lambda: add_item(SMALL, ("steps", 0), "x"), "steps[1]: '{name: …, machine: …, set_up: …}' stands here and is no list"),
        (lambda: set_field("- 1\n", ("a",), 1), "a: the file holds no fields (a line file begins with `line:`)"),
        (lambda: add_item(SMALL, ("steps",), ""), "steps: this cannot be an entry: nothing is written"),
    ],
)  # fmt: skip
def test_what_cannot_be_changed_is_refused_in_words(change: Any, said: str) -> None:
    with pytest.raises(EditError) as caught:
        change()
    assert str(caught.value) == said
    assert str(pickle.loads(pickle.dumps(caught.value))) == said  # noqa: S301 - our own bytes


def test_a_file_that_cannot_be_read_cannot_be_changed() -> None:
    with pytest.raises(
        EditError,
        match="the file cannot be changed while it cannot be read: line 2, column 1: a: 'a' stands here again",
    ):
        set_field("a: 1\na: 2\n", ("a",), 3)


# --- adding -----------------------------------------------------------------------------------------------------------


def test_an_entry_is_added_in_the_way_of_the_list() -> None:
    flow = "skills: [saw, hone]   # all\n"
    assert add_item(flow, ("skills",), "paint") == flow.replace("hone]", "hone, paint]")
    assert add_item("skills: []\n", ("skills",), "a, b") == 'skills: ["a, b"]\n'
    lines = "a:\n  - x: 1   # one\n    y: 2\n# end\n"
    assert add_item(lines, ("a",), {"x": 3, "y": "b: c"}) == lines.replace("y: 2\n", 'y: 2\n  - x: 3\n    y: "b: c"\n')
    assert add_item(lines, ("a",), "x: 3   # three\ny: 4\n") == lines.replace(
        "y: 2\n", "y: 2\n  - x: 3   # three\n    y: 4\n"
    )
    assert add_item(lines, ("a",), "{x: 3}") == lines.replace("y: 2\n", "y: 2\n  - {x: 3}\n")


def test_a_list_that_is_missing_is_added() -> None:
    assert add_item(SMALL, ("stores",), {"before": "hone"}) == SMALL.replace(
        "640 s}\n", "640 s}\nstores:\n  - {before: hone}\n"
    )
    assert add_item(SMALL, ("steps", 1, "for"), "P-32") == SMALL.replace("640 s}", "640 s, for: [P-32]}")
    assert add_item("stores:\nline: x\n", ("stores",), "a") == "stores: [a]\nline: x\n"


def test_a_block_of_text_that_keeps_its_empty_lines_is_no_trap() -> None:
    text = "a:\n  x: |+\n    text\n\n\nb: 1\n"
    fuller = set_field(text, ("a", "y"), 2)
    assert read_tree(fuller).data == {"a": {"x": "text\n\n\n", "y": 2}, "b": 1}


def test_what_a_form_changes_in_the_example_is_a_line_again() -> None:
    text = EXAMPLES[[file.name for file in EXAMPLES].index("hand_pump.yaml")].read_text("utf-8")
    text = set_field(text, ("steps", 2, "elements", 2, "machine"), {"low": "580 s", "likely": "610 s", "high": "700 s"})
    text = set_field(text, ("steps", 4, "scrap"), "1 %")
    text = add_item(text, ("stations",), "{name: second saw, floor: 6 m2}")
    text = remove_field(text, ("steps", 3, "elements", 0, "because"))
    line = Line.from_text(text)
    assert line.steps[4].scrap is not None
    assert line.stations[-1].name == "second saw"
    assert "# whole lorry" not in text
    assert text.count("#") == EXAMPLES[[file.name for file in EXAMPLES].index("hand_pump.yaml")].read_text(
        "utf-8"
    ).count("#")
