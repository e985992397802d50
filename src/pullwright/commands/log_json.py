"""A story as plain values for JSON: what a log was understood as, what is odd, every chapter with its numbers."""

from __future__ import annotations

import dataclasses
import datetime as dt
import math
from collections.abc import Mapping
from typing import Any


def plain(value: Any) -> Any:
    """Any value of a story as JSON holds it: what is unknown is null, a table is a list of rows, a moment is its ISO text.

    >>> plain({"a": float("nan"), "b": (dt.date(2026, 1, 5), 2)})
    {'a': None, 'b': ['2026-01-05', 2]}
    """
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if value is None or isinstance(value, str | bool | int):
        return value
    if isinstance(value, dt.datetime | dt.date | dt.time):
        return value.isoformat()
    if isinstance(value, dt.timedelta):
        return value.total_seconds()
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {one.name: plain(getattr(value, one.name)) for one in dataclasses.fields(value)}
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, tuple | list):
        return [plain(item) for item in value]
    if isinstance(value, set | frozenset):
        return sorted(map(plain, value), key=str)
    if hasattr(value, "to_dicts"):
        return [plain(row) for row in value.to_dicts()]
    if hasattr(value, "tolist"):
        return plain(value.tolist())
    return str(value)
