"""For all tests: what they share with the benchmarks can be imported (`bench.lines`), slow machines fail no law, a file is
searched for worked examples only where it has some, and what all tests stand on is not searched for waste again and again."""

from __future__ import annotations

import gc
import sys
from collections.abc import Generator
from pathlib import Path

import pytest
from hypothesis import settings

ROOT = str(Path(__file__).parents[1])
if ROOT not in sys.path:
    sys.path.insert(0, ROOT)

settings.register_profile("pullwright", deadline=None)
settings.load_profile("pullwright")

Found = list[pytest.Collector]


@pytest.hookimpl(wrapper=True)
def pytest_collect_file(file_path: Path) -> Generator[None, Found, Found]:
    """The search for worked examples runs a file of tests once more: seconds, over all of them, to find none."""
    found = yield
    if file_path.suffix == ".py" and ">>>" not in file_path.read_text("utf-8"):
        return [one for one in found if type(one) is pytest.Module]  # The searching kinds are made from it.
    return found


def pytest_collection_finish() -> None:
    """Modules and tests stay to the end: the collector of what is no longer used took a fifth of all time to see that."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 20, 20)
