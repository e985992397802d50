"""Made-up line files for tests and measurements: valid, varied, and the same for the same seed.

`line_text(30, 7)` is a line of thirty stations with sub-flows, skipped steps, rework, studies, counts, stores, moves and crews, written
in several styles of YAML. The busiest station is a little below `busiest`, so that most figures are finite.
"""

from __future__ import annotations

from random import Random
from typing import Any

from bench.made_steps import Steps
from bench.made_words import THINGS
from bench.made_yaml import Styles


def line_text(stations: int, seed: int, *, busiest: float = 0.85) -> str:
    """Make the text of a valid line file with so many stations (1 to 900)."""
    rng = Random(seed)  # noqa: S311 - nothing secret
    return Styles(rng).text(_Maker(rng, stations, busiest).data())


class _Maker(Steps):
    def __init__(self, rng: Random, stations: int, busiest: float) -> None:
        super().__init__(rng, stations, busiest)
        self.parts = [self.name(rng.choice(THINGS)) for _ in range(rng.randint(1, max(2, min(12, stations))))]
        self.suppliers = [self.name(f"{rng.choice(THINGS)} works") for _ in range(rng.randint(1, 3))]

    def calendar(self) -> dict[str, Any]:
        spans = {
            "day": ("07:00", "15:30"),
            "early": ("06:00", "14:00"),
            "late": ("14:00", "22:00"),
            "night": ("22:00", "06:00"),
        }
        pauses = {"day": "11:30", "early": "10:00", "late": "18:00", "night": "02:00"}
        shifts: list[dict[str, Any]] = []
        for name in self.shifts:
            shift: dict[str, Any] = {"name": name, "from": spans[name][0], "to": spans[name][1]}
            hour, minute = pauses[name].split(":")
            shift["breaks"] = [
                {
                    "name": "meal",
                    "from": pauses[name],
                    "to": f"{hour}:{int(minute) + 29}",
                    "paid": self.rng.choice(("yes", "no")),
                }
            ]
            if self.chance(0.5):
                shift["planned_stops"] = [
                    {
                        "name": "meeting",
                        "from": shift["from"],
                        "to": shift["from"][:3] + "40" if shift["from"].endswith("30") else shift["from"][:3] + "10",
                    }
                ]
            shifts.append(shift)
        off = sorted({self.date() for _ in range(self.rng.randint(0, 5))})
        calendar: dict[str, Any] = {"days": ["mon", "tue", "wed", "thu", "fri"], "shifts": shifts}
        if off:
            calendar["days_off"] = off
        if self.chance(0.3):
            calendar["extra_days"] = [{"on": "2026-12-19", "shifts": [self.shifts[0]]}, "2026-12-12"]
        return calendar

    def product(self, name: str, uses: list[dict[str, Any]]) -> dict[str, Any]:
        per = self.rng.choice((("d", 1.0), ("d", 1.0), ("week", 5.0), ("month", 21.7)))
        rate = f"{self.demand * per[1]:.4g} /{per[0]}"
        demand: Any = {"mean": rate, "cv": round(self.rng.uniform(0.1, 1.2), 2)} if self.chance(0.6) else rate
        made: dict[str, Any] = {"name": name, "demand": demand}
        if self.chance(0.8):
            made |= {"promise": f"{self.rng.randint(2, 15)} d", "on_time": self.rng.choice(("90 %", "95 %", 0.98))}
        if self.chance(0.8):
            made["price"] = f"{self.rng.uniform(80, 400):.2f} EUR"
        kept = [use for use in uses if self.chance(0.8)]
        return made | ({"uses": kept} if kept else {})

    def part(self, name: str) -> dict[str, Any]:
        made: dict[str, Any] = {"name": name, "price": f"{self.rng.uniform(0.5, 20):.2f} EUR"}
        if self.chance(0.8):
            made |= {
                "supplier": self.rng.choice(self.suppliers),
                "lead_time": self.rng.choice(("5 d", "12 cal d", {"mean": "8 d", "cv": 0.3})),
            }
        if self.chance(0.8):
            lot = self.rng.randint(2, 12) * 50
            made |= {"delivery_lot": lot, "container": {"holds": 50, "floor": "0.8 m2"}, "order_at": lot // 2}
        if self.chance(0.5):
            made["mass"] = self.rng.choice(("350 g", "1.2 kg", "0.1 kg"))
        return made

    def station(self, name: str, index: int) -> dict[str, Any]:
        made: dict[str, Any] = {"name": name, "floor": f"{self.rng.randint(3, 12)} m2"}
        if self.chance(0.7):
            made["at"] = {"x": f"{3 * (index % 10)} m", "y": f"{4 * (index // 10)} m"}
        if self.chance(0.15):
            made["machines"] = 2
        if self.chance(0.3):
            made["breakdowns"] = {
                "between": f"{self.rng.randint(30, 120)} h",
                "repair": self.time(self.rng.uniform(600, 3000), f"repair of {name}"),
            }
            if self.chance(0.2):
                made["breakdowns"]["counted_by"] = "clock"
        return made

    def stores(self) -> list[dict[str, Any]]:
        rng, way = self.rng, self.way
        made: list[dict[str, Any]] = [
            {"part": part, "counted": rng.randint(20, 600), "capacity": 400}
            | ({"overflow": {"distance": "45 m", "batch": 25}} if self.chance(0.2) else {})
            for part in self.parts
            if self.chance(0.7)
        ]
        for i, name in enumerate(way.names):
            if way.after[i] and self.chance(0.8):
                store: dict[str, Any] = {"before": name}
                if self.chance(0.2):
                    first, step = rng.randint(20, 80), rng.randint(-2, 8)
                    store["counts"] = [
                        {"on": f"2026-03-{2 + 7 * k:02d}", "pieces": first + step * k, "who": "morning round"}
                        for k in range(4)
                    ]
                elif self.chance(0.9):
                    store["counted"] = rng.randint(0, 60)
                if self.chance(0.7):
                    store |= {
                        "capacity": rng.randint(60, 120),
                        "container": {"holds": 7, "floor": "0.6 m2", "stack": rng.randint(1, 3)},
                    }
                made.append(store)
        made.append({"after": way.names[way.main[-1]], "counted": rng.randint(0, 80)})
        return made

    def moves(self) -> list[dict[str, Any]]:
        rng, way = self.rng, self.way
        pairs = [("receiving", way.names[way.main[0]])]
        pairs += [(way.names[k], way.names[i]) for i in range(len(way.names)) for k in way.after[i]]
        pairs.append((way.names[way.main[-1]], "shipping"))
        made = []
        for start, end in pairs:
            if self.chance(0.85):
                move = {
                    "from": start,
                    "to": end,
                    "distance": f"{rng.randint(2, 30)} m",
                    "batch": rng.choice((1, 7, 14)),
                }
                made.append(move | ({"by": "hand trolley", "handling": "30 s"} if self.chance(0.5) else {}))
        return made

    def people(self) -> list[dict[str, Any]]:
        needed = max(1, round(1.3 * self.attended * self.demand * len(self.products) / self.day + 0.5))
        if needed < 4 or self.chance(0.4):
            return [{"name": "crew", "number": needed, "wage": "26 EUR/h"}]
        half = len(self.stations) // 2
        rest = [*self.stations[half:], self.way.names[0]]
        return [
            {
                "name": "machining",
                "number": needed - needed // 2,
                "wage": "27 EUR/h",
                "skills": self.stations[:half] + self.stations[-1:],
            },
            {"name": "assembly", "number": needed // 2, "wage": "25.50 EUR/h", "skills": list(dict.fromkeys(rest))},
        ]

    def data(self) -> dict[str, Any]:
        rng = self.rng
        steps = [self.step(i) for i in range(len(self.stations))]
        everywhere = [name for name, only in zip(self.way.names, self.way.only, strict=True) if only is None]
        uses = [{"part": part, "quantity": rng.randint(1, 4), "at": rng.choice(everywhere)} for part in self.parts]
        made: dict[str, Any] = {"line": f"made-up line of {len(self.stations)} stations", "invented": "yes"}
        if self.chance(0.5):
            made["about"] = "A line of nobody: every name and number in it is made up."
        made |= {"calendar": self.calendar(), "products": [self.product(name, uses) for name in self.products]}
        made |= {
            "parts": [self.part(name) for name in self.parts],
            "suppliers": [
                {"name": name} | ({"paid_after": "30 cal d"} if self.chance(0.6) else {}) for name in self.suppliers
            ],
            "stations": [self.station(name, index) for index, name in enumerate(self.stations)],
            "steps": steps,
            "stores": self.stores(),
            "moves": self.moves(),
        }
        if self.chance(0.85):
            made["people"] = self.people()
        if self.chance(0.8):
            made["floor"] = {
                "total": f"{20 * len(self.stations) + 60} m2",
                "ways": f"{3 * len(self.stations)} m2",
                "places": [{"name": "tool wall", "area": "3 m2"}],
            }
        if self.chance(0.8):
            made["money"] = {
                "cash": "48000 EUR",
                "customers_pay_after": "45 cal d",
                "carrying_rate": "16 %/year",
                "floor_rent": "8.50 EUR/m2/month",
            }
        if self.chance(0.4):
            made["pressure"] = {"above": 2, "faster": "12 %", "more_defects": "150 %"}
        if self.chance(0.5):
            made["standard"] = {"lines": rng.randint(1, 3), "people": 18, "years": 5}
        if self.studies:
            made["studies"] = self.studies
        if self.chance(0.4):
            made["samples"] = [
                {"on": self.date(), "looks": 200, "value": 70, "needed": 40, "waiting": 30, "motion": 20, "moving": 15}
            ]
        return made
