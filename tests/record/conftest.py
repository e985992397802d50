"""Records to test with: files, and databases on a throw-away PostgreSQL server that each test worker runs itself."""

from __future__ import annotations

import contextlib
import itertools
import os
import pwd
import secrets
import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import psycopg
import pytest

import pullwright
from pullwright.record import Record

SERVERS = Path("/usr/lib/postgresql")
OWNER = "postgres"
START_S = 60.0


@dataclass(frozen=True)
class Server:
    """A running PostgreSQL server, reached through a socket in its own folder; it listens on no network."""

    folder: Path
    password: str
    numbers: Iterator[int] = field(default_factory=itertools.count)

    def url(self, database: str) -> str:
        return f"postgresql://{OWNER}:{self.password}@/{database}?host={self.folder}"

    def new_database(self, options: str = "") -> str:
        name = f"shop{next(self.numbers)}"
        with psycopg.connect(self.url("postgres"), autocommit=True) as connection:
            connection.execute(f"CREATE DATABASE {name} {options}")
        return self.url(name)


def _programs(below: Path) -> Path:
    """The folder of the newest server program; its absence is a failure where everything has to be there."""
    found = sorted(below.glob("*/bin/initdb"), key=lambda path: int(path.parts[-3]))
    if found:
        return found[-1].parent
    reason = f"no PostgreSQL server below {below}; on Debian: apt-get install postgresql"
    if os.environ.get("CI") == "true":
        pytest.fail(reason, pytrace=False)
    return pytest.skip(reason)


@pytest.fixture
def server_programs() -> Callable[[Path], Path]:
    return _programs


@pytest.fixture(scope="session")
def postgresql() -> Iterator[Server]:
    programs = _programs(SERVERS)
    # The server refuses to run as root.
    owner = OWNER if os.geteuid() == 0 else None
    folder = Path(tempfile.mkdtemp(prefix="pw-pg-"))
    try:
        password = secrets.token_urlsafe(12)
        word = folder / "password"
        word.write_text(password)
        if owner:
            for path in (folder, word):
                shutil.chown(path, owner)
        data = folder / "data"
        made = [programs / "initdb", "-D", data, "-U", OWNER, "--auth=scram-sha-256", f"--pwfile={word}"]
        made += ["--encoding=UTF8", "--locale=C", "--no-sync"]
        subprocess.run(made, user=owner, cwd=folder, check=True, capture_output=True)
        server = [programs / "postgres", "-D", data, "-k", folder, "-c", "listen_addresses=", "-c", "fsync=off"]
        with (folder / "log").open("wb") as log:
            process = subprocess.Popen(server, user=owner, cwd=folder, stdout=log, stderr=log)
        try:
            _wait_until_it_answers(Server(folder, password), process)
            yield Server(folder, password)
        finally:
            process.send_signal(signal.SIGINT)  # ends open sessions, then stops
            process.wait(timeout=START_S)
    finally:
        shutil.rmtree(folder)


def _wait_until_it_answers(server: Server, process: subprocess.Popen[bytes]) -> None:
    deadline = time.monotonic() + START_S
    while True:
        try:
            psycopg.connect(server.url("postgres")).close()
            return
        except psycopg.OperationalError:
            if process.poll() is not None or time.monotonic() > deadline:
                pytest.fail("PostgreSQL does not start:\n" + (server.folder / "log").read_text(), pytrace=False)
            time.sleep(0.05)


@pytest.fixture(params=["sqlite", "postgresql"])
def where(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """A place for a new record: on every database that we promise."""
    if request.param == "sqlite":
        return str(tmp_path / "shop.db")
    server: Server = request.getfixturevalue("postgresql")
    return server.new_database()


@pytest.fixture
def record(where: str) -> Iterator[Record]:
    with Record.open(where) as opened:
        yield opened


@pytest.fixture
def file_record(tmp_path: Path) -> Iterator[Record]:
    with Record.open(tmp_path / "shop.db") as opened:
        yield opened


@contextmanager
def _past_the_record(where: str) -> Iterator[Any]:
    if "://" in where:
        with psycopg.connect(where, autocommit=True) as server:
            yield server
        return
    with contextlib.closing(sqlite3.connect(where, isolation_level=None)) as file:
        yield file


@pytest.fixture
def past_the_record() -> Callable[[str], AbstractContextManager[Any]]:
    """A plain connection of the driver, as somebody has who goes to the database without the record room."""
    return _past_the_record


@dataclass
class Person:
    """Another program at work on the same record: told to go, and heard, through its standard input and output."""

    process: subprocess.Popen[str]

    def says(self) -> str:
        assert self.process.stdout is not None
        return self.process.stdout.readline().strip()

    def go(self) -> None:
        assert self.process.stdin is not None
        self.process.stdin.write("go\n")
        self.process.stdin.flush()

    def dies(self) -> None:
        """Be killed at once, with no chance to tidy up."""
        self.process.kill()
        self.process.wait(timeout=START_S)


def _with_package_in(folder: Path) -> dict[str, str]:
    """The environment of a program that finds the package in that folder, and all else where we find it."""
    paths = [str(folder), os.environ.get("PYTHONPATH", "")]
    return os.environ | {"PYTHONPATH": os.pathsep.join(path for path in paths if path)}


@pytest.fixture
def package_in() -> Callable[[Path], dict[str, str]]:
    return _with_package_in


@pytest.fixture
def another_program() -> Iterator[Callable[..., Person]]:
    """Start a program with the record room at hand: `another_program(code, *arguments)`."""
    with contextlib.ExitStack() as stack:

        def start(code: str, *arguments: str) -> Person:
            here = _with_package_in(Path(pullwright.__file__).parents[1])
            command = [sys.executable, "-W", "error", "-c", code, *arguments]
            process = subprocess.Popen(
                command, env=here, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, encoding="utf-8"
            )
            stack.enter_context(process)
            stack.callback(process.kill)
            return Person(process)

        yield start


@pytest.fixture
def someone_else() -> Callable[[], AbstractContextManager[Path]]:
    """A folder that the person at work may read but not write, also where the tests run as root."""

    @contextmanager
    def at_work() -> Iterator[Path]:
        folder = Path(tempfile.mkdtemp(prefix="pw-read-only-"))
        root = os.geteuid() == 0
        folder.chmod(0o555)
        if root:
            os.seteuid(pwd.getpwnam("nobody").pw_uid)
        try:
            yield folder
        finally:
            if root:
                os.seteuid(0)
            folder.chmod(0o700)
            shutil.rmtree(folder)

    return at_work
