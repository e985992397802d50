"""How long does it take to read and check a line of 30 stations, beside loading the same YAML without any check?

A person would otherwise load the file with a YAML library, and check it against a JSON Schema. Neither says where a fault stands,
reads units or follows names. Measured too: a file with faults, a change of one field, and how long the import takes.
"""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from time import perf_counter

from bench.lines import line_text
from bench.timing import Row, row
from pullwright.line import Line, LineFileError
from pullwright.line.edit import set_field
from pullwright.line.schema import line_schema

STATIONS = 30
SEEDS = range(7)
ROUNDS = 5


def measure() -> list[Row]:
    """Time reading, checking, refusing, changing and importing; median, low and high over seeds and rounds."""
    from jsonschema import Draft202012Validator
    from ruamel.yaml import YAML

    texts = [line_text(STATIONS, seed) for seed in SEEDS]
    broken = [text.replace(" s", " sek") for text in texts]
    validator = Draft202012Validator(line_schema())

    def loaded(text: str) -> object:
        return YAML(typ="safe").load(text)

    def checked_by_schema(text: str) -> object:
        return validator.is_valid(json.loads(json.dumps(loaded(text), default=str)))

    acts: list[tuple[str, list[str], Callable[[str], object]]] = [
        (f"read and check a line of {STATIONS} stations", texts, Line.from_text),
        ("only load its YAML, nothing checked", texts, loaded),
        ("load its YAML and check it against the JSON Schema", texts, checked_by_schema),
        ("refuse it with a wrong unit in every time", broken, _refused),
        ("change one field of it", texts, lambda text: set_field(text, ("steps", 0, "lot"), 21)),
    ]
    times: dict[str, list[float]] = {what: [] for what, _, _ in acts}
    for _ in range(ROUNDS + 1):
        for what, those, act in acts:
            times[what] += [_milliseconds(act, text) for text in those]
    kept = {what: found[len(SEEDS) :] for what, found in times.items()}  # the first round warms up
    ours, bare, schema = (kept[what] for what, _, _ in acts[:3])
    return [
        *(row(what, found, "ms") for what, found in kept.items()),
        row("reading and checking / loading alone", [a / b for a, b in zip(ours, bare, strict=True)], "x"),
        row("reading and checking / loading and JSON Schema", [a / b for a, b in zip(ours, schema, strict=True)], "x"),
        row("import pullwright.line", _imported("pullwright.line"), "ms"),
        row("of that, import pydantic", _imported("pydantic"), "ms"),
        row("of that, import numpy", _imported("numpy"), "ms"),
    ]


def _milliseconds(act: Callable[[str], object], text: str) -> float:
    start = perf_counter()
    act(text)
    return (perf_counter() - start) * 1000


def _refused(text: str) -> None:
    try:
        Line.from_text(text)
    except LineFileError:
        return
    raise AssertionError("a broken line was read")


def _imported(name: str) -> list[float]:
    code = f"import time; a = time.perf_counter(); import {name}; print((time.perf_counter() - a) * 1000)"
    command = [sys.executable, "-c", code]
    return [float(subprocess.run(command, capture_output=True, text=True, check=True).stdout) for _ in range(ROUNDS)]
