"""The demo line with its accounts, and small lines written for one law each."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from pullwright.account import Accounts, accounts_of
from pullwright.line import Line

DEMO = Path(__file__).parents[2] / "examples" / "hand_pump.yaml"


@pytest.fixture(scope="session")
def demo_line() -> Line:
    return Line.read(DEMO)


@pytest.fixture(scope="session")
def demo(demo_line: Line) -> Accounts:
    return accounts_of(demo_line)


@pytest.fixture(scope="session")
def demo_text() -> str:
    return DEMO.read_text("utf-8")


@pytest.fixture(scope="session")
def account_for() -> Callable[[str], Accounts]:
    """From the text of a line file to its accounts."""
    return lambda text: accounts_of(Line.from_text(text, name="line.yaml"))
