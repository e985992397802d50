"""For all tests: what they share with the benchmarks can be imported (`bench.lines`), slow machines fail no law, a law that does not say how often is tried on forty cases, a file is
searched for worked examples only where it has some, kernels are compiled once for all, and what all tests stand on is not searched
for waste again and again."""

from __future__ import annotations

import gc
import subprocess
import sys
from collections.abc import Generator, Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings

ROOT = str(Path(__file__).parents[1])
if ROOT not in sys.path:
    sys.path.insert(0, ROOT)

settings.register_profile("pullwright", deadline=None, max_examples=40)
settings.load_profile("pullwright")

Found = list[pytest.Collector]


@pytest.hookimpl(wrapper=True)
def pytest_collect_file(file_path: Path) -> Generator[None, Found, Found]:
    """The search for worked examples runs a file of tests once more: seconds, over all of them, to find none."""
    found = yield
    if file_path.suffix == ".py" and ">>>" not in file_path.read_text("utf-8"):
        return [one for one in found if type(one) is pytest.Module]  # The searching kinds are made from it.
    return found


_RUNS_KERNELS = (
    "/forecast/",
    "test_forecast",
    "test_find",
    "test_one_unit",
    "test_panels",
    "/pull/",
    "test_pull",
    "test_plan",
    "test_cli",
    "test_docs",
)
"""Parts of the paths of tests for which something has to be compiled first."""


def pytest_configure(config: pytest.Config) -> None:
    """Where workers share the tests, what they need compiled is compiled once, beside the first tests, and not by each of them."""
    if getattr(config.option, "numprocesses", None) and not hasattr(config, "workerinput"):
        warm = (
            "from pullwright.pull.warm import warm_up_plan; warm_up_plan(); "
            "from pullwright.forecast.warm import warm_up_kernels; warm_up_kernels()"
        )
        compiling = subprocess.Popen(
            [sys.executable, "-W", "ignore", "-c", warm], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        config.add_cleanup(lambda: (compiling.kill(), compiling.wait()))


def pytest_collection(session: pytest.Session) -> None:
    """Two workers that read all tests begin at opposite ends: to make a file of tests ready takes longer than all else in reading
    it, and from the middle on each finds ready what the other has read."""
    config = session.config
    if getattr(config, "workerinput", {}).get("workerid", "gw0") != "gw0" and config.args == config.getini("testpaths"):
        found = (one for one in Path(ROOT, "tests").iterdir() if one.is_dir() or one.suffix == ".py")
        inside = sorted(str(one) for one in found if one.name != "__pycache__")
        config.args = [*config.args[:0:-1], *inside[::-1]]


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """All workers have the same order of files. Tests that need kernels come late in each one's share (the first and the second
    half), when these are compiled."""
    if hasattr(config, "workerinput"):
        items.sort(key=lambda item: item.path)
        late = [item for item in items if any(part in item.path.as_posix() for part in _RUNS_KERNELS)]
        apart = set(late)
        early = [item for item in items if item not in apart]
        m, n = len(early) // 2, len(late) // 2
        items[:] = [*early[:m], *late[:n], *early[m:], *late[n:]]


def pytest_collection_finish() -> None:
    """Modules and tests stay to the end: the collector of what is no longer used took a fifth of all time to see that."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 20, 20)


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """A real browser."""
    from tests.browser import started

    with started() as browser:
        yield browser
