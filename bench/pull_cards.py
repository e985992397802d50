"""How much processor time does it take to size all loops of cards of a line, a thousand draws each, beside working out its flow?"""

from __future__ import annotations

from bench.lines import line_text
from bench.timing import Row, row, timed
from pullwright.flow import flow_of
from pullwright.line import Line
from pullwright.pull.cards.of_line import cards_of

SIZES = (10, 30)
SEEDS = range(1, 6)


def measure() -> list[Row]:
    """Rows of (what, median, low, high, unit); five lines of each size, their flow worked out before."""
    rows: list[Row] = []
    cards_of(flow_of(Line.from_text(line_text(3, 1))))  # loads and compiles what it needs
    for size in SIZES:
        lines = [Line.from_text(line_text(size, seed)) for seed in SEEDS]
        flows = [flow_of(line) for line in lines]
        working = [timed(lambda line=line: flow_of(line)) for line in lines]  # type: ignore[misc]
        sizing = [timed(lambda flow=flow: cards_of(flow)) for flow in flows]  # type: ignore[misc]
        loops = [float(len(cards_of(flow).loops)) for flow in flows]
        rows.append(row(f"cards of a line of {size} stations", sizing, "ms", 1e3))
        rows.append(row(f"loops in it, {size} stations", loops, "loops"))
        rows.append(
            row(f"cards / flow, {size} stations", [c / w for c, w in zip(sizing, working, strict=True)], "times")
        )
        capped = [timed(lambda flow=flow: cards_of(flow).capped.by_mean_values) for flow in flows]  # type: ignore[misc,union-attr]
        rows.append(row(f"cards and the cap of the whole flow, {size} stations", capped, "ms", 1e3))
    return rows
