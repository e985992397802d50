"""How much processor time does a whole pull plan take, part by part as it is told, beside working out the flow it stands on?"""

from __future__ import annotations

from pathlib import Path

from bench.lines import line_text
from bench.timing import Row, row, timed
from pullwright.flow import flow_of
from pullwright.line import Line
from pullwright.pull.plan import plan_of
from pullwright.survey.planned.chapters import PARTS
from pullwright.survey.planned.planned import Planned
from pullwright.survey.survey import survey_of

PUMP = Path(__file__).parents[1] / "examples" / "hand_pump.yaml"
TIMES = 5


def measure() -> list[Row]:
    """Rows of (what, median, low, high, unit): the line of the example, and one of 30 stations; parts stand on those before them."""
    texts = {"hand pump": PUMP.read_text("utf-8"), "30 stations": line_text(30, 1)}
    return [found for name, text in texts.items() for found in _line(name, text)]


def _line(name: str, text: str) -> list[Row]:
    _parts(text)  # loads and compiles what it needs
    rounds = [_parts(text) for _ in range(TIMES)]
    flows = [timed(lambda: flow_of(Line.from_text(text)).figures()) for _ in range(TIMES)]
    rows = [row(f"plan / {key}, {name}", [one[key] for one in rounds], "ms", 1e3) for key in rounds[0]]
    whole = [sum(one.values()) for one in rounds]
    rows.append(row(f"the whole plan, {name}", whole, "ms", 1e3))
    rows.append(row(f"the whole plan / reading the line and its flow, {name}", [w / f for w, f in zip(whole, flows, strict=True)], "times"))  # fmt: skip
    return rows


def _parts(text: str) -> dict[str, float]:
    planned = Planned(plan_of(survey_of(Line.from_text(text)).accounts))
    _ = planned.plan.flow
    return {part.key: timed(lambda key=part.key: planned.chapter(key)) for part in PARTS}  # type: ignore[misc]
