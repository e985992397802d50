"""Small lines made at random with everything in them that both the event kernel and its slow twin run."""

from __future__ import annotations

import numpy as np

KINDS = ("orders", "first cards", "all cards", "cap", "push", "later orders", "later cap", "later push")


class _Making:
    def __init__(self, seed: int) -> None:
        self.rng, self.kind = np.random.default_rng(seed), KINDS[seed % len(KINDS)]
        self.steps, self.products = int(self.rng.integers(2, 6)), int(self.rng.integers(1, 4))
        self.goes_back = self.often(0.6)
        self.people = self.often(0.6)
        parted = self.products > 1 and self.steps > 2 and self.often(0.4)
        self.lots = 0.25
        self.for_a = int(self.rng.integers(1, self.steps - 1)) if parted else -2

    def often(self, share: float) -> bool:
        return bool(self.rng.random() < share)

    def time(self, mean: float) -> str:
        law = str(self.rng.choice(["lognormal", "gamma", "exponential", "weibull", "triangular"]))
        cv = "" if law == "exponential" else f", cv: {self.rng.uniform(0.2, 0.6):.2f}"
        return f"{{mean: {mean * self.rng.uniform(0.7, 1.3):.1f} s, distribution: {law}{cv}}}"

    def stations(self) -> str:
        rows = []
        for k in range(self.steps):
            row = f"name: s{k}"
            if self.often(0.3):
                row += f", machines: {self.rng.integers(2, 4)}"
            if self.often(0.4):
                counted = ", counted_by: clock" if self.often(0.4) else ""
                row += f", breakdowns: {{between: {self.rng.uniform(20, 60):.0f} min, repair: {self.rng.uniform(2, 9):.0f} min{counted}}}"
            rows.append(f"  - {{{row}}}\n")
        return "stations:\n" + "".join(rows)

    def step(self, k: int) -> str:
        station = int(self.rng.integers(0, self.steps)) if self.often(0.25) else k
        row = f"name: t{k}, station: s{station}"
        if k == self.for_a:
            row += ", for: [A]"
        if self.often(0.2) and station != (k + 1) % self.steps:
            row += f", also_at: [{{station: s{(k + 1) % self.steps}, share: {self.rng.uniform(10, 60):.0f} %, times: 1.5}}]"
        if self.people and self.often(0.25):
            row += f", elements: [{self.element('load', 'manual', 8)}, {self.element('cut', 'machine', 20)}, {self.element('carry', 'walking', 6)}]"
        elif self.people and self.often(0.7):
            row += f", manual: {self.time(30)}"
            if self.often(0.5):
                row += f", machine: {self.time(20)}, watched: {self.rng.choice([0, 40, 100])} %"
            if self.often(0.2):
                row += ", people: 2"
        else:
            row += f", machine: {self.time(45)}, people: 0"
        if self.often(self.lots):
            lot = int(self.rng.integers(1, 5))
            row += f", {self.lot(k, lot)}, set_up: {{time: {self.time(60)}, people: {int(self.people)}{self.pairs(k)}}}"
            if self.often(0.5):
                row += f", transfer_lot: {self.rng.integers(1, lot + 1)}"
        elif self.often(0.2) and self.kind in ("orders", "push"):
            row += f", transfer_lot: {self.rng.integers(2, 4)}"
        if self.often(0.3):
            row += f", scrap: {self.rng.uniform(1, 8):.1f} %"
        return row + self.again(k) + self.release(k)

    def lot(self, k: int, pieces: int) -> str:
        return f"lot: {pieces}"

    def element(self, what: str, way: str, mean: float) -> str:
        for_a = ", for: [A]" if self.products > 1 and way != "manual" and self.often(0.4) else ""
        watched = ", watched: 50 %" if way == "machine" and self.often(0.5) else ""
        return f"{{what: {what}, kind: needed, {way}: {self.time(mean)}{watched}{for_a}}}"

    def pairs(self, k: int) -> str:
        return (
            f", pairs: [{{from: A, to: B, time: {self.time(90)}}}]"
            if self.products > 1 and k != self.for_a and self.often(0.5)
            else ""
        )

    def again(self, k: int) -> str:
        share = f"share: {self.rng.uniform(2, 12):.1f} %"
        if self.goes_back and k > 0 and self.often(0.4):
            return f", rework: {{{share}, to: t0}}"
        if self.often(0.2):
            own = f", time: {self.time(40)}, people: {int(self.people)}" if self.often(0.5) else ""
            return f", rework: {{{share}{own}}}"
        return ""

    def release(self, k: int) -> str:
        if self.kind == "all cards" or (self.kind == "first cards" and k == 0):
            return f", release: {{by: cards, cards: {self.rng.integers(6, 9)}, per_card: {self.rng.integers(1, 3)}}}"
        if self.kind == "cap" and k == 0:
            return f", release: {{by: cap, limit: {self.rng.integers(12, 20)}, until: t{self.steps - 1}}}"
        if self.kind == "push" and k == 0:
            return f", release: {{by: push{', rate: 350 /d' if self.often(0.5) else ''}}}"
        if self.kind == "later cap" and k == 1:
            return f", release: {{by: cap, limit: {self.rng.integers(12, 20)}, until: t{self.rng.integers(1, self.steps)}}}"
        if self.kind == "later push" and k == self.steps - 1:
            return ", release: {by: push, rate: 380 /d}"
        return ", release: {by: order}" if self.kind == "later orders" and k == self.steps - 1 else ""

    def way(self, begin: str, end: str) -> str:
        far, batch = self.rng.uniform(5, 40), self.rng.integers(1, 3)
        return f"  - {{from: {begin}, to: {end}, distance: {far:.0f} m, speed: 1 m/s, handling: 5 s, batch: {batch}}}\n"

    def text(self) -> str:
        names = "ABC"[: self.products]
        spread = ("", ", cv: 0.5")
        products = ", ".join(
            f"{{name: {name}, demand: {{mean: {self.rng.uniform(250, 420) / len(names):.0f} /d{spread[int(self.often(0.5))]}}}}}" for name in names
        )  # fmt: skip
        stations, steps = self.stations(), "".join(f"  - {{{self.step(k)}}}\n" for k in range(self.steps))
        text = f"line: at random\ncalendar: {{shifts: [{{name: day, from: '06:00', to: '14:00'}}]}}\nproducts: [{products}]\n{stations}steps:\n{steps}"
        shared = (
            "also_at" in steps
            or "clock" in stations
            or any(f"name: t{k}, station: s{k}," not in steps for k in range(self.steps))
        )
        rooms = [
            f"  - {{before: t{k}, capacity: {max(self.rng.integers(0, 6), int(shared))}}}\n"
            for k in range(1, self.steps)
            if self.often(0.5)
        ]
        if self.kind == "push" and self.often(0.5):
            rooms.append(f"  - {{after: t{self.steps - 1}, capacity: {self.rng.integers(3, 9)}}}\n")
        if rooms:
            text += "stores:\n" + "".join(rooms)
        ways = [("t0", "t1"), (f"t{self.steps - 1}", "shipping")]
        carried = [self.way(*way) for way in ways if self.often(0.25) and (way[1] == "shipping" or self.for_a < 0)]
        if carried:
            text += "moves:\n" + "".join(carried)
        if self.people:
            skills = (
                (", skills: [" + ", ".join(f"t{k}" for k in range(0, self.steps, 2)) + "]") if self.often(0.5) else ""
            )
            text += f"people: [{{name: all, number: {self.rng.integers(2, 5)}}}, {{name: some, number: {self.rng.integers(1, 4)}{skills}}}]\n"
        return text


