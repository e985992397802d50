"""The script that looks whether a machine can run every test."""

from __future__ import annotations

import importlib.util
import os
import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType

import pytest

SCRIPT = Path(__file__).parents[1] / "machine.py"


@pytest.fixture(scope="module")
def machine() -> ModuleType:
    spec = importlib.util.spec_from_file_location("machine_of_the_tests", SCRIPT)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module  # dataclasses look their module up
    spec.loader.exec_module(module)
    return module


def _give(root: Path, need: object) -> None:
    place = root / str(need.file).replace("*", "15")  # type: ignore[attr-defined]
    place.parent.mkdir(parents=True, exist_ok=True)
    place.touch()


@pytest.fixture
def apt_get(machine: ModuleType, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A stand-in for apt-get on the search path; it writes down how it was called, and the test is root."""
    programs = tmp_path / "programs"
    programs.mkdir()
    script = programs / "apt-get"
    script.write_text(f'#!/bin/sh\necho "$DEBIAN_FRONTEND: $*" >> {tmp_path}/calls\nsh {tmp_path}/does "$@"\n')
    script.chmod(0o755)
    (tmp_path / "does").touch()
    monkeypatch.setenv("PATH", f"{programs}:{os.environ['PATH']}")
    monkeypatch.setattr(machine.os, "geteuid", lambda: 0)
    monkeypatch.delenv("CI", raising=False)
    return tmp_path


def test_nothing_missing_means_nothing_to_do_or_say(machine: ModuleType, tmp_path: Path) -> None:
    for need in machine.NEEDS:
        _give(tmp_path, need)

    assert machine.missing_below(tmp_path) == ()
    assert machine.decide((), may_set_up=True, everything_must_run=True) == machine.Decision(False, "", 0)


def test_each_need_is_missed_by_its_own_file(machine: ModuleType, tmp_path: Path) -> None:
    for lacking in machine.NEEDS:
        root = tmp_path / lacking.package
        for need in machine.NEEDS:
            if need is not lacking:
                _give(root, need)
        assert machine.missing_below(root) == (lacking,)


def test_browser_and_server_are_among_the_needs(machine: ModuleType) -> None:
    assert {"chromium", "postgresql"} <= {need.package for need in machine.NEEDS}


@pytest.mark.parametrize("everything_must_run", [True, False])
def test_who_may_set_things_up_does(machine: ModuleType, everything_must_run: bool) -> None:
    decision = machine.decide(machine.NEEDS, may_set_up=True, everything_must_run=everything_must_run)

    assert (decision.set_up, decision.status) == (True, 0)


def test_who_may_not_is_told_how_and_which_tests_are_skipped(machine: ModuleType) -> None:
    decision = machine.decide(machine.NEEDS[:2], may_set_up=False, everything_must_run=False)

    assert (decision.set_up, decision.status) == (False, 0)
    assert "apt-get install chromium postgresql\n" in decision.say
    assert decision.say.endswith("tests of screens, records on a server are skipped.")


def test_where_every_test_must_run_something_missing_is_a_failure(machine: ModuleType) -> None:
    decision = machine.decide(machine.NEEDS[1:2], may_set_up=False, everything_must_run=True)

    assert (decision.set_up, decision.status) == (False, 1)
    assert "apt-get install postgresql" in decision.say
    assert decision.say.endswith("so this is a failure.")


def test_setting_up_brings_the_lists_up_to_date_and_then_only_what_is_missing(
    machine: ModuleType, apt_get: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    root = apt_get / "root"
    for need in machine.NEEDS[1:]:
        _give(root, need)
    (apt_get / "does").write_text(f"echo noise\nmkdir -p {root}/usr/bin\ntouch {root}/usr/bin/chromium\n")

    assert machine.main(root) == 0

    assert (apt_get / "calls").read_text().splitlines() == [
        "noninteractive: update",
        "noninteractive: install -y --no-install-recommends chromium",
    ]
    assert "noise" not in "".join(capfd.readouterr())


@pytest.mark.parametrize(("ci", "status"), [("true", 1), ("", 0)])
def test_setting_up_that_fails_shows_why_and_counts_as_missing(
    machine: ModuleType,
    apt_get: Path,
    capfd: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    ci: str,
    status: int,
) -> None:
    monkeypatch.setenv("CI", ci)
    (apt_get / "does").write_text("echo no network; exit 100\n")

    assert machine.main(apt_get / "root") == status

    said = capfd.readouterr().err
    assert "apt-get update failed:\nno network" in said
    assert "Missing on this machine: chromium postgresql poppler-utils fonts-dejavu-core." in said


def test_nobody_but_root_calls_apt_get(machine: ModuleType, apt_get: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(machine.os, "geteuid", lambda: 1000)

    assert machine.main(apt_get / "root") == 0

    assert not (apt_get / "calls").exists()


def test_script_needs_nothing_but_python_itself() -> None:
    imported = {
        line.split()[1].partition(".")[0]
        for line in SCRIPT.read_text().splitlines()
        if line.startswith(("import ", "from "))
    }

    assert imported <= sys.stdlib_module_names


def test_tests_on_a_server_are_never_skipped_where_every_test_must_run(
    server_programs: Callable[[Path], Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CI", "true")
    with pytest.raises(pytest.fail.Exception, match=r"no PostgreSQL server below .*apt-get install postgresql"):
        server_programs(tmp_path)

    monkeypatch.setenv("CI", "false")
    with pytest.raises(pytest.skip.Exception, match=r"no PostgreSQL server below .*apt-get install postgresql"):
        server_programs(tmp_path)


def test_tests_on_a_server_take_the_newest_one(server_programs: Callable[[Path], Path], tmp_path: Path) -> None:
    for version in ("9", "15", "17"):
        (tmp_path / version / "bin").mkdir(parents=True)
        (tmp_path / version / "bin" / "initdb").touch()

    assert server_programs(tmp_path) == tmp_path / "17" / "bin"
