"""`pullwright rest` as a person types it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import Result
from typer.testing import CliRunner

from pullwright import cli
from pullwright.pull.sequence.of_line import day_of
from pullwright.pull.sequence.rest import rest_of
from tests.pull.sequence.sequenced_lines import carts

FLOW = carts()


@pytest.fixture
def line(tmp_path: Path) -> Path:
    (tmp_path / "carts.yaml").write_text(FLOW.line.text)
    return tmp_path / "carts.yaml"


def rest(*words: object) -> Result:
    return CliRunner().invoke(cli.app, ["rest", *(str(word) for word in words)])


def test_it_says_the_rest_and_ends_with_1_where_not_all_of_it_fits(line: Path) -> None:
    done = rest(line, "--now", "10:40", "--done", 12, "--asked", "green=6 more")
    assert done.exit_code == 1
    assert "Not all of it fits until 14:00" in done.stdout
    name = done.stdout.split('--why "')[1].split('"')[0]
    why = rest(line, "--now", "10:40", "--done", 12, "--asked", "green=6 more", "--why", name)
    assert why.exit_code == 0
    assert why.stdout.startswith(name)
    assert rest(line, "--done", 12).exit_code == 0


def test_it_says_the_same_as_the_engine_by_product_and_after_an_earlier_plan(line: Path, tmp_path: Path) -> None:
    first = {"now": "08:00", "done": "5", "asked.green": "5"}
    second = {"now": "10:40", "done.red": "5", "done.blue": "4", "done.green": "2", "lost.red": "1", "until": "15:00"}
    expected = rest_of(FLOW, rest_of(FLOW, day_of(FLOW), first), second)
    done = rest(
        line, "--before", "now=08:00&done=5&asked.green=5", "--now", "10:40", "--done", "red=5", "--done", "blue=4", "--done", "green=2", "--lost", "red=1",
        "--until", "15:00", "--json", "--pdf", tmp_path / "rest.pdf",
    )  # fmt: skip
    told = json.loads(done.stdout)
    assert told["sequence"] == list(expected.day.sequence)
    assert told["done"] == 10
    assert told["left_over"] == expected.day.left_over
    assert (tmp_path / "rest.pdf").read_bytes().startswith(b"%PDF-")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--done", "99"], "--done: '99' was read; allowed: whole numbers from 0 to 24"),
        (["--asked", "pink=2"], "--asked pink: product 'pink' was read"),
        (["--asked", "6 more"], "allowed: PRODUCT=N"),
        (["--asked", "red=2", "--asked", "red=3"], "give it once"),
        (["--now", "soon"], "--now: 'soon' was read"),
        (["--before", "colour=red"], "--before 'colour=red' was read"),
        (["--wish", "day.set_ups=1"], "There is no sequence of today to plan anew"),
        (["--why", "nothing of that kind"], "there is no figure called"),
    ],
)
def test_a_slip_is_said_and_ends_with_2(line: Path, words: list[str], said: str) -> None:
    done = rest(line, *words)
    assert done.exit_code == 2
    assert said in done.stderr
    assert "Traceback" not in done.output
