"""The JSON Schema: it allows whatever is read, refuses what has the wrong shape, and explains every field."""

from __future__ import annotations

import json
from pathlib import Path as FilePath
from typing import Any

import jsonschema
import pytest
from hypothesis import given
from ruamel.yaml import YAML

from pullwright.line.edit import add_item, remove_field, set_field
from pullwright.line.faults import Path
from pullwright.line.fields import mappings, means, title
from pullwright.line.schema import DIALECT, line_schema
from pullwright.line.yaml_tree import read_tree
from tests.strategies import line_texts

ROOT = FilePath(__file__).parents[2]
FILES = [*sorted((ROOT / "examples").glob("*.yaml")), FilePath(__file__).parent / "everything.yaml"]
DEMO = (ROOT / "examples" / "hand_pump.yaml").read_text("utf-8")
SCHEMA = line_schema()
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)


def complaints(text: str) -> list[jsonschema.ValidationError]:
    return list(VALIDATOR.iter_errors(read_tree(text).data))


def test_it_is_a_schema_of_the_draft_that_it_names() -> None:
    assert SCHEMA["$schema"] == DIALECT == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert json.loads(json.dumps(SCHEMA)) == SCHEMA


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_every_example_fits(file: FilePath) -> None:
    assert not complaints(file.read_text("utf-8"))


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_every_example_fits_as_another_reader_of_yaml_sees_it(file: FilePath) -> None:
    read = YAML(typ="safe").load(file.read_text("utf-8"))
    assert not list(VALIDATOR.iter_errors(json.loads(json.dumps(read, default=str))))


@given(line_texts())
def test_every_made_up_line_fits(text: str) -> None:
    assert not complaints(text)


SLIPS: dict[str, tuple[Path, Any]] = {
    "an unknown field": (("steps", 0, "setup"), {"time": "9 s"}),
    "an unknown field at the top": (("stepps",), []),
    "a number without a unit": (("steps", 0, "elements", 0, "manual"), 45),
    "a share above one": (("steps", 0, "scrap"), 98.5),
    "a lot below one": (("steps", 0, "lot"), 0),
    "half a lot": (("steps", 0, "lot"), 2.5),
    "a mapping in place of a name": (("steps", 0, "station"), {"a": 1}),
    "a list in place of a mapping": (("steps", 0, "set_up"), ["12 min"]),
    "a text in place of a mapping": (("steps", 0, "set_up"), "12 min"),
    "a text in place of a list": (("steps", 0, "for"), "P-32"),
    "a word that is none of the few": (("steps", 0, "elements", 0, "kind"), "valuable"),
    "a release that is none": (("steps", 0, "release", "by"), "card"),
    "a clock that is none": (("calendar", "shifts", 0, "from"), "25:00"),
    "a date that is none": (("calendar", "days_off"), ["24.12.2026"]),
    "a weekday that is none": (("calendar", "days"), ["xyz"]),
    "a currency that is none": (("currency",), "Euro"),
    "no shifts": (("calendar", "shifts"), []),
    "half a judgement": (("steps", 0, "elements", 0, "manual"), {"low": "1 s", "high": "2 s"}),
    "a value in two ways": (("steps", 0, "elements", 0, "manual"), {"mean": "1 s", "readings": ["2 s"]}),
    "no readings": (("steps", 0, "elements", 0, "manual"), {"readings": []}),
    "a shape that is none": (("steps", 0, "elements", 0, "manual"), {"mean": "1 s", "distribution": "bell"}),
    "a study of a share": (("steps", 0, "scrap"), {"study": "T-014"}),
    "a quantity without a digit": (("steps", 0, "elements", 0, "manual"), "soon"),
}  # fmt: skip


@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_in_the_shape_is_refused_at_its_place(slip: str) -> None:
    path, value = SLIPS[slip]
    found = complaints(set_field(DEMO, path, value))
    assert found
    assert any(tuple(error.absolute_path) in (path, path[:-1], (*path, 0)) for error in found), [
        error.absolute_path for error in found
    ]


@pytest.mark.parametrize(
    "path",
    [
        ("line",),
        ("calendar",),
        ("steps", 0, "name"),
        ("steps", 0, "station"),
        ("parts", 0, "price"),
        ("moves", 0, "distance"),
    ],
)
def test_a_needed_field_that_is_missing_is_refused(path: Path) -> None:
    assert [error.validator for error in complaints(remove_field(DEMO, path))] == ["required"]


def test_things_written_in_short_are_allowed() -> None:
    text = set_field(DEMO, ("steps", 4, "after"), ["polish barrel", {"step": "form lever", "quantity": 2}])
    text = add_item(
        set_field(text, ("calendar", "extra_days"), ["2026-12-19"]),
        ("studies",),
        {"name": 14, "readings": ["5 s", {"value": "6 s"}]},
    )
    assert not complaints(text)


def test_every_mapping_and_field_is_explained() -> None:
    for model in mappings():
        schema = SCHEMA if model.__name__ == "LineModel" else SCHEMA["$defs"][model.__name__]
        assert schema["description"]
        assert schema["additionalProperties"] is False
        assert set(means(model)) == set(model.model_fields), f"a field of {title(model)} has no comment below it"
        for name, info in model.model_fields.items():
            field = schema["properties"][info.alias or name]
            assert field["title"]
            assert field["description"] == means(model)[name]
            assert field["description"][0].isupper() or field["description"].startswith("push:")
            assert field["description"].endswith((".", "?", "..."))


def test_quantities_are_explained_with_an_example() -> None:
    assert SCHEMA["$defs"]["duration"]["examples"] == ["45 s"]
    assert (
        SCHEMA["$defs"]["duration"]["description"] == "A duration in s, ms, min or h, such as 45 s, from 0 to 10 years."
    )
    assert SCHEMA["$defs"]["money"]["examples"] == ["12.40 EUR"]


def test_every_reference_leads_somewhere() -> None:
    def references(value: Any) -> list[str]:
        if isinstance(value, dict):
            own = [value["$ref"]] if isinstance(value.get("$ref"), str) else []
            return own + [found for item in value.values() for found in references(item)]
        return [found for item in value for found in references(item)] if isinstance(value, list) else []

    assert {reference.removeprefix("#/$defs/") for reference in references(SCHEMA)} == set(SCHEMA["$defs"])
