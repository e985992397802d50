"""The commands as a person types them: what they print, where, and with which exit status."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest
from click.testing import Result
from typer.testing import CliRunner

from pullwright import cli

ROOT = Path(__file__).parents[1]
DEMO = ROOT / "examples" / "hand_pump.yaml"


def pullwright(*words: str | Path) -> Result:
    """What a command says and ends with; a fault that it does not tell itself fails the test."""
    return CliRunner().invoke(cli.app, [str(word) for word in words], catch_exceptions=False)


def process(*words: str | Path) -> subprocess.CompletedProcess[str]:
    """The same as a process of its own: that takes seconds, so only what a process alone shows is asked of one."""
    return subprocess.run(
        [sys.executable, "-m", "pullwright.cli", *map(str, words)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=120,
    )


@pytest.fixture(autouse=True)
def _at_the_root(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)


def test_a_process_ends_with_the_status_and_says_faults_apart_from_answers(tmp_path: Path) -> None:
    bad, slow = tmp_path / "bad.yaml", tmp_path / "slow.yaml"
    bad.write_text(DEMO.read_text("utf-8").replace("station: saw\n", "station: sawe\n"), "utf-8")
    slow.write_text(DEMO.read_text("utf-8").replace("{mean: 14 /d", "{mean: 46 /d"), "utf-8")

    for file, status in ((DEMO, 0), (slow, 1), (bad, 2)):
        done, here = process("check", file), pullwright("check", file)
        assert (done.returncode, done.stdout, done.stderr) == (here.exit_code, here.stdout, here.stderr)
        assert done.returncode == status
        assert "Traceback" not in done.stderr


def test_help_names_every_command() -> None:
    done = pullwright("--help")

    assert done.exit_code == 0
    for command in ("check", "account", "schema", "print", "serve", "demo", "backup", "log", "forecast", "balance"):
        assert re.search(rf"^  {command} ", done.stdout, re.MULTILINE)


def test_help_does_not_import_the_heavy_libraries() -> None:
    code = "import sys; from pullwright.cli import app; print([m for m in ('numpy', 'scipy', 'pydantic', 'fastapi', 'sqlalchemy', 'typst', 'ruamel.yaml', 'polars', 'numba', 'altair') if m in sys.modules])"

    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert done.stdout.strip() == "[]"


def test_check_says_what_was_found() -> None:
    done = pullwright("check", DEMO)

    assert done.exit_code == 0
    assert "This line can make its 28 a day" in done.stdout
    assert "before hone bore" in done.stdout
    assert done.stderr == ""


def test_check_names_every_fault_with_its_line_and_ends_with_two(tmp_path: Path) -> None:
    text = DEMO.read_text("utf-8").replace("station: saw\n", "station: sawe\n").replace("time: 12 min", "time: 12 kg")
    file = tmp_path / "slips.yaml"
    file.write_text(text, "utf-8")

    done = pullwright("check", file)

    assert done.exit_code == 2
    assert done.stdout == ""
    assert "2 faults" in done.stderr
    for slip in ("station: sawe", "time: 12 kg"):
        number = text[: text.index(slip)].count("\n") + 1
        assert f"line {number}," in done.stderr
    assert "did you mean saw?" in done.stderr


def test_faults_as_json_hold_their_places(tmp_path: Path) -> None:
    file = tmp_path / "slip.yaml"
    file.write_text(DEMO.read_text("utf-8").replace("station: saw\n", "station: sawe\n"), "utf-8")

    done = pullwright("check", file, "--json")

    (fault,) = json.loads(done.stdout)["faults"]
    assert done.exit_code == 2
    assert fault["field"] == "steps[1].station"
    assert fault["read"] == "sawe"
    assert fault["hint"] == "did you mean saw?"


def test_a_line_that_cannot_keep_up_is_told_apart_from_a_faulty_file(tmp_path: Path) -> None:
    file = tmp_path / "too_much.yaml"
    file.write_text(DEMO.read_text("utf-8").replace("{mean: 14 /d", "{mean: 46 /d"), "utf-8")

    done = pullwright("check", file)

    assert done.exit_code == 1
    assert re.search(r"This line cannot make 60 a day: honing machine is loaded to \d+ %", done.stdout)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("check", "nowhere.yaml"), "cannot be read"),
        (("check", "examples"), "is a folder"),
        (("account", DEMO, "--why", "takt tim"), "did you mean takt time?"),
        (("backup", "nowhere", "copy.db"), "there is no record"),
        (("serve", "nowhere"), "is not a folder"),
        (("print", DEMO, "--out", "/nowhere/at/all.pdf"), "could not be written"),
    ],
)
def test_bad_input_ends_with_two_and_a_message_that_helps(words: tuple[str, ...], said: str) -> None:
    done = pullwright(*words)

    assert done.exit_code == 2
    assert said in done.stderr


def test_a_binary_file_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "picture.yaml"
    file.write_bytes(bytes(range(256)) * 10)

    done = pullwright("check", file)

    assert done.exit_code == 2
    assert "UTF-8" in done.stderr


def test_account_prints_every_row_of_every_account() -> None:
    done = pullwright("account", DEMO)

    assert done.exit_code == 0
    for words in (
        "Paid hours of a working day",
        "Floor",
        "Material bought",
        "Cash tied up",
        "A year's money",
        "not explained",
        "signed off for everybody",
    ):
        assert words in done.stdout


def test_accounts_as_json_add_up() -> None:
    accounts = json.loads(pullwright("account", DEMO, "--json").stdout)["accounts"]

    assert {one["key"] for one in accounts} >= {"hours", "floor", "material", "tied up", "year"}
    for one in accounts:
        assert sum(row["amount"]["value"] for row in one["rows"]) == pytest.approx(one["whole"]["value"], rel=1e-9)


def test_why_goes_down_to_the_line_of_the_file() -> None:
    text = DEMO.read_text("utf-8").splitlines()

    done = pullwright("account", DEMO, "--why", "takt time")

    cited = {int(number) for number in re.findall(r"hand_pump\.yaml:(\d+)", done.stdout)}
    assert any("demand: {mean: 14 /d" in text[number - 1] for number in cited)


def test_names_lists_figures_that_can_be_asked_for() -> None:
    names = pullwright("account", DEMO, "--names").stdout.splitlines()

    assert "takt time" in names
    assert len(names) == len(set(names)) > 300


def test_schema_is_json() -> None:
    assert "properties" in json.loads(pullwright("schema").stdout)


def test_print_writes_a_pdf_and_leaves_nothing_half_written(tmp_path: Path) -> None:
    done = pullwright("print", DEMO, "--out", tmp_path / "sheet.pdf")

    assert done.exit_code == 0, done.output
    assert [file.name for file in tmp_path.iterdir()] == ["sheet.pdf"]
    assert (tmp_path / "sheet.pdf").read_bytes().startswith(b"%PDF-")


def test_demo_opens_the_workbench_and_ends_with_ctrl_c(tmp_path: Path) -> None:
    running = subprocess.Popen(
        [sys.executable, "-u", "-m", "pullwright.cli", "demo", str(tmp_path / "demo"), "--port", "0", "--no-browser"],
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, env={**os.environ, "PYTHONUNBUFFERED": "1"},
    )  # fmt: skip
    assert running.stdout is not None
    try:
        said, deadline = "", time.monotonic() + 60
        while "open at" not in said and time.monotonic() < deadline:
            said += running.stdout.readline()
        address = re.search(r"http://127\.0\.0\.1:\d+/", said)
        assert address, said
        with urllib.request.urlopen(address[0], timeout=30) as answer:
            page = answer.read().decode()
        assert "Hand pump line" in page
        running.send_signal(signal.SIGINT)
        rest, _ = running.communicate(timeout=30)
        assert "Traceback" not in rest
        assert running.returncode in (0, 130)
    finally:
        if running.poll() is None:
            running.kill()
            running.wait(timeout=30)
        running.stdout.close()


def test_a_reader_that_stops_early_is_no_fault() -> None:
    command = f"{sys.executable} -m pullwright.cli account {DEMO} --names | head -1"

    done = subprocess.run(["/bin/sh", "-c", command], capture_output=True, text=True, timeout=60)

    assert done.stdout.strip()
    assert "Traceback" not in done.stderr
    assert "BrokenPipe" not in done.stderr
