"""`pullwright balance` as a person types it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import Result
from typer.testing import CliRunner

from pullwright import cli

EXAMPLES = Path(__file__).parents[2] / "examples"
TASKS = EXAMPLES / "assembly_tasks.csv"
LINE = EXAMPLES / "hand_pump.yaml"


@pytest.fixture
def lamps(tmp_path):
    (tmp_path / "lamps.csv").write_text(
        "task,time,after,x,y\ncut,20,,0,0\nglue,30 s,cut,0,0\npack,25,glue,5,0\nlabel,5,,5,0\n"
    )
    return tmp_path / "lamps.csv"


def balance(*words: object) -> Result:
    return CliRunner().invoke(cli.app, ["balance", *(str(word) for word in words)])


def test_it_says_how_many_posts_who_does_what_and_why_not_one_fewer(lamps):
    done = balance(lamps, "--takt", "50 s")

    assert done.exit_code == 0, done.output
    assert done.stdout.startswith("2 posts keep a takt of 50 s; no fewer posts can. 80 % of the time is work")
    assert "██████████████████████████████|  cut, glue" in done.stdout
    assert "1 post is too few" in done.stdout


def test_the_shortest_takt_for_so_many_posts(lamps):
    done = balance(lamps, "--posts", 3)
    assert done.stdout.startswith("3 posts keep a takt of 30 s; no shorter one can be kept.")


def test_a_range_of_posts_marks_the_best_efficiency(lamps):
    done = balance(lamps, "--range", "1..4")
    rows = [line.split() for line in done.stdout.splitlines()]
    assert [row[0] for row in rows[1:]] == ["1", "2", "3", "4"]
    assert rows[4][-6:] == ["3", "of", "them", "do", "it", "already"]
    assert rows[1][-2:] == ["best", "efficiency"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--apart", "cut;glue"), "stay apart, 2 posts would do"),
        (("--fixed", "pack=4"), "'pack' stays at post 4"),
        (("--left-of", "cut;glue"), "'cut' stays left of 'glue'"),
        (("--together", "cut;pack", "--takt", "79 s"), "cut, glue, pack"),
        (("--walking", "--takt", "80 s"), "2 posts keep"),
        (("--u-shaped", "--takt", "47 s"), "2 posts"),
        (("--people", 2, "--takt", "75 s"), "1 post with 2 people keeps"),
        (("--overrun", "5 %"), "2 posts keep"),
        (("--crew", "packers=2"), "packers"),
    ],
)
def test_wishes_are_options(lamps, words, said):
    done = balance(lamps, *(() if "--takt" in words else ("--takt", "50 s")), *words)
    assert done.exit_code == 0, done.output
    assert said in done.stdout


def test_where_wishes_clash_it_ends_with_1_names_them_and_what_works(lamps):
    done = balance(lamps, "--takt", "50 s", "--most", 1)
    assert done.exit_code == 1
    assert (
        "No such balance: no plan keeps a takt of 50 s and this: at most 1 post. With 2 posts it works" in done.stdout
    )
    told = json.loads(balance(lamps, "--takt", "50 s", "--most", 1, "--json").stdout)
    assert told["found"] is None
    assert told["binding"] == ["at most 1 post"]


def test_for_machines_it_is_json(lamps):
    told = json.loads(balance(lamps, "--takt", "50 s", "--json").stdout)
    assert told["proven"] is True
    assert [[element["name"] for element in post["elements"]] for post in told["posts"]] == [["cut", "glue"], ["pack", "label"]] or len(told["posts"]) == 2  # fmt: skip
    assert told["takt"]["value"] == 50.0


def test_every_number_says_why(lamps):
    names = balance(lamps, "--takt", "50 s", "--names").stdout.splitlines()
    assert "load of the round / post 1" in names
    why = balance(lamps, "--takt", "50 s", "--why", "round / post 1").stdout
    assert "time of cut (lamps.csv:2)" in why
    assert balance(lamps, "--takt", "50 s", "--why", "soup").exit_code == 2


def test_a_line_file_has_its_own_takt_and_crews():
    done = balance(LINE)
    assert done.exit_code == 0, done.output
    assert done.stdout.startswith("7 posts keep a takt of 16.2 min; no fewer posts can.")
    assert "today 9 people work at this line" in done.stdout


def test_options_are_wishes_of_the_line_file_too():
    done = balance(LINE, "--u-shaped", "--apart", "paint / spray;pack", "--json")
    assert done.exit_code == 0, done.output
    at = {element["name"]: post["post"] for post in json.loads(done.stdout)["posts"] for element in post["elements"]}
    assert at["paint / spray"] != at["pack / label and book out"]


def test_the_example_runs():
    done = balance(TASKS, "--takt", "4 min", "--walking")
    assert done.exit_code == 0, done.output
    assert "no fewer posts can" in done.stdout


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--takt", "50"), "did you mean 50 s"),
        (("--takt", "0 s"), "allowed"),
        ((), "name the takt"),
        (("--posts", 0), "allowed: 1 or more"),
        (("--range", "5..2"), "--range 2..8"),
        (("--takt", "50 s", "--posts", 2), "name one of"),
        (("--takt", "50 s", "--apart", "cut"), "two tasks"),
        (("--takt", "50 s", "--apart", "cut;soup"), "no element 'soup'"),
        (("--takt", "50 s", "--fixed", "cut"), "cut=1"),
        (("--takt", "50 s", "--left-of", "cut;glue;pack"), "names two tasks"),
        (("--takt", "50 s", "--overrun", "5"), "did you mean"),
        (("--takt", "50 s", "--crew", "=3"), "--crew"),
    ],
)
def test_bad_input_ends_with_2_and_a_message_that_helps(lamps, words, said):
    done = balance(lamps, *words)
    assert done.exit_code == 2, done.output
    assert said in done.stderr


def test_a_table_with_faults_says_all_of_them(tmp_path):
    (tmp_path / "bad.csv").write_text("task,time\ncut,soon\ncut,5\n")
    done = balance(tmp_path / "bad.csv", "--takt", "5 s", "--json")
    assert done.exit_code == 2
    assert [fault["line"] for fault in json.loads(done.stdout)["faults"]] == [2, 3]
    assert balance(tmp_path / "none.csv", "--takt", "5 s").exit_code == 2


def test_a_wish_that_the_line_file_does_not_know_is_said():
    done = balance(LINE, "--apart", "paint;soup")
    assert done.exit_code == 2
    assert "soup" in done.stderr


def test_a_number_without_a_takt_stays_in_the_range_with_its_reason(lamps):
    done = balance(lamps, "--range", "1..3", "--apart", "cut;glue;pack")
    assert [line.split()[:2] for line in done.stdout.splitlines()[1:4]] == [["1", "none"], ["2", "none"], ["3", "3"]]
    assert "2 posts are too few, whatever the takt: no two of 'cut', 'glue' and 'pack' are at one post." in done.stdout
    rows = json.loads(balance(lamps, "--range", "1..3", "--apart", "cut;glue;pack", "--json").stdout)
    assert [row["takt"] for row in rows] == [None, None, 30.0]


def test_the_shortest_takt_says_what_binds(lamps):
    said = balance(lamps, "--posts", 3).stdout
    assert "No takt below 30 s can be kept with 3 posts: 'glue' alone takes 30 s." in said
    assert "The fullest is post 2: 'glue' (30 s)" in said


def test_posts_that_may_not_be_full(lamps):
    said = balance(lamps, "--takt", "80 s", "--load", "90 %").stdout
    assert said.startswith("2 posts keep a takt of 80 s")
    assert "That no post is loaded above 90 % of the takt costs 1 post" in said
    refused = balance(lamps, "--takt", "80 s", "--load", "30 %")
    assert refused.exit_code == 1
    assert "allowed: a load of 37.5 % or more" in refused.stdout


def test_how_many_people_would_do_is_said(lamps):
    done = balance(lamps, "--takt", "30 s", "--crew", "all=2")
    assert "With 3 people of 'all' in place of 2 it works with 3 posts" in done.stdout


def test_posts_with_nothing_to_do_are_said_at_once(lamps):
    first = balance(lamps, "--takt", "80 s", "--fixed", "label=99").stdout.splitlines()[0]
    assert "of these posts have nothing to do: they only stand there because of a wish for post 99." in first


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "utf-16-le", "cp1252"])
def test_a_table_is_read_in_any_usual_encoding(tmp_path, encoding):
    table = tmp_path / "tasks.csv"
    table.write_bytes("task,time\nschweißen,30\nprüfen,12\n".encode(encoding))
    done = balance(table, "--takt", "60 s")
    assert done.exit_code == 0, done.output
    assert "schweißen, prüfen" in done.stdout


def test_what_is_no_text_is_refused(tmp_path):
    table = tmp_path / "tasks.csv"
    table.write_bytes(b"task,time\na,3\0\n" + bytes(range(256)))
    assert balance(table, "--takt", "60 s").exit_code == 2


def test_a_takt_below_nothing_is_refused_without_a_hint_for_a_unit(lamps):
    done = balance(lamps, "--takt=-5")
    assert done.exit_code == 2
    assert "below nothing" in done.output
    assert "did you mean" not in done.output
