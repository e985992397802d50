"""Docs cannot rot: the commands of the README run, the examples of every page give what they say, links lead somewhere."""

from __future__ import annotations

import doctest
import os
import re
import shlex
from pathlib import Path

import pytest
from typer.testing import CliRunner

from pullwright import cli

ROOT = Path(__file__).parents[1]
PAGES = sorted([ROOT / "README.md", *(ROOT / "docs").glob("*.md")])
COMMAND = re.compile(r"^\$ \.venv/bin/pullwright (.+)$", re.MULTILINE)


def readme_commands() -> list[str]:
    return COMMAND.findall((ROOT / "README.md").read_text("utf-8"))


def test_the_readme_shows_commands() -> None:
    assert len(readme_commands()) >= 4


@pytest.mark.parametrize("command", readme_commands())
def test_command_of_the_readme_runs(command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    words = [word.replace("hand_pump.pdf", str(tmp_path / "hand_pump.pdf")) for word in shlex.split(command)]
    monkeypatch.chdir(ROOT)

    done = CliRunner().invoke(cli.app, words, catch_exceptions=False)

    assert done.exit_code == 0, done.output
    assert done.stdout.strip()


@pytest.mark.parametrize("doc", PAGES, ids=lambda doc: doc.name)
def test_python_on_a_page_gives_what_it_says(doc: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "examples").symlink_to(ROOT / "examples")
    monkeypatch.chdir(tmp_path)

    result = doctest.testfile(
        str(doc), module_relative=False, optionflags=doctest.NORMALIZE_WHITESPACE, encoding="utf-8"
    )

    assert result.failed == 0


@pytest.mark.parametrize("doc", PAGES, ids=lambda doc: doc.name)
def test_links_between_pages_lead_somewhere(doc: Path) -> None:
    links = re.findall(r"\]\((?!https?:|#|mailto:)([^)#]+)", doc.read_text("utf-8"))

    missing = [link for link in links if not (doc.parent / link).exists()]

    assert missing == []


def test_make_targets_of_the_readme_exist() -> None:
    found = re.findall(r"^make ([a-z]+)$|`make ([a-z]+)`", (ROOT / "README.md").read_text("utf-8"), re.MULTILINE)
    named = {alone or inside for alone, inside in found}
    targets = set(re.findall(r"^([a-z]+):", (ROOT / "Makefile").read_text("utf-8"), re.MULTILINE))

    assert {"demo", "test", "lint", "bench"} <= targets
    assert named <= targets


def test_continuous_integration_calls_the_test_command_of_the_readme() -> None:
    script = (ROOT / ".ci" / "run").read_text("utf-8")

    assert "\nmake lint\n" in script
    assert "\nmake test\n" in script
    assert os.access(ROOT / ".ci" / "run", os.X_OK)


def test_constraints_are_exact_and_name_no_place() -> None:
    lines = (ROOT / "constraints.txt").read_text("utf-8").split()

    assert all(re.fullmatch(r"[A-Za-z0-9._-]+==[^=]+", line) for line in lines)
    assert not any("/" in line for line in lines)
