"""`pullwright log` with bad input: what it says, with which exit status, and that it leaves alone what is there."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from pullwright.cli import app
from pullwright.commands import log

ROOT = Path(__file__).parents[3]
LOG = str(ROOT / "examples" / "hand_pump_log.csv")


def run(*words: str) -> Result:
    return CliRunner().invoke(app, ["log", *words])


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["nothing.csv"], "nothing.csv: a file that cannot be opened (No such file or directory) was read"),
        ([LOG, "--map", "case=Ordre"], "the column 'Ordre' was read; allowed is Order, Step"),
        ([LOG, "--map", "cas=Order"], "the role 'cas' was read; allowed is case, activity"),
        ([LOG, "--map", "case"], "--map case: allowed is ROLE=COLUMN."),
        ([LOG, "--map", "case="], "no column for order or piece was read"),
        ([LOG, "--means", "run=runn"], "the kind 'runn' was read; allowed is run, set-up, down, other; did you mean run?"),
        ([LOG, "--zone", "Mars/Base"], "the time zone 'Mars/Base' was read"),
        ([LOG, "--only", "money"], "--only money: there is no such part; allowed: columns, oddities"),
    ],
)  # fmt: skip
def test_bad_input_ends_with_two_and_says_what_to_do(words: list[str], said: str) -> None:
    done = run(*words)

    assert done.exit_code == 2
    assert said in done.stderr
    assert done.stdout == ""


def test_a_file_that_is_there_is_left_alone(tmp_path: Path) -> None:
    line = tmp_path / "line.yaml"
    line.write_text("mine", "utf-8")

    done = run(LOG, "--draft", str(line))

    assert done.exit_code == 2
    assert "is there already and was left as it is: name another file, or add --force" in done.stderr
    assert line.read_text("utf-8") == "mine"


def test_a_column_can_be_taken_for_something_else() -> None:
    done = run(LOG, "--only", "columns", "--map", "person=", "--map", "product=Worker")

    assert done.exit_code == 0
    assert " Worker " in next(row for row in done.stdout.splitlines() if row.lstrip().startswith("product"))


def test_writing_that_is_stopped_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def stopped(self: Path, target: Path) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(Path, "replace", stopped)

    with pytest.raises(KeyboardInterrupt):
        log._write("line: x\n", tmp_path / "line.yaml")

    assert list(tmp_path.iterdir()) == []
