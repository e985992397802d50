"""For all tests: what they share with the benchmarks can be imported (`bench.lines`), and slow machines fail no law."""

from __future__ import annotations

import sys
from pathlib import Path

from hypothesis import settings

ROOT = str(Path(__file__).parents[1])
if ROOT not in sys.path:
    sys.path.insert(0, ROOT)

settings.register_profile("pullwright", deadline=None)
settings.load_profile("pullwright")
