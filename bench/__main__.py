"""Runs all benchmarks, or those named: `python -m bench figures reading`. Prints each figure with its spread."""

from __future__ import annotations

import sys
from importlib import import_module
from pathlib import Path

HERE = Path(__file__).parent


def main(names: list[str]) -> None:
    """Measure and print: what, median, lowest, highest, unit."""
    found = sorted(file.stem for file in HERE.glob("*.py") if "def measure(" in file.read_text("utf-8"))
    unknown = [name for name in names if name not in found]
    if unknown:
        sys.exit(f"There is no benchmark {', '.join(unknown)}; there are: {', '.join(found)}.")
    sys.path.insert(0, str(HERE.parent))
    for name in names or found:
        print(name)
        for what, median, low, high, unit in import_module(f"bench.{name}").measure():
            print(f"  {what:<72} {median:>10.4g} {unit:<6} ({low:.4g} to {high:.4g})", flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
