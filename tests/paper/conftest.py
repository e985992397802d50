"""Sheets to read back, and lines that are hard to print."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from html import unescape
from pathlib import Path
from types import SimpleNamespace

import pytest

from pullwright.line import Line
from pullwright.survey import Survey, survey_of

DEMO = Path(__file__).parents[2] / "examples" / "hand_pump.yaml"
WHEN = datetime(2026, 3, 2, 9, 30)
TOOLS = ("pdfinfo", "pdftotext")
_WORD = re.compile(r'<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)</word>')


@dataclass(frozen=True)
class Word:
    """A word on paper and its box, in points from the upper left corner."""

    left: float
    top: float
    right: float
    bottom: float
    text: str

    def covers(self, other: Word) -> bool:
        """Do the two lie on each other, by more than faces of letters usually do?"""
        across = min(self.right, other.right) - max(self.left, other.left)
        down = min(self.bottom, other.bottom) - max(self.top, other.top)
        return across > 0.5 and down > 0.35 * min(self.bottom - self.top, other.bottom - other.top)


@dataclass(frozen=True)
class Paper:
    """A printed PDF, read back with the tools of poppler."""

    file: Path

    def _said(self, tool: str, *options: str) -> str:
        command = [tool, *options[:-1], str(self.file), *options[-1:]]
        return subprocess.run(command, capture_output=True, check=True).stdout.decode(
            "utf-8", errors="replace"
        )  # pdftotext writes letters beyond U+FFFF in halves

    @cached_property
    def facts(self) -> dict[str, str]:
        lines = subprocess.run(["pdfinfo", str(self.file)], capture_output=True, check=True).stdout.decode("utf-8")
        return {key.strip(): value.strip() for key, _, value in (line.partition(":") for line in lines.splitlines())}

    @property
    def pages(self) -> int:
        return int(self.facts["Pages"])

    @property
    def size(self) -> tuple[float, float]:
        wide, high = re.findall(r"[\d.]+", self.facts["Page size"])[:2]
        return float(wide), float(high)

    @cached_property
    def text(self) -> str:
        """All that is written, in the order in which it was set, without blanks: where lines break is no matter here."""
        return plain(self._said("pdftotext", "-raw", "-"))

    def says(self, words: str) -> bool:
        return plain(words) in self.text

    def begins_with(self, words: str) -> bool:
        return self.text.startswith(plain(words))

    @cached_property
    def words(self) -> list[Word]:
        found = _WORD.findall(self._said("pdftotext", "-bbox", "-"))
        return [Word(*(float(edge) for edge in edges), unescape(text)) for *edges, text in found]  # type: ignore[call-arg]

    def overlapping(self) -> list[tuple[str, str]]:
        ordered = sorted(self.words, key=lambda word: word.top)
        found = []
        for place, one in enumerate(ordered):
            for other in ordered[place + 1 :]:
                if other.top > one.bottom:
                    break
                if one.covers(other):
                    found.append((one.text, other.text))
        return found


def plain(text: str) -> str:
    """Without blanks and without marks that cannot be seen."""
    return "".join(letter for letter in text if not letter.isspace() and unicodedata.category(letter) != "Cf")


@pytest.fixture(scope="session")
def read_back(tmp_path_factory: pytest.TempPathFactory) -> Callable[[bytes], Paper]:
    missing = [tool for tool in TOOLS if shutil.which(tool) is None]
    if missing:
        said = f"{' and '.join(missing)} of poppler-utils are not on this machine: apt-get install poppler-utils"
        if os.environ.get("CI") == "true":
            pytest.fail(said)
        pytest.skip(said)
    folder = tmp_path_factory.mktemp("paper")

    def read(pdf: bytes) -> Paper:
        file = folder / f"{len(list(folder.iterdir()))}.pdf"
        file.write_bytes(pdf)
        return Paper(file)

    return read


def line_text(
    stations: int,
    *,
    demand: float = 20,
    name: str = "made-up line",
    called: str = "",
    pile: int = 0,
    joining: int = 0,
    people: bool = True,
) -> str:
    """A line file: stations one after another, flows of one station that join at the last, and a pile before the second."""
    steps = [f"step {number}{called}" for number in range(1, stations + 1)]
    subs = [f"make {number}" for number in range(1, joining + 1)]
    lines = [f"line: {quoted(name)}", "invented: yes", "calendar:", "  shifts:"]
    lines += ['    - {name: day, from: "06:00", to: "14:00"}']
    lines += ["products:", f"  - {{name: P, demand: {demand} /d, price: 300 EUR}}", "stations:"]
    lines += [f"  - {{name: {quoted(f'station {number}{called}')}}}" for number in range(1, stations + 1)]
    lines += [f"  - {{name: bench {number}}}" for number in range(1, joining + 1)]
    lines += ["steps:"]
    lines += [
        f"  - {{name: {sub}, station: bench {number}, after: [], manual: 300 s, value_adding: 70 %}}"
        for number, sub in enumerate(subs, 1)
    ]
    for place, step in enumerate(steps):
        after = ([quoted(steps[place - 1])] if place else []) + (subs if place == stations - 1 else [])
        station, seconds, share = quoted(f"station {place + 1}{called}"), 400 + place * 137 % 500, 50 + place % 40
        lines += [
            f"  - {{name: {quoted(step)}, station: {station}, manual: {seconds} s, value_adding: {share} %, after: [{', '.join(after)}]}}"
        ]
    if stations > 1:
        lines += ["stores:"]
        for place in range(1, stations):
            counted = pile if pile and place == 1 else 5 + place * 3 % 17
            lines += [f"  - {{before: {quoted(steps[place])}, counted: {counted}, capacity: 30}}"]
    if people:
        lines += ["people:", f"  - {{name: all, number: {2 * (stations + joining)}, wage: 25 EUR/h}}"]
    return "\n".join(lines) + "\n"


def quoted(text: str) -> str:
    """As YAML reads it: nothing in single quotes means anything but the quote itself."""
    return "'" + text.replace("'", "''") + "'"


@pytest.fixture(scope="session")
def lines() -> SimpleNamespace:
    def surveyed(text: str, file: str = "made_up.yaml") -> Survey:
        return survey_of(Line.from_text(text, name=file))

    return SimpleNamespace(text=line_text, surveyed=surveyed, when=WHEN)


@pytest.fixture(scope="session")
def demo() -> Survey:
    return survey_of(Line.read(DEMO))
