"""`pullwright plan` as a person types it."""

from __future__ import annotations

import json

import pytest
from click.testing import Result
from typer.testing import CliRunner

from pullwright import cli
from pullwright.line import Line
from pullwright.pull.wished import WISHES
from tests.web.small_line import VALVES


@pytest.fixture
def valves(tmp_path):
    (tmp_path / "valves.yaml").write_text(VALVES)
    return tmp_path / "valves.yaml"


def plan(*words: object) -> Result:
    return CliRunner().invoke(cli.app, ["plan", *(str(word) for word in words)])


def test_it_says_the_whole_plan_and_how_to_ask_why(valves):
    done = plan(valves)
    assert done.exit_code in (0, 1), done.output
    for title in (
        "Posts",
        "Lots and set-ups",
        "Cards and containers",
        "Deliveries",
        "Today's sequence",
        "People",
        "Does it fit?",
    ):
        assert f"\n{title}\n" in done.stdout
    name = done.stdout.split('--why "')[1].split('"')[0]
    why = plan(valves, "--why", name)
    assert why.exit_code == 0
    assert why.stdout.startswith(name)


def test_a_wish_is_planned_as_if_it_stood_in_the_file(valves):
    wished = plan(valves, "--wish", "balance.posts=4", "--part", "posts", "--json")
    (valves.parent / "four.yaml").write_text(VALVES + "plan: {balance: {posts: 4}}\n")
    in_file = plan(valves.parent / "four.yaml", "--part", "posts", "--json")
    assert json.loads(wished.stdout)["parts"] == json.loads(in_file.stdout)["parts"]


def test_wishes_are_listed_with_how_they_are_typed(valves):
    listed = json.loads(plan(valves, "--wishes", "--json").stdout)
    assert [one["name"] for one in listed] == [wish.name for wish in WISHES]


def test_the_line_as_planned_is_a_line_file_and_nothing_is_written_over(valves, tmp_path):
    out = tmp_path / "planned.yaml"
    assert plan(valves, "--as-line", out).exit_code in (0, 1)
    text = out.read_text()
    assert Line.from_text(text) != Line.from_text(VALVES)
    again = plan(valves, "--as-line", out)
    assert again.exit_code == 2
    assert "is there already" in again.stderr
    assert out.read_text() == text


def test_where_no_such_plan_is_it_ends_with_1_and_says_what_would_do(valves):
    done = plan(valves, "--wish", "balance.posts=1", "--wish", "balance.takt=300 s", "--part", "posts")
    assert done.exit_code == 1
    assert "What does work:" in done.stdout


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--wish", "balance.posts"], "allowed: NAME=TEXT"),
        (["--wish", "balance.post=3"], "did you mean balance.posts?"),
        (["--wish", "balance.posts=many"], "balance.posts"),
        (["--part", "card"], "a plan has no part 'card'"),
        (["--why", "nothing of that kind"], "there is no figure called"),
    ],
)
def test_a_slip_is_said_and_ends_with_2(valves, words, said):
    done = plan(valves, *words)
    assert done.exit_code == 2
    assert said in done.stderr
    assert "Traceback" not in done.output


def test_more_or_fewer_people_in_a_table_with_its_why(valves):
    done = plan(valves, "--people", "1..3")
    assert done.exit_code == 0, done.output
    assert "More or fewer people" in done.stdout
    assert "best efficiency" in done.stdout
    part = json.loads(plan(valves, "--people", "1..3", "--json").stdout)["parts"][0]
    assert [row["words"] for row in part["tables"][0]["rows"]] == ["1 person", "2 people", "3 people"]
    names = plan(valves, "--people", "1..3", "--names").stdout.splitlines()
    assert names
    assert plan(valves, "--people", "1..3", "--why", names[0]).exit_code == 0


@pytest.mark.parametrize("asked", ["3", "5..2", "0..4", "1..900", "a..b"])
def test_what_is_no_range_of_people_is_said(valves, asked):
    done = plan(valves, "--people", asked)
    assert done.exit_code == 2
    assert "--people:" in done.stderr
    assert "allowed: two numbers" in done.stderr
