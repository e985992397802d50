"""Files of every kind: what is no line file is refused in a sentence, at its place, and quickly."""

from __future__ import annotations

from pathlib import Path as FilePath

import pytest

from pullwright.line import Line, LineFileError
from pullwright.line.size import MOST_ENTRIES, MOST_WAYS
from pullwright.line.yaml_tree import MOST_BYTES, MOST_DEPTH, MOST_VALUES, read_tree
from tests.effort import within

SMALL = """\
line: small
calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
products: [{name: pump, demand: 20 /d}]
stations: [{name: bench}]
steps: [{name: fit, station: bench, manual: 60 s}]
"""


def faults(text: str) -> list[str]:
    with pytest.raises(LineFileError) as caught:
        Line.from_text(text)
    return [str(fault) for fault in caught.value.faults]


def faults_of_file(folder: FilePath, raw: bytes) -> list[str]:
    file = folder / "line.yaml"
    file.write_bytes(raw)
    with pytest.raises(LineFileError) as caught:
        Line.read(file)
    assert caught.value.name == "line.yaml"
    return [str(fault) for fault in caught.value.faults]


def test_the_smallest_line_is_a_line() -> None:
    line = Line.from_text(SMALL)
    assert (line.line, line.steps[0].manual.value if line.steps[0].manual else None) == ("small", 60.0)
    assert line.text == SMALL
    assert line.mark(("steps", 0, "manual")).line == 5


# --- no line file at all ----------------------------------------------------------------------------------------------

EMPTY = "line 1, column 1: the file: the file is empty; wanted: a line file, which begins with `line:` and a name"


@pytest.mark.parametrize(
    "text", ["", "\n\n", "   ", "# only\n# comments\n", "---\n", "\ufeff", "null", "~\n", "---\n...\n"]
)
def test_a_file_without_content_is_called_empty(text: str) -> None:
    assert faults(text) == [EMPTY]


@pytest.mark.parametrize(
    ("text", "read"),
    [("hello", "'hello'"), ("5", "'5'"), ("- a\n- b\n", "'a list of 2'"), ("true", "'yes'"), ("[]", "'a list of 0'"), ("name;time\nsaw;45\n", "'name;time saw;45'")],
)  # fmt: skip
def test_a_file_that_is_something_else_is_called_that(text: str, read: str) -> None:
    assert faults(text) == [
        f"line 1, column 1: the file: {read} was read; wanted: a line file, which begins with `line:` and a name"
    ]


def test_binary_files_are_no_text(tmp_path: FilePath) -> None:
    assert faults_of_file(tmp_path, b"\x89PNG\r\n\x1a\n\x00\x00") == [
        "line 1, column 1: the file: byte 1 of the file is no text in UTF-8 (is this a line file, saved as UTF-8?)"
    ]
    assert faults_of_file(tmp_path, b"PK\x03\x04") == [
        "line 1, column 3: the file: the character U+0003 stands here; a line file is plain text (is this a line file?)"
    ]
    assert faults_of_file(tmp_path, b"line: x\nabout: \x00\n") == [
        "line 2, column 8: the file: the character U+0000 stands here; a line file is plain text (is this a line file?)"
    ]


def test_other_encodings_are_named_with_the_place(tmp_path: FilePath) -> None:
    assert faults_of_file(tmp_path, SMALL.replace("small", "Größe").encode("cp1252")) == [
        "line 1, column 9: the file: byte 9 of the file is no text in UTF-8 (is this a line file, saved as UTF-8?)"
    ]
    assert faults_of_file(tmp_path, SMALL.encode("utf-16")) == [
        "line 1, column 1: the file: byte 1 of the file is no text in UTF-8 (it is saved as UTF-16: save it as UTF-8)"
    ]


def test_a_byte_order_mark_and_windows_line_ends_change_nothing(tmp_path: FilePath) -> None:
    file = tmp_path / "line.yaml"
    file.write_bytes(b"\xef\xbb\xbf" + SMALL.replace("\n", "\r\n").encode())
    line = Line.read(file)
    assert dict(line) == dict(Line.from_text(SMALL))
    assert line.mark(("steps", 0, "manual")).line == 5
    assert line.text == SMALL.replace("\n", "\r\n")
    assert dict(Line.from_text("\ufeff" + SMALL)) == dict(line)


def test_lone_halves_of_characters_are_refused() -> None:
    assert faults(SMALL.replace("small", "sm\ud800all")) == [
        "line 1, column 9: the file: the character U+D800 stands here; a line file is plain text (is this a line file?)"
    ]


def test_a_folder_or_a_missing_file_is_the_business_of_the_caller(tmp_path: FilePath) -> None:
    with pytest.raises(OSError):
        Line.read(tmp_path)
    with pytest.raises(FileNotFoundError):
        Line.read(tmp_path / "nowhere.yaml")


# --- too much ---------------------------------------------------------------------------------------------------------


def quickly(text: str, most_turns: float = 200) -> list[str]:
    with within(most_turns):
        return faults(text)


