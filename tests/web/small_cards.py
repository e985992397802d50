"""A small line with cards and a promise, in which a search for the fewest cards is over in moments."""

from __future__ import annotations

SEALS = """line: seals
invented: yes
calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
products: [{name: seal, demand: 30 /d, promise: 30 min, on_time: 90 %}]
stations: [{name: press}]
steps:
  - {name: form, station: press, machine: {mean: 10 min, distribution: exponential}, people: 0, release: {by: cards, cards: 8, per_card: 1}}
stores: [{after: form, counted: 8}]
"""
