"""A study's result as plain values for JSON, for programs and for screens."""

from __future__ import annotations

from dataclasses import asdict
from math import isfinite
from typing import Any

from pullwright.figure import Figure
from pullwright.figure.as_plain import as_plain
from pullwright.watch.study.element_result import ElementResult, Timing
from pullwright.watch.study.result import StudyResult


def study_as_plain(result: StudyResult) -> dict[str, Any]:
    """Everything that the study says, as tables, lists, texts and numbers that JSON can hold; numbers without end are null.

    >>> from pullwright.watch.study.csv_file import read_csv
    >>> from pullwright.watch.study.result import study_result
    >>> plain = study_as_plain(study_result(read_csv("load,hone\\n10,60\\n11,60\\n9,63\\n10,61\\n", "T-1.csv")))
    >>> plain["study"], plain["elements"][1]["figures"][0]["text"]
    ('T-1', '61.0 s (59.3 to 62.7)')
    """
    sheet = result.sheet
    return {
        "study": sheet.name,
        "of": sheet.of,
        "found": result.found,
        "sentences": list(result.sentences),
        "cycle": {
            "figures": [as_plain(one) for one in result.cycle.figures],
            "missing": list(result.cycle.missing),
            **_timing(result.cycle.timing),
        },
        "elements": [_element(one) for one in result.elements],
        "account": [
            {
                "kind": row.kind,
                "words": row.words,
                "amount": as_plain(row.amount),
                "share": as_plain(row.share),
                "elements": list(row.elements),
            }
            for row in result.account
        ],
        "allowances": [asdict(one) for one in sheet.allowances],
        "foreign": [asdict(one) for one in result.foreign],
        "foreign_share": _figure(result.foreign_share),
        "set_aside": [asdict(one) for one in result.aside],
        "set_aside_share": _figure(result.aside_share),
    }


def _figure(one: Figure | None) -> dict[str, Any] | None:
    return as_plain(one) if one is not None else None


def _finite(table: dict[str, Any]) -> dict[str, Any]:
    return {key: None if isinstance(value, float) and not isfinite(value) else value for key, value in table.items()}


def _timing(timing: Timing) -> dict[str, Any]:
    drift, learning, shape = timing.drift, timing.learning, timing.shape
    return {
        "enough": _finite(asdict(timing.enough)) if timing.enough else None,
        "drift": asdict(drift) if drift else None,
        "learning": _finite(asdict(learning)) if learning else None,
        "spread": _finite(asdict(timing.spread)) if timing.spread else None,
        "shape": None
        if shape is None
        else {"sentence": shape.sentence, "distribution": shape.for_line[0], "cv": shape.for_line[1]},
    }


def _element(one: ElementResult) -> dict[str, Any]:
    return {
        **asdict(one.element),
        "figures": [as_plain(figure) for figure in one.figures],
        "counted": len(one.counted),
        "set_aside": len(one.aside),
        "proposals": [{"uid": odd.reading.uid, "rules": list(odd.rules), "why": odd.why} for odd in one.proposals],
        **_timing(one.timing),
    }