def test_a_file_of_50_megabytes_is_not_read_whole(tmp_path: FilePath) -> None:
    file = tmp_path / "line.yaml"
    with file.open("wb") as stream:
        stream.truncate(50_000_000)
    with (
        within(20),
        pytest.raises(LineFileError, match="read more than 1,000,000 bytes; allowed: at most 1,000,000 bytes"),
    ):
        Line.read(file)


def test_a_text_that_is_too_long_is_refused_before_it_is_parsed() -> None:
    assert quickly("#" * (MOST_BYTES + 1), 20) == [
        "the file: read 1,000,001 characters; allowed: at most 1,000,000 bytes"
        " (a line file is typed by a person: give the mean and cv of long series of readings)"
    ]
    assert "1,000,000 bytes" in quickly("é" * (MOST_BYTES // 2 + 1), 20)[0]


def test_a_bomb_of_repetitions_costs_a_message() -> None:
    bomb = "a: &a [x, x, x, x, x, x, x, x, x]\n"
    bomb += "".join(
        f"{name}: &{name} [{', '.join(['*' + before] * 9)}]\n"
        for before, name in zip("abcdefgh", "bcdefghi", strict=True)
    )
    assert f"the file holds more than {MOST_VALUES:,} values by here, repetitions with * counted" in quickly(bomb)[0]


def test_repetitions_that_nest_are_counted_in_depth() -> None:
    deep = "a0: &a0 [x]\n" + "".join(f"a{k}: &a{k} [*a{k - 1}]\n" for k in range(1, 40))
    assert f"values are nested more than {MOST_DEPTH} deep here" in quickly(deep)[0]


@pytest.mark.parametrize(
    "text",
    [
        "[" * 100_000,
        "{a: " * 100_000,
        "- " * 100_000,
        "a: " + "[" * 30 + "]" * 30,
        "".join(f"{' ' * k}a:\n" for k in range(400)),
    ],
)
def test_deep_nesting_is_refused(text: str) -> None:
    assert (
        f"values are nested more than {MOST_DEPTH} deep here" in quickly(text)[0]
        or "this is not YAML" in quickly(text)[0]
    )


def test_a_list_that_no_person_types_is_refused_at_once() -> None:
    steps = "".join(f"  - {{name: s{k}, station: bench, manual: 1 s}}\n" for k in range(10_000))
    assert quickly(SMALL[: SMALL.index("steps:")] + "steps:\n" + steps) == [
        f"line 5, column 1: steps: 10,000 entries were read; allowed: at most {MOST_ENTRIES['steps']:,} entries"
    ]
    readings = ", ".join(["1 s"] * 6_000)
    assert "at most 5,000 entries" in quickly(SMALL.replace("60 s", f"{{readings: [{readings}]}}"))[0]


def test_as_many_steps_as_allowed_are_read_in_a_moment() -> None:
    count = MOST_ENTRIES["steps"]
    names = [f"s{k}" for k in range(count)]
    steps = "".join(
        f"  - {{name: {name}, station: bench, manual: 1 s, rework: {{share: 1 %, to: s0}}}}\n" for name in names
    )
    with within(400):
        line = Line.from_text(SMALL[: SMALL.index("steps:")] + "steps:\n" + steps)
    assert len(line.route.chains[0].steps) == count


def test_steps_that_take_from_all_before_them_are_read_in_a_moment() -> None:
    count = 300
    steps = "".join(
        f"  - {{name: s{k}, station: bench, manual: 1 s, after: [{', '.join(f's{i}' for i in range(k))}]}}\n"
        for k in range(count)
    )
    assert "a product goes one way" in quickly(SMALL[: SMALL.index("steps:")] + "steps:\n" + steps, 400)[0]


def ways_of_their_own(count: int) -> str:
    products = ", ".join(f"{{name: p{k}, demand: 1 /d}}" for k in range(count))
    steps = "".join(f"  - {{name: s{k}, station: bench, manual: 1 s, for: [p{k}]}}\n" for k in range(count - 1))
    text = SMALL.replace("{name: pump, demand: 20 /d}", products)
    return text[: text.index("steps:")] + "steps:\n" + steps + "  - {name: last, station: bench, manual: 1 s}\n"


def test_hundreds_of_products_with_ways_of_their_own_are_read_in_a_moment() -> None:
    with within(400):
        line = Line.from_text(ways_of_their_own(MOST_WAYS))
    assert len(line.route.alike()) == MOST_WAYS
    assert quickly(ways_of_their_own(MOST_WAYS + 1)) == [
        "line 5, column 1: steps: the products go 301 different ways through the steps; allowed: at most 300"
        " (several lines need several files)"
    ]


def test_thousands_of_wrong_names_are_answered_in_a_moment() -> None:
    count = MOST_ENTRIES["moves"]
    moves = "".join(f"  - {{from: nowhere {k}, to: elsewhere {k}, distance: 1 m}}\n" for k in range(count))
    with pytest.raises(LineFileError) as caught:
        Line.from_text(SMALL + "moves:\n" + moves)
    assert len(caught.value.faults) + caught.value.more == 2 * count
    assert len(caught.value.faults) == 200
    assert f"  and {2 * count - 200:,} more that are not listed" in str(caught.value)


def test_thousands_of_unknown_fields_are_answered_in_a_moment() -> None:
    quickly(SMALL + "".join(f"{'x' * 60}{k}: 1\n" for k in range(10_000)), 400)
    quickly(SMALL + "".join(f"k{k}: {{a: 4,5}}\n" for k in range(8_000)), 400)


def test_thousands_of_repeated_keys_are_answered_in_a_moment() -> None:
    quickly(SMALL + "about: x\n" * 20_000, 400)


# --- YAML that a line file does not use -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (SMALL + "---\nline: two\n", "line 6, column 1: the file: a second document begins here ('---')"),
        (SMALL + "line: again\n", "line 6, column 1: line: 'line' stands here again; it was given in line 1 already"),
        ("line: !!python/object:os.system x\n", "line 1, column 7: the file: a tag (!!python/object:os.system) stands here (write the value alone; put quotes round a text that begins with !)"),
        ("line: !important\n", "line 1, column 7: the file: a tag (!important) stands here (write the value alone; put quotes round a text that begins with !)"),
        ("a: &a {b: 1}\nc: {<<: *a}\n", "line 2, column 5: c.<<: fields cannot be merged in with <<: repeat a whole value with *name, or write the fields out"),
        ("a: *b\n", "line 1, column 4: the file: *b refers to nothing above it (put quotes round a text that begins with *)"),
        ("a: &a [*a]\n", "line 1, column 8: the file: *a refers to nothing above it (put quotes round a text that begins with *)"),
        ("[a]: 1\n", "line 1, column 1: the file: a list, a mapping or a repetition cannot be a key"),
        ("{a: 1}: 1\n", "line 1, column 1: the file: a list, a mapping or a repetition cannot be a key"),
        ("a: &a b\n*a : 1\n", "line 2, column 1: the file: a list, a mapping or a repetition cannot be a key"),
    ],
)  # fmt: skip
def test_yaml_that_a_line_file_does_not_use_is_refused_in_words(text: str, said: str) -> None:
    assert said in faults(text)


