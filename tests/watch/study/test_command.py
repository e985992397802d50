"""The command `study`, registered with a command line of its own."""

from __future__ import annotations

import json
from pathlib import Path

import typer
from typer.testing import CliRunner

from pullwright.commands.study import register

EXAMPLE = str(Path(__file__).parents[3] / "examples" / "assemble_study.csv")
app = typer.Typer()
app.callback()(lambda: None)
register(app)


def run(*words: str) -> tuple[int, str, str]:
    done = CliRunner().invoke(app, ["study", *words])
    return done.exit_code, done.stdout, done.stderr


def test_it_prints_what_the_study_says() -> None:
    status, out, _ = run(EXAMPLE)

    assert status == 0
    for words in ("A cycle takes", "standard", "moving oneself", "worth taking", "telephone call", "for the line file"):
        assert words in out


def test_why_and_json_and_csv(tmp_path: Path) -> None:
    assert "study T-021; 20 readings" in run(EXAMPLE, "--why", "observed time / fetch parts")[1]
    assert json.loads(run(EXAMPLE, "--json")[1])["study"] == "T-021"
    copy = tmp_path / "copy.csv"
    assert run(EXAMPLE, "--to-csv", str(copy))[0] == 0
    assert json.loads(run(str(copy), "--json")[1])["found"] == json.loads(run(EXAMPLE, "--json")[1])["found"]


def test_bad_input_ends_with_2_and_says_why(tmp_path: Path) -> None:
    bad = tmp_path / "bad.csv"
    bad.write_text("load\n4x\n", "utf-8")

    status, out, err = run(str(bad), "--json")
    assert (status, json.loads(out)["faults"][0]["row"]) == (2, 2)
    assert "row 2, column 1 (load): 4x" in err
    assert run(str(tmp_path / "none.csv"))[0] == 2
    assert run(str(tmp_path))[0] == 2
    assert "did you mean" in run(EXAMPLE, "--why", "cv / fetch part")[2]
