"""What waits (`async`), run in a thread of its own: from its start to its end, the browser keeps a loop in the thread of the tests."""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import Any, TypeVar

T = TypeVar("T")


def run_apart(work: Coroutine[Any, Any, T]) -> T:
    """Run it to its end and return what it gives; raises what it raises."""
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(asyncio.run, work).result()
