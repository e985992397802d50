"""A real browser: to start it takes as long as a dozen tests in it, so those of one worker share it."""

from __future__ import annotations

import importlib.util
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

CHROMIUM = Path("/usr/bin/chromium")
ARGUMENTS = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
)  # fmt: skip


@contextmanager
def started() -> Iterator[Any]:
    """A browser; without one the test is skipped on a desk, and fails where CI is set."""
    missing = [] if CHROMIUM.exists() else [f"{CHROMIUM} (Debian: apt-get install chromium)"]
    missing += [] if importlib.util.find_spec("playwright") else ["the Python package playwright"]
    if missing:
        reason = f"no page can be looked at without {' and '.join(missing)}"
        if os.environ.get("CI") == "true":
            pytest.fail(reason)
        pytest.skip(reason)
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=list(ARGUMENTS))
        yield browser
        browser.close()
