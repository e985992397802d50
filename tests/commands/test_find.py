"""`pullwright forecast --find` as a person types it."""

from __future__ import annotations

import json

import pytest
from click.testing import Result
from typer.testing import CliRunner

from pullwright import cli
from pullwright.forecast.search.searching import Search

SEALS = """line: seals
invented: yes
calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
products: [{name: seal, demand: 30 /d, promise: 30 min, on_time: 90 %}]
stations: [{name: press}]
steps:
  - {name: form, station: press, machine: {mean: 10 min, distribution: exponential}, people: 0, release: {by: cards, cards: 8, per_card: 1}}
stores: [{after: form, counted: 8}]
"""


@pytest.fixture
def seals(tmp_path):
    (tmp_path / "seals.yaml").write_text(SEALS)
    return tmp_path / "seals.yaml"


def find(*words: object) -> Result:
    return CliRunner().invoke(cli.app, ["forecast", *(str(word) for word in words)])


def test_it_says_what_was_found_how_sure_that_is_and_what_was_tried(seals):
    done = find(seals, "--find", "fewest cards of form 1..10", "--days", 50)

    assert done.exit_code == 0, done.output
    assert done.stdout.startswith("Fewest cards: 3 cards (cards of form: 3).\nWith 95 % confidence it keeps")
    assert "cards of form: 2" in done.stdout
    assert "broken" in done.stdout


def test_for_machines_it_is_json(seals):
    done = find(seals, "--find", "fewest cards of form 2..4", "--promise", "on time 50 %", "--days", 40, "--json")
    assert json.loads(done.stdout)["found"]["setting"] == [2]


def test_where_nothing_keeps_the_promise_it_ends_with_1(seals):
    done = find(seals, "--find", "fewest cards of form 1..2", "--promise", "on time 99 %", "--days", 40)
    assert done.exit_code == 1
    assert "cards" in done.stdout


def test_a_search_that_was_stopped_goes_on_from_its_file_to_the_same_answer(seals, tmp_path, monkeypatch):
    whole = find(seals, "--find", "fewest cards of form 1..10", "--days", 50)
    step, steps = Search.step, []

    def tired(self, stop=lambda: False):
        steps.append(1)
        if len(steps) == 3:
            raise KeyboardInterrupt
        return step(self, stop)

    monkeypatch.setattr(Search, "step", tired)
    kept = tmp_path / "kept.json"
    stopped = find(seals, "--find", "fewest cards of form 1..10", "--days", 50, "--keep", kept)
    assert stopped.exit_code == 130
    assert f"goes on from {kept}" in stopped.stdout
    runs = sum(len(rows) for _, rows in json.loads(kept.read_text())["runs"])
    assert runs > 0
    done = find(seals, "--find", "fewest cards of form 1..10", "--days", 50, "--keep", kept)
    assert done.stdout.splitlines()[:2] == whole.stdout.splitlines()[:2]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--find", "fewest cards of glue 1..3"), "glue"),
        (("--find", "most cards of form"), "most"),
        (("--find", "fewest cards of form 1..3", "--promise", "on time 120 %"), "120"),
        (("--find", "fewest cards of form 1..3", "--confidence", 2), "confidence"),
        (("--find", "fewest cards of form 1..3", "--workers", 0), "workers"),
        (("--find", "fewest cards of form 1..3", "--days", 0), "days"),
    ],
)
def test_what_cannot_be_asked_is_told(seals, words, said):
    done = find(seals, *words)
    assert done.exit_code == 2
    assert said in done.stderr


def test_a_file_that_is_no_search_is_left_as_it_is(seals, tmp_path):
    other = tmp_path / "notes.txt"
    other.write_text("my notes")
    done = find(seals, "--find", "fewest cards of form 1..3", "--keep", other)
    assert done.exit_code == 2
    assert other.read_text() == "my notes"
