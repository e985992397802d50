"""`pullwright forecast` as a person types it."""

from __future__ import annotations

import json
import re
import sys
from pathlib import Path

import pytest
from click.testing import Result
from typer.testing import CliRunner

from pullwright import cli

ROOT = Path(__file__).parents[2]
STOOL = ROOT / "examples" / "first_line.yaml"
DEMO = ROOT / "examples" / "hand_pump.yaml"


def pullwright(*words: object) -> Result:
    return CliRunner().invoke(cli.app, [str(word) for word in words])


def test_it_prints_a_sentence_the_numbers_and_where_the_time_of_stations_goes():
    done = pullwright("forecast", DEMO, "--days", 30, "--runs", 6, "--draws", 4)

    assert done.exit_code == 0, done.output
    first = done.stdout.splitlines()[0]
    assert re.match(
        r"Hand pump line: In the coming 30 working days this line ships \S+ a day \(.+\) and keeps \S+ % of its promises",
        first,
    )
    for row in (
        "throughput / P-40",
        "promise kept at 95 %",
        "lead time, 95 %",
        "floor of what lies, peak",
        "honing machine",
    ):
        assert re.search(rf"^{re.escape(row)} ", done.stdout, re.MULTILINE), row
    made_by = (
        r"^6 runs of 30 working days from today, seed 0, event kernel.*; 4 draws of what is not known of the inputs"
    )
    assert re.search(made_by, done.stdout, re.MULTILINE)
    assert "Not run: Carrying takes time but keeps nobody of a crew from other work." in done.stdout
    assert re.search(r"^Cash is lowest around \d\d \w+ \d{4}: .* EUR", done.stdout, re.MULTILINE)


def test_an_option_stands_beside_today_with_its_difference(tmp_path):
    option = tmp_path / "less_before_glue.yaml"
    option.write_text(
        STOOL.read_text("utf-8").replace("{before: glue, counted: 210}", "{before: glue, counted: 60}"), "utf-8"
    )

    done = pullwright("forecast", STOOL, "--option", option, "--days", 20, "--quick")

    assert done.exit_code == 0, done.output
    (row,) = re.findall(r"^stock in the line  .*$", done.stdout, re.MULTILINE)
    assert "less_before_glue.yaml" in done.stdout
    assert re.search(r"−\d+ pieces +\(−\d+ to −\d+\)$", row.rstrip())
    assert re.search(r"^throughput .* 0 pieces/d$", re.sub(r" +$", "", done.stdout, flags=re.MULTILINE), re.MULTILINE)


def test_it_says_what_to_watch_to_be_surer():
    done = pullwright("forecast", STOOL, "--days", 20, "--runs", 10, "--draws", 20)

    assert re.search(
        r"Surer: Take about \d+ more readings of steps / glue / manual: narrows lead time, 95 % from", done.stdout
    )


def test_json_holds_every_number_with_its_interval(tmp_path):
    done = pullwright("forecast", STOOL, "--option", STOOL, "--days", 20, "--quick", "--json")

    found = json.loads(done.stdout)
    by_name = {one["name"]: one for one in found["outcomes"]}
    assert by_name["throughput"]["low"] <= by_name["throughput"]["value"] <= by_name["throughput"]["high"]
    assert found["runs"] == 20
    assert all(one["value"] == 0.0 and not one["sure"] for one in found["options"][0]["differences"])


def test_why_goes_down_to_the_fields_of_the_file():
    done = pullwright("forecast", STOOL, "--days", 20, "--quick", "--why", "on time")

    assert done.exit_code == 0
    assert done.stdout.startswith("on time: 100 % = orders shipped within the promise / orders placed")
    assert "products / stool / promise: 5 d [line file: products / stool / promise (" in done.stdout


def test_why_of_a_difference_shows_both_lines():
    done = pullwright(
        "forecast",
        STOOL,
        "--option",
        DEMO.with_name("first_line.yaml"),
        "--days",
        20,
        "--quick",
        "--why",
        "difference / throughput",
    )

    assert done.exit_code == 0
    assert "throughput / option" in done.stdout
    assert "throughput / today" in done.stdout


def test_names_lists_what_can_be_asked():
    done = pullwright("forecast", STOOL, "--days", 20, "--quick", "--names")

    assert "promise kept at 95 %" in done.stdout.splitlines()
    assert "occupied / glue bench" in done.stdout.splitlines()


def test_the_same_words_print_the_same_numbers():
    words = ("forecast", STOOL, "--days", 20, "--runs", 5, "--draws", 0, "--seed", 3)

    assert pullwright(*words, "--workers", 1).stdout == pullwright(*words, "--workers", 3).stdout


def test_a_line_that_cannot_keep_up_is_told_apart_from_a_faulty_file(tmp_path):
    file = tmp_path / "too_much.yaml"
    file.write_text(STOOL.read_text("utf-8").replace("demand: 40 /d", "demand: 80 /d"), "utf-8")

    done = pullwright("forecast", file, "--days", 60, "--quick")

    assert done.exit_code == 1
    assert "orders that wait go on growing" in done.stdout
    assert re.search(r"Orders waiting go on growing, by \d", done.stdout)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("nowhere.yaml",), "nowhere.yaml cannot be read"),
        ((ROOT / "examples",), "is a folder: name the line file in it"),
        ((STOOL, "--option", "nowhere.yaml"), "nowhere.yaml cannot be read"),
        ((STOOL, "--days", 0), "--days of 0 was read; working days from 1 to 10,000,000 are allowed"),
        ((STOOL, "--runs", -3), "--runs of -3 was read"),
        ((STOOL, "--draws", 1), "one draw cannot tell"),
        ((STOOL, "--workers", 0), "--workers of 0 was read"),
        ((STOOL, "--runs", 900_000, "--days", 1000), "GB of memory"),
        ((STOOL, "--days", 5, "--quick", "--why", "througput"), "did you mean throughput"),
    ],
)
def test_bad_input_ends_with_two_and_a_message_that_helps(words, said):
    done = pullwright("forecast", *words)

    assert done.exit_code == 2
    assert said in done.stderr
    assert done.stdout == ""


def test_every_fault_of_a_line_file_is_named(tmp_path):
    file = tmp_path / "slip.yaml"
    file.write_text(STOOL.read_text("utf-8").replace("station: saw,", "station: sawe,"), "utf-8")

    done = pullwright("forecast", file, "--json")

    assert done.exit_code == 2
    assert "did you mean saw?" in done.stderr
    assert json.loads(done.stdout)["faults"][0]["read"] == "sawe"


def test_a_line_that_cannot_be_run_says_why_and_what_to_do(tmp_path):
    file = tmp_path / "cap.yaml"
    text = STOOL.read_text("utf-8").replace(
        "because: the rest is fetching and measuring}",
        "because: x, transfer_lot: 9, release: {by: cap, limit: 3, until: glue}}",
    )
    file.write_text(text, "utf-8")

    done = pullwright("forecast", file)

    assert done.exit_code == 2
    assert f"{file}: the cap of cut legs lets 3 pieces in" in done.stderr
    assert "raise the cap" in done.stderr


def test_ctrl_c_ends_it_without_a_traceback(monkeypatch, capsys):
    def interrupted(*_words: object, **_more: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("pullwright.forecast.running.run_by", interrupted)
    monkeypatch.setattr(sys, "argv", ["pullwright", "forecast", str(STOOL)])

    with pytest.raises(SystemExit) as ended:
        cli.main()

    assert ended.value.code == 130
    assert capsys.readouterr().out == ""
