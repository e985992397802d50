"""The way through a made-up line: sub-flows, skipped steps, the work, losses and release of each step."""

from __future__ import annotations

from dataclasses import dataclass, field
from random import Random
from typing import Any

from bench.made_words import DOING, THINGS, Words

_WASTES = ("waiting", "moving", "motion", "extra", "again")


@dataclass
class Way:
    """The steps, each with the ones that it takes from, and which of them every product goes through."""

    names: list[str] = field(default_factory=list)
    after: list[list[int]] = field(default_factory=list)
    only: list[list[str] | None] = field(default_factory=list)
    main: list[int] = field(default_factory=list)


class Steps(Words):
    """The stations, products and steps of a line whose pace is known."""

    def __init__(self, rng: Random, stations: int, busiest: float) -> None:
        super().__init__(rng)
        self.busiest = busiest
        self.stations = [self.name(f"{rng.choice(DOING)} station") for _ in range(stations)]
        self.products = [self.name(f"{rng.choice(THINGS)} set") for _ in range(rng.randint(1, 4))]
        self.shifts = rng.choice((("day",), ("early", "late"), ("early", "late", "night")))
        self.day = 27_000.0 * len(self.shifts)
        self.demand = self.day / rng.uniform(40, 900) / len(self.products)
        self.takt = self.day / (self.demand * len(self.products))
        self.attended = 0.0
        self.way = self.make_way()

    def make_way(self) -> Way:
        way, count = Way(), len(self.stations)
        joins: list[list[int]] = []
        if count >= 4:
            for _ in range(self.rng.randint(0, min(3, count // 4))):
                length = self.rng.randint(1, min(3, count // 6 + 1))
                joins.append([self.add(way, k, True) for k in range(length)])
        while len(way.names) < count:
            self.add(way, len(way.main), False)
        for flow in joins:
            way.after[self.rng.choice(way.main[len(way.main) // 2 :])].append(flow[-1])
        return way

    def add(self, way: Way, place: int, side: bool) -> int:
        i = len(way.names)
        way.names.append(self.name(f"{self.rng.choice(DOING)} {self.rng.choice(THINGS)}"))
        way.after.append([] if place == 0 else [i - 1 if side else way.main[-1]])
        skipped = not side and place and i < len(self.stations) - 1 and len(self.products) > 1 and self.chance(0.15)
        way.only.append(sorted(self.rng.sample(self.products, len(self.products) - 1)) if skipped else None)
        if not side:
            way.main.append(i)
        return i

    def step(self, i: int) -> dict[str, Any]:
        way, rng = self.way, self.rng
        name = way.names[i]
        made: dict[str, Any] = {"name": name, "station": self.stations[i]}
        if i and way.after[i] != [i - 1]:
            made["after"] = [self.taken(way.names[k]) if k not in way.main else way.names[k] for k in way.after[i]]
        if way.only[i] is not None:
            made["for"] = way.only[i]
        cycle = self.takt * rng.uniform(0.3, 0.8) * self.busiest
        made |= self.elements(name, cycle, way.only[i]) if self.chance(0.7) else self.short(name, cycle)
        if self.chance(0.35):
            lot = rng.randint(2, 12) * 7
            made |= {"set_up": {"time": self.time(max(5.0, 0.1 * self.takt * lot), f"set-up of {name}")}, "lot": lot}
            if len(self.products) > 1 and way.only[i] is None and self.chance(0.4):
                made["set_up"]["pairs"] = [
                    {"from": self.products[0], "to": self.products[1], "time": self.seconds(0.08 * self.takt * lot + 5)}
                ]
            if self.chance(0.5):
                made["transfer_lot"] = 7
        self.losses(i, made)
        self.release(i, made)
        if self.chance(0.08):
            made["asked"] = [
                {"what": "roughness", "asked": "0.2 um", "needed": "0.4 um", "costs": self.seconds(0.02 * cycle + 0.2)}
            ]
        if self.chance(0.08) and len(self.stations) > 1:
            other = rng.choice([one for one in self.stations if one != self.stations[i]])
            made["also_at"] = [{"station": other, "share": "10 %", "times": 1.2}]
        return made

    def taken(self, name: str) -> Any:
        return {"step": name, "quantity": 2} if self.chance(0.3) else name if self.chance(0.7) else {"step": name}

    def elements(self, step: str, cycle: float, only: list[str] | None) -> dict[str, Any]:
        rng, count = self.rng, self.rng.randint(1, 5)
        cuts = sorted(rng.random() for _ in range(count - 1))
        parts = [b - a for a, b in zip([0.0, *cuts], [*cuts, 1.0], strict=True)]
        elements: list[dict[str, Any]] = []
        by_hand = 0.0
        for k, part in enumerate(parts):
            way = rng.choice(("manual", "manual", "machine", "walking"))
            kind = "motion" if way == "walking" else rng.choice(("value", "value", "needed", *_WASTES[:1], "extra"))
            seconds = max(0.5, cycle * part)
            by_hand += 0.0 if way == "machine" else seconds
            elements.append({"what": f"{rng.choice(DOING)} {k + 1}", way: self.time(seconds, step), "kind": kind})
            if self.chance(0.15):
                elements[-1]["because"] = rng.choice(("the drawing says so", "nobody knows why", "it is: as it is"))
        if self.chance(0.15) and len(only or self.products) > 1:
            finish = self.seconds(0.05 * cycle + 0.5)
            elements += [
                {"what": f"finish {product}", "manual": finish, "kind": "value", "for": [product]}
                for product in only or self.products
            ]
        self.attended += by_hand
        made: dict[str, Any] = {"elements": elements}
        if self.chance(0.2) and any("machine" in element for element in elements):
            made["watched"] = "20 %"
        return made

    def short(self, step: str, cycle: float) -> dict[str, Any]:
        made: dict[str, Any] = {"manual": self.time(cycle * 0.6, step)}
        self.attended += cycle * 0.65
        if self.chance(0.6):
            made["machine"] = self.time(cycle * 0.35, step)
        if self.chance(0.4):
            made["walking"] = self.seconds(max(0.5, cycle * 0.05))
        if self.chance(0.6):
            made |= {"value_adding": self.share(self.rng.uniform(0.2, 0.9)), "because": "seen at the line"}
            if self.chance(0.4):
                made["rest"] = self.rng.choice(_WASTES)
        return made

    def losses(self, i: int, made: dict[str, Any]) -> None:
        rng, way = self.rng, self.way
        if self.chance(0.3):
            made["scrap"] = self.share(rng.uniform(0.004, 0.03))
        if self.chance(0.2):
            place = way.main.index(i) if i in way.main else 0
            back = [k for k in way.main[max(0, place - 3) : place] if way.only[k] is None]
            made["rework"] = {"share": self.share(rng.uniform(0.01, 0.05))}
            if back and self.chance(0.5):
                made["rework"]["to"] = way.names[rng.choice(back)]
            elif self.chance(0.6):
                made["rework"]["time"] = self.seconds(0.2 * self.takt + 1)
        if not made.keys() & {"scrap", "rework"} and self.chance(0.1):
            made["first_pass_yield"] = self.share(rng.uniform(0.95, 0.99))

    def release(self, i: int, made: dict[str, Any]) -> None:
        kind = self.rng.random()
        if kind < 0.08:
            made["release"] = {"by": "cards", "cards": self.rng.randint(2, 8), "per_card": 7}
        elif kind < 0.14:
            made["release"] = {"by": "push"} | ({"rate": f"{self.demand:.4g} /d"} if self.chance(0.5) else {})
        elif kind < 0.18 and i == self.way.main[0]:
            made["release"] = {
                "by": "cap",
                "limit": 20 * len(self.stations),
                "until": self.way.names[self.way.main[-1]],
            }
        elif kind < 0.22:
            made["release"] = {"by": "order"}
