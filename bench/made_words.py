"""Words and numbers of made-up lines: names, times as a person may know them, shares, dates."""

from __future__ import annotations

import datetime as dt
from random import Random
from typing import Any

DOING = ("saw", "turn", "mill", "drill", "grind", "hone", "bend", "weld", "press", "wash", "paint", "glue", "fit", "test", "wrap", "pack")  # fmt: skip
THINGS = ("tube", "shaft", "plate", "frame", "lever", "cover", "housing", "spring", "seal", "bolt", "carton", "foot", "wheel", "pin")  # fmt: skip
ODD = ("no. 3, left", "yes", "007", "null", "1e3", "hall 2: north", "3.20", "# 5", "Lötplatz", "2026-01-01")
"""Names that YAML would take for something else; they have to stand in quotes, or be read with care."""


class Words:
    """Draws words and numbers from one source of chance."""

    def __init__(self, rng: Random) -> None:
        self.rng = rng
        self.used: set[str] = set()
        self.studies: list[dict[str, Any]] = []

    def name(self, word: str) -> str:
        """A name that stands once; now and then one that YAML would take for something else."""
        if self.rng.random() < 0.04:
            word = self.rng.choice(ODD)
        while word in self.used:
            word = f"{word.rstrip('0123456789 ')} {self.rng.randint(2, 9999)}"
        self.used.add(word)
        return word

    def chance(self, share: float) -> bool:
        return self.rng.random() < share

    def seconds(self, value: float) -> str:
        digits = f"{value / 60:.3g} min" if self.chance(0.2) and value > 90 else f"{max(value, 0.1):.3g} s"
        return digits.replace("e+02", "00") if "e+" not in digits else f"{round(value)} s"

    def time(self, mean: float, of: str) -> Any:
        """A time as a person may know it: plain, with its variation, judged, read, or studied."""
        kind = self.rng.random()
        if kind < 0.45:
            return self.seconds(mean)
        if kind < 0.65:
            varied: dict[str, Any] = {"mean": self.seconds(mean), "cv": round(self.rng.uniform(0.05, 0.9), 2)}
            if self.chance(0.3):
                varied["distribution"] = self.rng.choice(("lognormal", "gamma", "weibull"))
            return varied
        if kind < 0.8:
            return {"low": f"{0.8 * mean:.1f} s", "likely": f"{mean:.1f} s", "high": f"{1.3 * mean:.1f} s"}
        readings = [f"{mean * self.rng.gammavariate(25, 1 / 25):.1f} s" for _ in range(self.rng.randint(3, 12))]
        if kind < 0.9:
            return {"readings": readings}
        name = f"T-{len(self.studies) + 1:03d}"
        self.studies.append({"name": name, "of": of, "on": self.date(), "who": "line lead", "readings": readings})
        return {"study": name}

    def share(self, value: float) -> Any:
        if self.chance(0.3):
            of = self.rng.randint(200, 900)
            return {"count": max(1, round(value * of)), "of": of}
        return f"{100 * value:.2g} %" if self.chance(0.7) else round(value, 4)

    def date(self) -> str:
        return (dt.date(2026, 1, 5) + dt.timedelta(days=self.rng.randint(0, 200))).isoformat()
