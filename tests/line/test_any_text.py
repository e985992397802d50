"""Whatever text comes in: a line or a LineFileError, soon, and never anything else."""

from __future__ import annotations

import json
from contextlib import suppress
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from pullwright.line import Line, LineFileError
from pullwright.line.edit import EditError, set_field
from pullwright.line.faults import MOST_FAULTS
from pullwright.line.fields import fields_at, mappings
from pullwright.line.schema import line_schema
from pullwright.line.yaml_tree import read_tree
from tests.effort import within
from tests.strategies import line_texts

MOST_TURNS = 200
FIELDS = sorted({info.alias or name for model in mappings() for name, info in model.model_fields.items()})
WORDS = st.one_of(
    st.sampled_from(
        [
            "45 s",
            "5 %",
            "20 /d",
            "3 d",
            "1 EUR",
            "06:00",
            "mon",
            "2026-01-01",
            "yes",
            "push",
            "value",
            "*a",
            "&a x",
            "<<",
            "!t",
        ]
    ),
    st.text(max_size=12),
    st.integers(-(10**20), 10**20),
    st.floats(),
    st.booleans(),
    st.none(),
)
KEYS = st.one_of(
    st.sampled_from([*FIELDS, "low", "likely", "high", "mean", "cv", "readings", "study", "count", "of", "<<"]),
    st.text(max_size=8),
)
VALUES = st.recursive(
    WORDS, lambda inner: st.one_of(st.lists(inner, max_size=4), st.dictionaries(KEYS, inner, max_size=6)), max_leaves=25
)


def answer(text: str) -> LineFileError | Line:
    found: LineFileError | Line | None = None
    with within(MOST_TURNS):
        try:
            found = Line.from_text(text)
        except LineFileError as error:
            found = error
    if isinstance(found, LineFileError):
        assert 0 < len(found.faults) <= MOST_FAULTS
        str(found).encode("utf-8")
        for fault in found.faults:
            assert fault.field
            assert fault.line <= len(text) + 2
            assert str(fault).isprintable()
            json.dumps(fault.as_dict()).encode()
    return found


@settings(max_examples=300)
@given(st.text(max_size=200))
@example("\ufeff\ufeff")
@example("line: x\x85about: y")
@example("? \n- :")
@example("a: &a\nb: *a\n")
@example("%YAML 9.9\n---\na: 1\n")
@example("%TAG ! tag:x,2000:\n---\na: !b c\n")
@example("{" * 20 + "}" * 20)
@example("a: |9\n   b\n")
@example("a: >\n\t\n")
@example("'\\")
@example('"\\x')
def test_any_text_is_answered(text: str) -> None:
    answer(text)


@settings(max_examples=300)
@given(
    st.lists(
        st.sampled_from(
            [
                "line",
                "steps",
                ":",
                " ",
                "\n",
                "  ",
                "- ",
                "{",
                "}",
                "[",
                "]",
                ",",
                "&a",
                "*a",
                "'",
                '"',
                "|",
                ">",
                "#",
                "?",
                "!",
                "\t",
                "x",
                "5 s",
                "\r\n",
                "---",
                "<<",
                "%",
            ]
        ),
        max_size=60,
    )
)
def test_any_heap_of_yaml_signs_is_answered(signs: list[str]) -> None:
    answer("".join(signs))


@settings(max_examples=300)
@given(VALUES)
def test_any_structure_is_answered(value: Any) -> None:
    answer(json.dumps(value))


@settings(max_examples=120)
@given(st.dictionaries(st.sampled_from(fields_at(())), VALUES, max_size=12))
def test_any_structure_under_the_right_words_is_answered(value: dict[str, Any]) -> None:
    answer(json.dumps(value))


@settings(max_examples=80)
@given(line_texts(6), st.data())
def test_a_line_with_one_random_value_is_answered_and_the_schema_allows_what_is_taken(
    text: str, data: st.DataObject
) -> None:
    tree = read_tree(text)
    path = data.draw(st.sampled_from([path for path in tree.marks if path]))
    value = data.draw(VALUES)
    with suppress(EditError):
        text = set_field(text, path, value)
    found = answer(text)
    if isinstance(found, Line):
        assert fits_the_schema(read_tree(text).data)


@settings(max_examples=80)
@given(line_texts(6), st.data())
def test_a_line_with_a_piece_cut_out_or_doubled_is_answered(text: str, data: st.DataObject) -> None:
    start = data.draw(st.integers(0, len(text)))
    length = data.draw(st.integers(0, 80))
    answer(text[:start] + text[start + length :])
    answer(text[: start + length] + text[start:])


@pytest.fixture(scope="module", autouse=True)
def _the_schema_is_made_once() -> None:
    fits_the_schema({})


def fits_the_schema(data: Any, made: list[Any] = []) -> bool:  # noqa: B006 - kept on purpose
    import jsonschema

    if not made:
        made.append(jsonschema.Draft202012Validator(line_schema()))
    return bool(made[0].is_valid(data))
