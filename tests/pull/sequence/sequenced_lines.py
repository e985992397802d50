"""Small lines whose day is planned in the tests."""

from __future__ import annotations

from pullwright.flow import Flow, flow_of
from pullwright.line import Line

PARTS = """
parts:
  - {name: frame, price: 5 EUR}
  - {name: wheel, price: 2 EUR}
  - {name: lamp, price: 3 EUR}
"""


def carts(
    plan: str = "", *, set_up: str = "{time: 4 min}", lot: str = "lot: 6", parts: bool = True, more: str = ""
) -> Flow:
    """A line of three carts: a frame is bent in lots, painted in the day's sequence, and assembled; a day has 440 min."""
    uses = {
        "red": "[{part: frame, quantity: 1, at: bend}, {part: wheel, quantity: 2, at: fit}]",
        "blue": "[{part: frame, quantity: 1, at: bend}, {part: wheel, quantity: 4, at: fit}, {part: lamp, quantity: 1, at: fit}]",
        "green": "[{part: frame, quantity: 1, at: bend}, {part: wheel, quantity: 3, at: fit}, {part: lamp, quantity: 2, at: fit}]",
    }
    demand = {"red": "12 /d", "blue": "8 /d", "green": "4 /d"}
    products = "\n".join(
        f"  - {{name: {name}, demand: {demand[name]}{', uses: ' + uses[name] if parts else ''}}}" for name in demand
    )
    prepare = f", set_up: {set_up}, {lot}" if set_up else ""
    return flow_of(
        Line.from_text(f"""
line: carts
calendar:
  shifts:
    - {{name: day, from: "06:00", to: "14:00", breaks: [{{name: meal, from: "10:00", to: "10:30", paid: no}}], planned_stops: [{{name: meeting, from: "06:00", to: "06:10"}}]}}
  days_off: [2026-05-01]
products:
{products}
{PARTS if parts else ""}
stations: [{{name: bender}}, {{name: booth}}, {{name: bench}}]
steps:
  - {{name: bend, station: bender, machine: 6 min, set_up: {{time: 12 min}}, lot: 12, value_adding: 100 %}}
  - {{name: paint, station: booth, manual: 15 min, value_adding: 100 %{prepare}}}
  - {{name: fit, station: bench, manual: 16 min, value_adding: 100 %}}
stores: [{{after: fit, counted: 4, container: {{holds: 4, floor: 1 m2}}}}]
{more}
{plan}
""")
    )