@pytest.mark.parametrize(
    ("text", "place", "hint"),
    [
        ("line: x\n\tabout: y\n", "line 2, column 1", "a tab stands in this line: indent with spaces"),
        ("line: x: y\n", "line 1, column 8", "put quotes round a text that holds ': '"),
        ("line: @x\n", "line 1, column 7", "put quotes round a text that begins with one of @ ` %"),
        ("a: 1\nline: 'x\nb: 2\n", "line 2, column 7", "a bracket, brace, quote or colon may be missing, or a line is not indented like its neighbours"),
        ("a: 1\nline: {b: 1\nc: 2\n", "line 2, column 7", "a bracket, brace, quote or colon may be missing, or a line is not indented like its neighbours"),
        ("a:\n  b: 1\n c: 2\n", "line 3, column 2", "a bracket, brace, quote or colon may be missing, or a line is not indented like its neighbours"),
        ("a: {from: 06:00, to: 14:00}\n", "line 1, column 13", 'put quotes round a text that holds a colon, such as "06:30", inside braces'),
    ],
)  # fmt: skip
def test_broken_yaml_is_one_fault_with_its_place_and_the_likely_slip(text: str, place: str, hint: str) -> None:
    (only,) = faults(text)
    assert only.startswith(f"{place}: the file: this is not YAML: ")
    assert only.endswith(f"({hint})")


@pytest.mark.parametrize(
    ("key", "shown"),
    [
        ("~", "'~'"),
        ("true", "'true'"),
        ("5", "'5'"),
        ('""', "a field without a name"),
        ('"a\\nb"', "'a b'"),
    ],
)
def test_odd_keys_are_unknown_fields(key: str, shown: str) -> None:
    (only,) = faults(SMALL + f"{key}: 1\n")
    assert shown in only
    assert "line 6" in only


@pytest.mark.parametrize(
    ("word", "value"),
    [
        ("12", 12), ("-4", -4), ("12.5", 12.5), ("1e+22", 1e22), ("1e22", "1e22"), ("0", 0), ("007", "007"), ("3.20", "3.20"), ("1e3", "1e3"), ("+5", "+5"),
        ("1_000", "1_000"), ("0x1F", "0x1F"), ("0o17", "0o17"), ("12:30", "12:30"), (".5", ".5"), ("5.", "5."), (".inf", ".inf"), (".nan", ".nan"),
        ("1" * 19, "1" * 19), ("yes", "yes"), ("no", "no"), ("on", "on"), ("2026-01-01", "2026-01-01"), ("true", True), ("False", False), ("~", None), ("", None),
        ("null", None), ("'null'", "null"), ('"5"', "5"),
    ],
)  # fmt: skip
def test_words_are_read_as_they_are_written(word: str, value: object) -> None:
    read = read_tree(f"a: {word}\n").data["a"]
    assert (type(read), read) == (type(value), value)
