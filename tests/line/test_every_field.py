"""Every field of a line file with every kind of bad value: the answer is a fault at that place, or a valid line, and never anything else."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path as FilePath
from typing import Any, get_args

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from pydantic import BaseModel

from pullwright.line import Line, LineFileError
from pullwright.line.edit import remove_field
from pullwright.line.faults import Path, path_words
from pullwright.line.fields import mappings, model_in
from pullwright.line.item import Alone
from pullwright.line.measures import QuantityField
from pullwright.line.model import LineModel
from pullwright.line.words import WordField
from pullwright.line.yaml_tree import read_tree

HERE = FilePath(__file__).parent
TEXT = (HERE / "everything.yaml").read_text("utf-8")
TREE = read_tree(TEXT)
DEMO = (HERE.parents[1] / "examples" / "hand_pump.yaml").read_text("utf-8")
DEMO_TREE = read_tree(DEMO)

NO_WORDS = ["{a: 1}", "[1]", "", "~", "true", "{}", "[]"]
"""What is no word or number at all; true stands for both yes and no."""

BAD_QUANTITY = [*NO_WORDS, "soon", "nan", "1e308", "{low: 1 s}", "{study: nowhere}"]
RARER = ["-inf", ".nan s", "1e999 s", "9 furlong", "4,5 s", "- 3 s", '"5 s 3"', "1/2", "{readings: []}", "{readings: x}", "{mean: }", "{cv: 0.2}", "{count: 3}", "{mean: {mean: 1 s}}"]  # fmt: skip
"""Tried on one field of each dimension only, because all fields of a dimension are read by one function."""

WRONG_UNIT: dict[str, str] = {
    "duration": "3 m2", "span": "3 kg", "length": "3 s", "area": "3 m", "mass": "3 s", "speed": "3 m", "share": "3 s",
    "factor": "3 s", "rate of carrying": "3 %/month", "money": "3 CHF", "cash": "3 s", "money per hour": "3 EUR",
    "money per year": "3 EUR", "money per area per month": "3 EUR", "per day": "3 s", "pieces": "3 s",
}  # fmt: skip
NEGATIVE: dict[str, str] = {
    "duration": "-3 s", "span": "-3 d", "length": "-3 m", "area": "-3 m2", "mass": "-3 kg", "speed": "-3 m/s", "share": "-0.1",
    "factor": "-1", "rate of carrying": "-3 %/year", "money": "-3 EUR", "money per hour": "-3 EUR/h",
    "money per year": "-3 EUR/year", "money per area per month": "-3 EUR/m2/month", "per day": "-3 /d", "pieces": "-3",
}  # fmt: skip
HUGE: dict[str, str] = {
    name: value.replace("-3", "9e300").replace("-1", "9e300").replace("-0.1", "9e300")
    for name, value in NEGATIVE.items()
}
ZERO: dict[str, str] = {
    name: value.replace("-3", "0").replace("-1", "0").replace("-0.1", "0") for name, value in NEGATIVE.items()
}

BAD_WORDS: dict[str, list[str]] = {
    "a name": [*NO_WORDS, '""', '" "', '"\\a"', '"a\\u202eb"', "x" * 81, "“x”"],
    "a text": [*NO_WORDS, '"\\a"', "x" * 2_001],
    "a clock time": [*NO_WORDS, "6", "25:00", "24:30", "12:60", "noon", "-1:00", "“06:00”", "6.30", "06:00:00"],
    "a weekday": [*NO_WORDS, "5", "monkey", "mo", "moonday", "2026-01-01"],
    "a date": [*NO_WORDS, "5", "2026-02-30", "24.12.2026", "12/24/2026", "1066-10-14", "9999-12-31", "tomorrow", "2026-1-1"],
    "yes or no": [*NO_WORDS[:4], "maybe", "2", "{}", "[]", "y"],
    "a currency": [*NO_WORDS, "eur", "€", "EURO", "5"],
    "a whole number from 0": [*NO_WORDS, "-1", "2.5", "x", "1000000000", "nan", "1e3", "12 pieces", "0x10"],
    "a whole number from 1": [*NO_WORDS, "0", "-1", "2.5", "x", "1000000000", "nan", "1e3", "12 pieces", "0x10"],
}  # fmt: skip
BAD_CHOICE = [*NO_WORDS, "xyzzy", "5", "VALUE", "Push"]
BAD_LIST = ["x", "5", "~", "", "true", "{a: 1}", "{}"]
BAD_MAPPING = ["x", "5", "~", "", "true", "[1]", "{a: 1}", "{~: 1}", "{5: 1}", "{[1]: 1}"]


def known(path: Path) -> tuple[Any, list[Any]]:
    """Find the type of the field at a path, with its marks."""
    annotation: Any = LineModel
    metadata: list[Any] = []
    for step in path:
        if isinstance(step, int):
            inner = [one for one in get_args(annotation) if one is not type(None)]
            while not inner or getattr(annotation, "__origin__", None) is not tuple:
                annotation = inner[0]
                inner = [one for one in get_args(annotation) if one is not type(None)]
            annotation, metadata = inner[0], []
            continue
        model = model_in(annotation)
        assert model is not None, path
        info = next(info for name, info in model.model_fields.items() if (info.alias or name) == step)
        annotation, metadata = info.annotation, list(info.metadata)
    while hasattr(annotation, "__metadata__") or type(None) in get_args(annotation):
        metadata += getattr(annotation, "__metadata__", ())
        annotation = get_args(annotation)[0]
    return annotation, metadata


def fields(tree: Any) -> Iterator[Path]:
    """Give the paths of all fields and entries, not those inside a quantity."""

    def below(data: Any, path: Path) -> Iterator[Path]:
        if path:
            yield path
            if any(isinstance(mark, QuantityField) for mark in known(path)[1]):
                return
        if isinstance(data, dict):
            for key, item in data.items():
                yield from below(item, (*path, key))
        elif isinstance(data, list):
            for index, item in enumerate(data):
                yield from below(item, (*path, index))

    yield from below(tree.data, ())


def bad_values(path: Path) -> list[str]:
    annotation, metadata = known(path)
    for mark in metadata:
        if isinstance(mark, QuantityField):
            of = mark.dimension
            worse = [table[of] for table in (WRONG_UNIT, NEGATIVE, HUGE) if of in table]
            return [*BAD_QUANTITY, *worse, *(RARER if path in FIRST_OF_DIMENSION else [])]
        if isinstance(mark, WordField):
            return next((bad for words, bad in BAD_WORDS.items() if mark.words.startswith(words)), BAD_CHOICE)
    if getattr(annotation, "__origin__", None) is tuple:
        return BAD_LIST
    alone = [mark for mark in metadata if isinstance(mark, Alone)]
    return [bad for bad in BAD_MAPPING if bad.startswith(("{", "[", "~", "true")) or not bad] if alone else BAD_MAPPING


def with_value(text: str, tree: Any, path: Path, value: str) -> str:
    mark = tree.marks[path]
    gap = " " if text[mark.start - 1] != " " else ""
    if mark.style == "block" and (key := tree.key_marks.get(path)):  # from behind the colon on
        return f"{text[: key.end]}: {value}{text[mark.end :]}"
    return text[: mark.start] + gap + value + text[mark.end :]


def pattern(path: Path) -> str:
    return ".".join("*" if isinstance(step, int) else step for step in path)


def one_of_each() -> list[Path]:
    seen: dict[str, Path] = {}
    for path in fields(TREE):
        seen.setdefault(pattern(path), path)
    return list(seen.values())


def tried_on(path: Path) -> list[str]:
    """All bad values for the first field of each kind; for the others, which are read by the same function, every third in turn."""
    bad = bad_values(path)
    if path in FIRST_OF_KIND:
        return bad
    return bad[CASES.index(path) % 3 :: 3]


def first_of_each_kind() -> list[Path]:
    first: dict[str, Path] = {}
    for path in CASES:
        annotation, metadata = known(path)
        words = [mark.words for mark in metadata if isinstance(mark, WordField)]
        dimensions = [mark.dimension for mark in metadata if isinstance(mark, QuantityField)]
        first.setdefault(str([*dimensions, *words] or annotation), path)
    return list(first.values())


def first_of_each_dimension() -> list[Path]:
    first: dict[str, Path] = {}
    for path in CASES:
        for mark in known(path)[1]:
            if isinstance(mark, QuantityField):
                first.setdefault(mark.dimension, path)
    return list(first.values())


CASES = one_of_each()
FIRST_OF_DIMENSION = first_of_each_dimension()
FIRST_OF_KIND = first_of_each_kind()


def test_the_file_with_everything_holds_every_field() -> None:
    assert Line.from_text(TEXT).line == "everything"
    there = {
        (model_in(known(path[:-1])[0] if path[:-1] else LineModel), path[-1])
        for path in TREE.key_marks
        if path[-1] not in _INSIDE
    }
    for model in mappings():
        for name, info in model.model_fields.items():
            assert (model, info.alias or name) in there, (model.__name__, name)


_INSIDE = ("mean", "low", "likely", "high", "count", "cv", "distribution", "study")


@pytest.mark.parametrize("path", CASES, ids=pattern)
def test_a_bad_value_is_one_fault_at_its_place(path: Path) -> None:
    line = TREE.value_mark(path).line
    for bad in tried_on(path):
        if not bad and isinstance(path[-1], int):
            continue  # nothing between two commas is no entry
        text = with_value(TEXT, TREE, path, bad)
        with pytest.raises(LineFileError) as caught:
            Line.from_text(text)
        faults = caught.value.faults
        if faults[0].field == "the file":
            continue  # no YAML; other tests look at that
        here = [
            fault for fault in faults if fault.line in (line, line - 1) and fault.field.startswith(path_words(path))
        ]
        assert here, (bad, str(caught.value))
        assert len(faults) == 1 or (len(here) == len(faults) and bad.startswith("{") and bad != "{}"), (
            bad,
            str(caught.value),
        )
        assert "Error" not in str(caught.value)
        assert all(fault.allowed and str(fault) for fault in faults)


@pytest.mark.parametrize("path", CASES, ids=pattern)
def test_a_value_at_the_edge_is_a_line_or_a_fault(path: Path) -> None:
    dimension = next((mark.dimension for mark in known(path)[1] if isinstance(mark, QuantityField)), None)
    edges = ["0", "1", '"-"', *([ZERO[dimension], "1e-300 s"] if dimension in ZERO else [])]
    for value in edges:
        with suppress(LineFileError):
            assert Line.from_text(with_value(TEXT, TREE, path, value)).route.order


@pytest.mark.parametrize("path", [path for path in CASES if isinstance(path[-1], str)], ids=pattern)
def test_a_missing_or_misspelt_field_is_one_fault_or_none(path: Path) -> None:
    key, mark = TREE.key_marks[path], TREE.marks[path]
    misspelt = TEXT[: key.start] + f"{path[-1]}x" + TEXT[key.end :]
    with pytest.raises(LineFileError) as caught:
        Line.from_text(misspelt)
    first = caught.value.faults[0]
    assert (first.field, first.line) == (path_words((*path[:-1], f"{path[-1]}x")), key.line)
    assert first.hint == f"did you mean {path[-1]}?"
    del mark


def test_missing_names_are_said_once_and_not_by_those_who_refer_to_them() -> None:
    for path in [path for path in TREE.key_marks if path[-1] == "name"]:
        text = with_value(TEXT, TREE, path, '""')
        with pytest.raises(LineFileError) as caught:
            Line.from_text(text)
        assert [fault.field for fault in caught.value.faults] == [path_words(path)], str(caught.value)
        with pytest.raises(LineFileError) as caught:
            Line.from_text(remove_field(TEXT, path))
        assert [fault.message for fault in caught.value.faults] == ["name is missing"], str(caught.value)
        assert caught.value.faults[0].field == path_words(path)


@settings(max_examples=50)
@given(st.data())
def test_any_bad_value_anywhere_in_the_demo_is_found(data: st.DataObject) -> None:
    path = data.draw(st.sampled_from([path for path in fields(DEMO_TREE) if DEMO_TREE.repeat_above(path) is None]))
    bad = data.draw(st.sampled_from(bad_values(path)))
    assume(bad or isinstance(path[-1], str))  # nothing in place of the only entry leaves an empty list, which may stand
    text = with_value(DEMO, DEMO_TREE, path, bad)
    with pytest.raises(LineFileError) as caught:
        Line.from_text(text)
    assert read_tree(text).faults or any(fault.field.startswith(path_words(path)) for fault in caught.value.faults)


def test_mappings_are_models() -> None:
    assert all(issubclass(model, BaseModel) for model in mappings())