class _MakingApart(_Making):
    """The same with cards and lots of each product by itself."""

    def __init__(self, seed: int) -> None:
        super().__init__(seed)
        self.loops = ("nowhere", "first", "all", "all")[seed % 4]
        self.kind = ("orders", "first cards", "all cards", "cap", "push", "orders", "later cap", "later orders")[
            seed // 4 % 8
        ]
        self.lots = 0.5

    def through(self, k: int) -> str:
        return "A" if k == self.for_a else "ABC"[: self.products]

    def lot(self, k: int, pieces: int) -> str:
        if not self.often(0.8):
            return f"lot: {pieces}"
        return f"lots: [{', '.join(f'{{product: {one}, pieces: {pieces + int(self.rng.integers(0, 3))}}}' for one in self.through(k))}]"

    def release(self, k: int) -> str:
        if self.loops == "all" or (self.loops == "first" and k == 0):
            loops = []
            for one in self.through(k):
                cards, each = int(self.rng.integers(5, 9)), int(self.rng.integers(1, 4))
                loops.append(
                    f"{{product: {one}, cards: {max(cards, -(-8 // each) + 3)}, per_card: {each}, signal: {self.rng.integers(1, 4)}}}"
                )
            return f", release: {{by: cards, loops: [{', '.join(loops)}]}}"
        return super().release(k)


def line_apart_at_random(seed: int) -> str:
    """The text of such a line in which products have cards or lots of their own."""
    return _MakingApart(seed).text()


def line_at_random(seed: int) -> str:
    """The text of a line of two to five steps and one to three products."""
    return _Making(seed).text()
