"""How much processor time does a command take before it answers, beside Python's own start?"""

from __future__ import annotations

import os
import subprocess
import sys
from statistics import median

from bench.timing import Row

ROUNDS = 7


def processor_seconds(*command: str) -> float:
    """User and system time of one run of a command (s)."""
    before = os.times()
    subprocess.run([sys.executable, *command], check=True, stdout=subprocess.DEVNULL)
    after = os.times()
    return after.children_user - before.children_user + after.children_system - before.children_system


def measure() -> list[Row]:
    """Python alone, `--help` and `--version`: seconds of processor time; and what `--help` takes more than Python."""
    rows: dict[str, list[float]] = {
        "bare Python's start": [],
        "pullwright --help": [],
        "pullwright check, demo line": [],
        "help more than bare Python": [],
    }
    for _ in range(ROUNDS):
        bare = processor_seconds("-c", "pass")
        helped = processor_seconds("-m", "pullwright.cli", "--help")
        rows["bare Python's start"].append(bare)
        rows["pullwright --help"].append(helped)
        rows["help more than bare Python"].append(helped - bare)
        rows["pullwright check, demo line"].append(
            processor_seconds("-m", "pullwright.cli", "check", "examples/hand_pump.yaml")
        )
    return [(what, median(times), min(times), max(times), "s") for what, times in rows.items()]
