"""The walk through a log is a real one: every command of the page runs, and prints what the page says."""

from __future__ import annotations

import doctest
import re
import shlex
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

from pullwright.cli import app

ROOT = Path(__file__).parents[3]
PAGE = ROOT / "docs" / "walk_through_a_log.md"


def commands() -> list[tuple[str, str]]:
    """The commands of the page with what they print."""
    blocks = re.findall(r"```text\n(.*?)```", PAGE.read_text("utf-8"), re.DOTALL)
    parts = [part for block in blocks for part in re.split(r"^\$ ", block, flags=re.MULTILINE)[1:]]
    return [(head, said) for head, _, said in (part.partition("\n") for part in parts)]


def test_every_command_of_the_walk_prints_what_the_page_says(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copytree(ROOT / "examples", tmp_path / "examples")
    monkeypatch.chdir(tmp_path)
    same = doctest.OutputChecker()
    flags = doctest.ELLIPSIS | doctest.NORMALIZE_WHITESPACE

    assert commands()
    for command, said in commands():
        done = CliRunner().invoke(app, shlex.split(command)[1:])
        assert done.exit_code in (0, 1), done.output
        assert same.check_output(said, done.output, flags), f"{command}\n--- page\n{said}\n--- printed\n{done.output}"
