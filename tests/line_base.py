"""The smallest line that several tests change in one place."""

from __future__ import annotations

BASE = """\
line: small
calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
products: [{name: pump, demand: 20 /d}]
stations: [{name: bench}]
steps: [{name: fit, station: bench, manual: 60 s}]
"""
