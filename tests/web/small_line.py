"""A small line of three steps, quick to work out, with something uncertain, something counted and something out of place."""

from __future__ import annotations

VALVES = """# Invented, for tests.
line: Valve line
invented: yes
currency: EUR
calendar:
  shifts:
    - {name: day, from: "06:00", to: "14:30", breaks: [{name: lunch, from: "12:00", to: "12:30", paid: no}]}
products:
  - {name: valve, demand: {mean: 40 /d, cv: 0.3}, price: 90 EUR, uses: [{part: body, quantity: 1, at: saw}]}
parts:
  - {name: body, price: 11 EUR, delivery_lot: 400}
stations:
  - {name: bench saw, floor: 4 m2}
  - {name: hone 1, floor: 6 m2}
  - {name: table, floor: 3 m2}
steps:
  - name: saw
    station: bench saw
    manual: {low: 200 s, likely: 240 s, high: 330 s}
    value_adding: 60 %
  - name: hone   # the slow one
    station: hone 1
    machine: {study: T-1}
    manual: 40 s
    value_adding: 90 %
    scrap: {count: 4, of: 180}
  - name: pack
    station: table
    manual: 150 s
    value_adding: 50 %
stores:
  - {part: body, counted: 300, capacity: 200}
  - {before: hone, counted: 160}
people:
  - {name: crew, number: 2, wage: 25 EUR/h}
floor: {total: 40 m2}
studies:
  - {name: T-1, of: honing, on: 2026-03-11, who: line lead, readings: [431 s, 440 s, 452 s, 428 s, 470 s, 436 s]}
"""
ODD_NAMES = (
    VALVES.replace("- name: hone ", "- name: \"hone 'A' <b>&é泵/../? #1%\" ")
    .replace("before: hone,", "before: \"hone 'A' <b>&é泵/../? #1%\",")
    .replace("name: crew", 'name: "\\"</script><script>alert(1)</script>"')
    .replace("name: valve", 'name: "\'; DROP TABLE lines; --"')
)
TOO_MUCH = VALVES.replace("mean: 40 /d", "mean: 400 /d")
"""A line that cannot make what customers pull; a finding, not a fault."""
FAULTY = VALVES.replace("scrap: {count: 4, of: 180}", "scrap: 98.5").replace("station: table", "station: tabel")
"""Two faults, in lines 26 and 28."""
