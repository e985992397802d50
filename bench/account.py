"""How long do all accounts of a line of thirty stations take, with the flow below them, and how do they grow with the line?

Every round works everything out anew from a line that is read already: loads, queues, stock, then the accounts with their rows, the
wastes once they are everybody's, and what is out of place. The peer is what reading the same file takes. Times are those of the
processor, so that what else the machine does does not count.
"""

from __future__ import annotations

from bench.lines import line_text
from bench.timing import Row, row, timed
from pullwright.account import accounts_of
from pullwright.account.findings import findings_of, sentence
from pullwright.flow import flow_of
from pullwright.line import Line

STATIONS = 30
LONG = 60
SEED = 7
ROUNDS = 9


def measure() -> list[Row]:
    """Rows of (what, median, low, high, unit); ratios compare runs that follow each other."""
    text = line_text(STATIONS, SEED)
    line, long_line = Line.from_text(text), Line.from_text(line_text(LONG, SEED))
    line.route, line.work_calendar, long_line.route, long_line.work_calendar  # noqa: B018 - worked out once and kept by the line
    reading, flows, accounts, findings, together, longs = [], [], [], [], [], []
    for _ in range(ROUNDS):
        reading.append(timed(lambda: Line.from_text(text)))
        flows.append(timed(lambda: flow_of(line)))
        found = accounts_of(line, flow_of(line))
        accounts.append(timed(lambda found=found: (found.all(), found.propagation)))
        findings.append(timed(lambda found=found: sentence(found, findings_of(found))))
        together.append(timed(lambda: (*(one := accounts_of(line)).all(), one.propagation)))
        longs.append(timed(lambda: (*(one := accounts_of(long_line)).all(), one.propagation)))
    whole = accounts_of(line)
    figures = [timed(whole.figures) for _ in range(ROUNDS)]
    whys = [timed(lambda: str(whole.year.whole.why())) for _ in range(ROUNDS)]
    return [
        row(f"flow of {STATIONS} stations", flows, "ms", 1e3),
        row(f"all accounts of {STATIONS} stations, the flow worked out", accounts, "ms", 1e3),
        row("what is out of place, the accounts worked out", findings, "ms", 1e3),
        row(f"flow and all accounts of {STATIONS} stations", together, "ms", 1e3),
        row(
            "flow and all accounts / reading the file", [b / a for a, b in zip(reading, together, strict=True)], "times"
        ),
        row("accounts / flow", [a / b for a, b in zip(accounts, flows, strict=True)], "times"),
        row(f"{LONG} stations / {STATIONS} stations", [a / b for a, b in zip(longs, together, strict=True)], "times"),
        row("all figures by name, once more", figures, "ms", 1e3),
        row("why of a year's money, all of it, as text", whys, "ms", 1e3),
    ]


if __name__ == "__main__":
    for what, middle, low, high, unit in measure():
        print(f"{what}: {middle:.3g} {unit} ({low:.3g} to {high:.3g})")
