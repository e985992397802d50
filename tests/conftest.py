"""Lets tests import what they share with the benchmarks: `bench.lines` and `tests.strategies`."""

from __future__ import annotations

import sys
from pathlib import Path

ROOT = str(Path(__file__).parents[1])
if ROOT not in sys.path:
    sys.path.insert(0, ROOT)
