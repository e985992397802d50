"""docs/line_file.md: its tables are those of the model, and its examples are read."""

from __future__ import annotations

import re
from pathlib import Path as FilePath

import pytest

from pullwright.line import Line
from pullwright.line.edit import set_field
from pullwright.line.field_tables import field_tables
from pullwright.line.size import MOST_ENTRIES
from pullwright.line.yaml_tree import MOST_BYTES, MOST_DEPTH, MOST_VALUES, read_tree
from tests.line_base import BASE

PAGE = (FilePath(__file__).parents[2] / "docs" / "line_file.md").read_text("utf-8")
BLOCKS = re.findall(r"```yaml\n(.*?)```", PAGE, re.DOTALL)
WHOLE = [block for block in BLOCKS if block.startswith("line:")]
IN_A_STEP = [block for block in BLOCKS if block.startswith("# in a step\n")]


def test_the_tables_are_those_of_the_model() -> None:
    """Put the output of field_tables() behind the heading "All fields" where this fails."""
    assert PAGE.endswith(field_tables())


def test_every_example_is_of_a_kind_that_is_read_here() -> None:
    assert (len(WHOLE), len(IN_A_STEP), len(BLOCKS)) == (1, 3, 4)


def test_the_worked_example_is_a_line() -> None:
    line = Line.from_text(WHOLE[0])
    assert len(line.steps) == 3
    assert line.route.last_for("wall lamp") == 2


@pytest.mark.parametrize("block", IN_A_STEP)
def test_examples_of_a_step_are_read(block: str) -> None:
    text = set_field(BASE, ("studies",), [{"name": "T-1", "readings": ["5 s"]}])
    for field, value in read_tree(block).data.items():
        text = set_field(text, ("steps", 0, field), value)
    assert Line.from_text(text).steps[0].manual is not None


def test_the_limits_are_those_of_the_program() -> None:
    assert (
        f"{MOST_BYTES:,} bytes, {MOST_VALUES:,} values, {MOST_DEPTH} levels, and {MOST_ENTRIES['steps']:,} steps"
        in PAGE
    )


def test_links_to_tables_lead_somewhere() -> None:
    headings = {line.removeprefix("### ").replace(" ", "-") for line in PAGE.splitlines() if line.startswith("### ")}
    assert set(re.findall(r"\]\(#([^)]+)\)", PAGE)) <= headings
