"""One table of units."""

import pytest

from pullwright.figure import PER, UNITS, FigureError, Source, given, unit_named

PROMISED = [
    "s",
    "m",
    "m2",
    "kg",
    "um",
    "money",
    "1",
    "share",
    "pieces",
    "pieces/wd",
    "1/s",
    "pieces/h",
    "pieces/s",
    "money/s",
    "money/wd",
    "money/year",
    "money/piece",
    "person-s",
    "person-s/wd",
    "persons",
    "wd",
    "kg/wd",
    "containers",
    "cards",
    "s2",
    "money/h",
    "money/m2/month",
    "set-ups/wd",
    "pieces2",
    "looks",
]


TYPED = Source("line file", "x")


@pytest.mark.parametrize("key", PROMISED)
def test_every_unit_that_the_rooms_use_is_known(key):
    assert unit_named(key).key == key


@pytest.mark.parametrize("key", [*UNITS, *(f"money/{per}" for per in PER)])
def test_every_rung_is_printed_for_its_sizes(key):
    unit = unit_named(key)
    limits = [rung.below for rung in unit.rungs]
    assert limits == sorted(set(limits))
    assert limits[-1] == float("inf")
    for rung in unit.rungs:
        size = 0.5 * rung.below if rung.below < float("inf") else 1.0001 * (limits[-2] if len(limits) > 1 else 7)
        assert given("x", size, key, TYPED).parts("EUR").unit in (rung.text.replace("{money}", "EUR"), rung.one)


@pytest.mark.parametrize("key", ["pieces/wd/year", "kg/piece", "s/piece", "cards/container"])
def test_what_is_counted_per_something_needs_no_row_of_its_own(key):
    assert unit_named(key).rungs


@pytest.mark.parametrize("key", ["parsec", "pieces/fortnight", "wd/", "/wd", "Pieces", "s/s/x"])
def test_an_unknown_unit_is_refused_with_what_is_allowed(key):
    with pytest.raises(FigureError, match=r"there is no unit .*Allowed are 1, share, s.*one row in figure/units\.py"):
        unit_named(key)


@pytest.mark.parametrize(("slip", "meant"), [("min", "s"), ("%", "share"), ("EUR", "money"), ("days", "wd")])
def test_a_likely_slip_is_named(slip, meant):
    with pytest.raises(FigureError, match=f"did you mean '{meant}'"):
        unit_named(slip)
