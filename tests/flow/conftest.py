"""Lines to test the flow arithmetic with; `generated_lines` beside this file can be imported by its name."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
