"""`pullwright plan --pdf` and `--cards` as a person types them."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import Result
from typer.testing import CliRunner

from pullwright import cli

SEALS = """line: seals
invented: yes
calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
products: [{name: seal, demand: 30 /d, promise: 3 d, on_time: 90 %}]
stations: [{name: press}]
steps:
  - {name: form, station: press, manual: {mean: 4 min, cv: 0.3}}
stores: [{after: form, counted: 8}]
people: [{name: all, number: 2}]
"""


@pytest.fixture
def seals(tmp_path: Path) -> Path:
    (tmp_path / "seals.yaml").write_text(SEALS)
    return tmp_path / "seals.yaml"


def plan(*words: object) -> Result:
    return CliRunner().invoke(cli.app, ["plan", *(str(word) for word in words)])


def test_the_plan_and_its_cards_are_printed_into_the_files_that_are_named(seals: Path, tmp_path: Path) -> None:
    done = plan(seals, "--part", "cards", "--pdf", tmp_path / "plan.pdf", "--a4", "--cards", tmp_path / "cards.pdf")

    assert done.exit_code == 0, done.output
    for name in ("plan.pdf", "cards.pdf"):
        assert (tmp_path / name).read_bytes().startswith(b"%PDF-")
    assert b"[0 0 841" in (tmp_path / "plan.pdf").read_bytes()
    assert sorted(file.name for file in tmp_path.iterdir()) == ["cards.pdf", "plan.pdf", "seals.yaml"]


def test_a_folder_that_is_not_there_is_said(seals: Path, tmp_path: Path) -> None:
    done = plan(seals, "--part", "cards", "--cards", tmp_path / "none" / "cards.pdf")

    assert done.exit_code == 2
    assert "could not be written (No such file or directory): name another place with --cards." in done.stderr


def test_a_plan_without_cards_says_so(seals: Path, tmp_path: Path) -> None:
    seals.write_text(SEALS.replace("30 /d", "900 /d"))

    done = plan(seals, "--part", "cards", "--cards", tmp_path / "cards.pdf")

    assert done.exit_code == 2
    assert "no cards to print" in done.stderr
    assert not (tmp_path / "cards.pdf").exists()


def test_a4_without_a_print_of_the_plan_is_said(seals: Path) -> None:
    done = plan(seals, "--part", "cards", "--a4")

    assert done.exit_code == 2
    assert done.stderr == "--a4 was read without --pdf; allowed: --pdf FILE.pdf --a4.\n"
