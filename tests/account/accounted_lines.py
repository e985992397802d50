"""Lines with all that the accounts look at: parts and their purchases, stock that grows and shrinks, floor, money, samples, crews."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from hypothesis import strategies as st

from pullwright.line import Line
from tests.flow.generated_lines import as_text, line_dicts

Draw = Callable[[st.SearchStrategy[Any]], Any]

SEEN = ("value", "needed", "waiting", "moving", "motion", "extra", "again", "ahead")


@st.composite
def accounted_dicts(draw: Draw, certain: bool = False, most_steps: int = 5) -> dict[str, Any]:
    """A line file as plain values; `certain` leaves out what is not known for sure."""
    line = draw(line_dicts(certain, most_steps))
    names = [step["name"] for step in line["steps"]]
    everywhere = [step["name"] for step in line["steps"] if "for" not in step]
    _parts(draw, line, everywhere, certain)
    line["stores"] = _stores(draw, line, names, certain)
    line["moves"] = _moves(draw, line, names)
    for step in line["steps"]:
        for element in step.get("elements", ()):
            if not set(element.get("for", ())) <= set(step.get("for", element.get("for", ()))):
                del element["for"]
        if "release" not in step and draw(st.integers(0, 5)) == 0:
            step["release"] = {"by": "push", "rate": f"{draw(st.sampled_from([1, 30, 5000]))} /d"}
        if draw(st.integers(0, 5)) == 0:
            costs = {"costs": f"{draw(st.integers(1, 600))} s"}
            step["asked"] = [{"what": "finish", "asked": "0.2 um", "needed": "0.4 um", **draw(st.sampled_from([{}, costs]))}]  # fmt: skip
    for crew in line.get("people", ()):
        if draw(st.booleans()):
            crew["wage"] = draw(st.sampled_from(["27 EUR/h", "19.50 EUR/h"]))
    if draw(st.booleans()):
        line["floor"] = _floor(draw)
    if draw(st.booleans()):
        line["money"] = _money(draw)
    if draw(st.booleans()):
        line["standard"] = draw(st.sampled_from([{"lines": 3}, {"lines": 2, "people": 40, "years": 4}, {"years": 9}]))
    if draw(st.booleans()):
        line["samples"] = [_sample(draw) for _ in range(draw(st.integers(1, 3)))]
    return line


@st.composite
def accounted_lines(draw: Draw, certain: bool = False, most_steps: int = 5) -> Line:
    """A generated line that its own checks let through."""
    return Line.from_text(as_text(draw(accounted_dicts(certain, most_steps))), name="generated.yaml")


def _parts(draw: Draw, line: dict[str, Any], everywhere: list[str], certain: bool) -> None:
    kinds = [name for name in ("plate", "screw", "box") if draw(st.booleans())]
    line["suppliers"] = [{"name": "works", **draw(st.sampled_from([{}, {"paid_after": "30 cal d"}, {"per_delivery": "40 EUR"}]))}]  # fmt: skip
    line["parts"] = []
    for name in kinds:
        part: dict[str, Any] = {"name": name, "price": draw(st.sampled_from(["3 EUR", "0 EUR", "12.40 EUR"]))}
        if not certain and draw(st.integers(0, 4)) == 0:
            part["price"] = {"low": "2 EUR", "likely": "3 EUR", "high": "5 EUR"}
        if draw(st.booleans()):
            part["mass"] = "1.2 kg"
        if draw(st.booleans()):
            part["supplier"] = "works"
        if draw(st.booleans()):
            part |= {"delivery_lot": draw(st.integers(1, 500)), "lead_time": draw(st.sampled_from(["4 d", "12 cal d"]))}
        if draw(st.booleans()):
            part["container"] = {"holds": 25, "floor": "0.9 m2", "stack": draw(st.integers(1, 3))}
        if draw(st.integers(0, 2)) == 0:
            part["bought"] = f"{draw(st.integers(0, 90))} {draw(st.sampled_from(['/d', '/week']))}"
        line["parts"].append(part)
    for product in line["products"]:
        product.pop("uses", None)
        uses = [{"part": name, "quantity": draw(st.integers(1, 4)), "at": draw(st.sampled_from(everywhere))} for name in kinds if draw(st.integers(0, 3))]  # fmt: skip
        if uses:
            product["uses"] = uses
        if draw(st.booleans()):
            product["price"] = draw(st.sampled_from(["90 EUR", "310.50 EUR"]))
        if draw(st.booleans()):
            product["promise"] = "6 d"


def _stores(draw: Draw, line: dict[str, Any], names: list[str], certain: bool) -> list[dict[str, Any]]:
    stores = []
    places = [{"part": part["name"]} for part in line["parts"]] + [{"before": name} for name in names]
    for place in [*places, {"after": names[-1]}]:
        if draw(st.integers(0, 2)) == 0:
            continue
        store: dict[str, Any] = dict(place)
        known = draw(st.sampled_from(["nothing", "counted", "counted", "counts", "grows"]))
        if known in ("counted", "grows"):
            store["counted"] = draw(st.integers(0, 400))
        if known == "grows":
            store["grows"] = draw(st.sampled_from(["0 /d", "3 /d", "8 /week"]))
        if known == "counts":
            pieces = draw(st.lists(st.integers(0, 300), min_size=1, max_size=2 if certain else 4))
            store["counts"] = [{"on": f"2026-03-{2 + 7 * k:02d}", "pieces": n} for k, n in enumerate(pieces)]
        if draw(st.booleans()):
            store["capacity"] = draw(st.integers(0, 300))
            if draw(st.booleans()):
                store["overflow"] = {"distance": "45 m", "batch": draw(st.integers(1, 25)), "handling": "60 s"}
        if draw(st.booleans()):
            store["container"] = {"holds": draw(st.integers(1, 30)), "floor": "0.6 m2"}
        stores.append(store)
    return stores


def _moves(draw: Draw, line: dict[str, Any], names: list[str]) -> list[dict[str, Any]]:
    starts = ["receiving", *names, *(part["name"] for part in line["parts"])]
    pairs = [(start, end) for start in starts for end in (*names, "shipping") if start != end]
    return [
        {
            "from": start, "to": end,
            "distance": f"{draw(st.integers(0, 60))} m", "batch": draw(st.integers(1, 20)), "people": draw(st.integers(1, 2)),
            "back": draw(st.booleans()), **draw(st.sampled_from([{}, {"speed": "0.8 m/s"}, {"handling": "40 s"}])),
        }
        for start, end in draw(st.lists(st.sampled_from(pairs), max_size=4, unique=True))
    ]  # fmt: skip


def _floor(draw: Draw) -> dict[str, Any]:
    floor: dict[str, Any] = {"total": f"{draw(st.integers(1, 300))} m2"}
    if draw(st.booleans()):
        floor["ways"] = "20 m2"
    if draw(st.booleans()):
        floor["places"] = [{"name": "tool wall", "area": "3 m2"}]
    if draw(st.booleans()):
        floor["red_tagged"] = [{"what": "old drill", "area": "3.5 m2"}, {"what": "old jigs", "area": "2 m2"}]
    return floor


def _money(draw: Draw) -> dict[str, Any]:
    fields = {
        "customers_pay_after": "45 cal d", "suppliers_paid_after": "14 d", "carrying_rate": "16 %/year",
        "floor_rent": "8.50 EUR/m2/month", "fixed_costs": "12000 EUR/year", "deposit": "30 %",
    }  # fmt: skip
    return {name: value for name, value in fields.items() if draw(st.booleans())}


def _sample(draw: Draw) -> dict[str, Any]:
    seen = {kind: draw(st.integers(0, 40)) for kind in SEEN if draw(st.booleans())}
    return {"on": "2026-03-17", "looks": max(1, sum(seen.values()) + draw(st.integers(0, 30))), **seen}
