"""What is assumed where a line file says nothing: one table, shown as "common practice" by every why that rests on it."""

from __future__ import annotations

from typing import Literal

AssumedKey = Literal[
    "manual cv",
    "machine cv",
    "walking cv",
    "repair cv",
    "set-up cv",
    "demand cv",
    "walking speed",
    "service",
    "value-adding",
]

ASSUMED: dict[AssumedKey, tuple[float, str, str, str]] = {
    "manual cv": (
        0.2,
        "1",
        "manual work varies by",
        "manual work varies by about a fifth from piece to piece; take readings to know better",
    ),
    "machine cv": (0.0, "1", "machine time varies by", "a machine repeats its cycle"),
    "walking cv": (0.2, "1", "walking varies by", "walking varies like manual work"),
    "repair cv": (
        1.0,
        "1",
        "repair times vary by",
        "repairs vary as much as their mean: many short ones, few long ones",
    ),
    "set-up cv": (0.3, "1", "set-up times vary by", "set-ups vary by about a third"),
    "demand cv": (1.0, "1", "time between two orders varies by", "orders come one at a time and independently"),
    "walking speed": (1.1, "m/s", "walking speed", "a person with a load walks about 4 km in an hour"),
    "value-adding": (
        0.0,
        "share",
        "value-adding share",
        "no work counts as value-adding until somebody has looked and said so",
    ),
    "service": (0.95, "share", "wished on-time share", "nineteen of twenty promises kept"),
}
"""key: value, unit, name, text of the source."""
