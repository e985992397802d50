"""The line files that come with the project are lines, and say where they come from."""

from __future__ import annotations

from pathlib import Path as FilePath

import jsonschema
import pytest

from pullwright.line import Line
from pullwright.line.schema import line_schema
from pullwright.line.yaml_tree import read_tree

ROOT = FilePath(__file__).parents[2]
EXAMPLES = sorted((ROOT / "examples").glob("*.yaml"))
PUBLISHED = sorted((ROOT / "tests" / "published").glob("*.yaml"))
SCHEMA = jsonschema.Draft202012Validator(line_schema())


@pytest.mark.parametrize("file", [*EXAMPLES, *PUBLISHED], ids=lambda file: file.stem)
def test_every_file_is_a_line_and_fits_the_schema(file: FilePath) -> None:
    line = Line.read(file)
    assert line.file == file.name
    assert not list(SCHEMA.iter_errors(read_tree(line.text).data))


@pytest.mark.parametrize("file", EXAMPLES, ids=lambda file: file.stem)
def test_our_own_examples_say_that_they_are_invented(file: FilePath) -> None:
    assert Line.read(file).invented
    assert file.read_text("utf-8").startswith("# Invented data")


@pytest.mark.parametrize("file", PUBLISHED, ids=lambda file: file.stem)
def test_published_lines_name_their_source(file: FilePath) -> None:
    assert not Line.read(file).invented
    assert any(
        word.isdigit() and len(word) == 4 for word in file.read_text("utf-8").splitlines()[0].replace(",", " ").split()
    )


def test_the_first_line_is_short() -> None:
    text = (ROOT / "examples" / "first_line.yaml").read_text("utf-8")
    assert len([row for row in text.splitlines() if row.strip()]) <= 35


def test_the_stamping_and_assembly_plant_has_the_published_figures() -> None:
    """Rother & Shook 1998, Learning to See: takt 60 s, lead time 23.6 d, processing 188 s; from memory."""
    line = Line.read(ROOT / "tests" / "published" / "stamping_assembly.yaml")
    day = line.work_calendar.average_day().working
    demand = sum(product.demand.value for product in line.products)
    stock = [store.counted.value for store in line.stores if store.counted is not None]
    times = [time.value for step in line.steps for time in (step.manual, step.machine) if time is not None]
    assert day == 2 * 27_600
    assert demand * 20 == 18_400
    assert day / demand == 60
    assert [round(pieces / demand, 9) for pieces in stock] == [5, 7.6, 1.8, 2.7, 2.0, 4.5]
    assert round(sum(stock) / demand, 9) == 23.6
    assert times == [1, 39, 46, 62, 40]
    assert sum(times) == 188
    up = [
        station.breakdowns.between.value / (station.breakdowns.between.value + station.breakdowns.repair.value)
        for station in line.stations
        if station.breakdowns is not None
    ]
    assert [round(share, 9) for share in up] == [0.85, 0.80]
