"""Lines as no factory has them, and yet as a line file allows: for laws that hold whatever the line."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

from hypothesis import strategies as st

from pullwright.line import Line, LineFileError

Draw = Callable[[st.SearchStrategy[Any]], Any]

KINDS = ("value", "needed", "waiting", "moving", "motion", "extra", "again")
SHIFTS = (
    {"name": "early", "from": "06:00", "to": "14:00", "breaks": [{"name": "meal", "from": "10:00", "to": "10:30", "paid": False}]},
    {"name": "late", "from": "14:00", "to": "22:00", "days": ["mon", "tue", "wed", "thu"]},
)  # fmt: skip


def as_text(line: dict[str, Any]) -> str:
    """JSON is YAML; one field on each line, so that a source can be held against it."""
    return json.dumps(line, indent=1)


@st.composite
def line_dicts(draw: Draw, certain: bool = False, most_steps: int = 6) -> dict[str, Any]:
    """A line file as plain values; `certain` leaves out what is not known for sure."""
    products = [f"P{k}" for k in range(draw(st.integers(1, 3)))]
    count = draw(st.integers(1, most_steps))
    stations = [f"S{k}" for k in range(draw(st.integers(1, count)))]
    names = [f"step {k}" for k in range(count)]
    joins = _joins(draw, count)
    only = _only(draw, count, joins, products)
    steps = [_step(draw, k, names, stations, joins, only, products, certain) for k in range(count)]
    line: dict[str, Any] = {
        "line": "generated",
        "calendar": {"shifts": [dict(shift) for shift in SHIFTS[: draw(st.integers(1, 2))]]},
        "products": [_product(draw, k, name, names, only, certain) for k, name in enumerate(products)],
        "stations": [_station(draw, name, certain) for name in stations],
        "steps": steps,
    }
    if len(line["calendar"]["shifts"]) > 1:
        line["stations"][0]["shifts"] = [draw(st.sampled_from(["early", "late"]))]
    if draw(st.booleans()):
        line["people"] = _people(draw, names, stations)
    line["stores"] = [
        {"before": name, "counted": draw(st.integers(0, 80))} for name in names if draw(st.integers(0, 3)) == 0
    ]
    line["moves"] = [
        {"from": names[k - 1], "to": names[k], "distance": "12 m", "batch": draw(st.integers(1, 9))}
        for k in range(1, count)
        if k not in joins and draw(st.integers(0, 3)) == 0
    ]
    line["parts"] = [{"name": "plate", "price": "3 EUR", "lead_time": "4 d", "delivery_lot": 40}]
    if draw(st.booleans()):
        line["parts"][0]["lead_time"] = {"mean": "6 d", "cv": 0.4}
    return line


@st.composite
def lines(draw: Draw, certain: bool = False, most_steps: int = 6) -> Line:
    """A generated line that its own checks let through."""
    return Line.from_text(as_text(draw(line_dicts(certain, most_steps))), name="generated.yaml")


def _joins(draw: Draw, count: int) -> dict[int, int]:
    """Steps that begin a sub-flow, and where their flow is joined into the main flow: the step after its last one."""
    if count < 3 or not draw(st.booleans()):
        return {}
    start = draw(st.integers(1, count - 2))
    return {start: draw(st.integers(start + 1, count - 1))}


def _only(draw: Draw, count: int, joins: dict[int, int], products: list[str]) -> dict[int, list[str]]:
    """Steps that not every product goes through; never where flows begin, join or end, so that each product keeps one last step."""
    kept = {0, count - 1, *joins, *joins.values(), *(k - 1 for k in joins), *(k - 1 for k in joins.values())}
    return {
        k: draw(st.lists(st.sampled_from(products), min_size=1, unique=True))
        for k in range(count)
        if k not in kept and len(products) > 1 and draw(st.integers(0, 2)) == 0
    }


def _time(draw: Draw, certain: bool, least: int = 5, most: int = 900) -> Any:
    seconds = draw(st.integers(least, most))
    forms: list[Any] = [f"{seconds} s", {"mean": f"{seconds} s", "cv": draw(st.sampled_from([0, 0.1, 1, 3]))}]
    if not certain:
        forms += [
            {"low": f"{seconds} s", "likely": f"{seconds * 1.1:.3f} s", "high": f"{seconds * 1.5:.3f} s"},
            {"readings": [f"{seconds + k} s" for k in (0, 4, 1, 9, 2)]},
            {"mean": {"low": f"{seconds} s", "likely": f"{seconds} s", "high": f"{seconds * 2} s"}, "cv": 0.5},
        ]
    return draw(st.sampled_from(forms))


def _share(draw: Draw, certain: bool) -> Any:
    percent = draw(st.sampled_from([0, 0.5, 3, 12]))
    if certain or draw(st.booleans()):
        return f"{percent} %"
    return {"count": int(percent * 2), "of": 200}


def _step(
    draw: Draw, k: int, names: list[str], stations: list[str], joins: dict[int, int], only: dict[int, list[str]],
    products: list[str], certain: bool,
) -> dict[str, Any]:  # fmt: skip
    step: dict[str, Any] = {"name": names[k], "station": draw(st.sampled_from(stations))}
    if k in joins:
        step["after"] = []
    for start, end in joins.items():
        if k == end:
            # The main flow ends before the sub-flow begins, and both meet here.
            quantity = draw(st.integers(1, 3))
            step["after"] = [names[start - 1], {"step": names[k - 1], "quantity": quantity}]
    if k in only:
        step["for"] = only[k]
    if draw(st.booleans()):
        step["elements"] = [
            {"what": draw(st.sampled_from(["load", "work", "clean"])), "kind": draw(st.sampled_from(KINDS)), draw(st.sampled_from(["manual", "machine", "walking"])): _time(draw, certain)}
            for _ in range(draw(st.integers(1, 3)))
        ]  # fmt: skip
        if len(products) > 1 and k not in only and draw(st.booleans()):
            step["elements"].append({"what": "more", "kind": "value", "manual": "20 s", "for": products[:1]})
    else:
        step["machine"] = _time(draw, certain)
        if draw(st.booleans()):
            step["manual"] = _time(draw, certain)
            step["value_adding"] = f"{draw(st.integers(0, 100))} %"
    if any("machine" in part for part in (step, *step.get("elements", ()))) and draw(st.booleans()):
        step["watched"] = f"{draw(st.integers(0, 100))} %"
    step["people"] = draw(st.integers(0, 2))
    if draw(st.booleans()):
        step["lot"] = draw(st.sampled_from([1, 8, 40]))
        if draw(st.booleans()):
            step["set_up"] = {"time": _time(draw, certain), "people": draw(st.integers(0, 2))}
            if len(products) > 1 and k not in only and draw(st.booleans()):
                step["set_up"]["pairs"] = [{"from": products[0], "to": products[1], "time": "5 min"}]
        if draw(st.booleans()):
            step["transfer_lot"] = draw(st.sampled_from([1, step["lot"]]))
    _losses(draw, step, k, names, joins, only, certain)
    others = [name for name in stations if name != step["station"]]
    if others and draw(st.integers(0, 4)) == 0:
        step["also_at"] = [{"station": others[0], "share": "30 %", **draw(st.sampled_from([{}, {"times": 1.5}]))}]
    if draw(st.integers(0, 6)) == 0:
        step["release"] = {"by": "cards", "cards": 4, "per_card": 7}
    return step


def _losses(
    draw: Draw, step: dict[str, Any], k: int, names: list[str], joins: dict[int, int], only: dict[int, list[str]], certain: bool
) -> None:  # fmt: skip
    how = draw(st.sampled_from(["none", "scrap", "yield", "yield and scrap", "here", "back", "both"]))
    if how in ("scrap", "both"):
        step["scrap"] = _share(draw, certain)
    if how.startswith("yield"):
        step |= {"first_pass_yield": "85 %"}
    if how == "yield and scrap":
        step["scrap"] = "4 %"
    if how in ("here", "both"):
        step["rework"] = {"share": _share(draw, certain), "people": draw(st.integers(0, 1))}
        if draw(st.booleans()):
            step["rework"]["time"] = _time(draw, certain)
    if how == "back":
        # Back to this step or to one before it in the same flow, which every product of this one goes through.
        first = max((start for start in joins if start <= k < joins[start]), default=0)
        earlier = [
            name for j, name in enumerate(names[: k + 1]) if j >= first and j not in only and not _apart(j, k, joins)
        ]
        if k in only:
            earlier.append(names[k])
        step["rework"] = {"share": _share(draw, certain), "to": draw(st.sampled_from(earlier or [names[k]]))}


def _apart(j: int, k: int, joins: dict[int, int]) -> bool:
    """Is step `j` in another flow, which does not lead to step `k`?"""
    return any(start <= k < end and j < start for start, end in joins.items())


def _product(
    draw: Draw, k: int, name: str, names: list[str], only: dict[int, list[str]], certain: bool
) -> dict[str, Any]:  # fmt: skip
    pieces = draw(st.integers(1 if k == 0 else 0, 60))
    forms: list[Any] = [
        f"{pieces} /d",
        f"{pieces} /week",
        {"mean": f"{pieces} /d", "cv": draw(st.sampled_from([0, 0.4, 2]))},
    ]
    if not certain:
        forms.append({"low": f"{pieces} /d", "likely": f"{pieces} /d", "high": f"{pieces + 9} /d"})
    product: dict[str, Any] = {"name": name, "demand": draw(st.sampled_from(forms))}
    if draw(st.booleans()):
        product["uses"] = [{"part": "plate", "quantity": 2, "at": names[0]}]
    if draw(st.booleans()):
        product["on_time"] = f"{draw(st.sampled_from([50, 95, 100]))} %"
    return product


def _station(draw: Draw, name: str, certain: bool) -> dict[str, Any]:
    station: dict[str, Any] = {"name": name, "machines": draw(st.integers(1, 3))}
    if draw(st.integers(0, 2)) == 0:
        repair = {"mean": f"{draw(st.integers(0, 90))} min", "cv": draw(st.sampled_from([0, 1, 2]))}
        between = "20 h" if certain else {"low": "10 h", "likely": "20 h", "high": "40 h"}
        station["breakdowns"] = {"between": between, "repair": repair}
    return station


def _people(draw: Draw, names: list[str], stations: list[str]) -> list[dict[str, Any]]:
    crews = [{"name": "everybody", "number": draw(st.integers(1, 6))}]
    if draw(st.booleans()):
        crews.append({"name": stations[0], "number": draw(st.integers(1, 3)), "skills": [stations[0], names[-1]]})
    return crews


__all__ = ["Line", "LineFileError", "as_text", "line_dicts", "lines"]
