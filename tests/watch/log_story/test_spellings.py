"""Names that mean the same are taken for one; numbers never are, and people only by case and blanks."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.watch.log.spellings import merges_of, spellings


@pytest.mark.parametrize(
    ("common", "rare"),
    [
        ("Lathe 1", "LATHE 1"),
        ("Lathe 1", "  lathe   1"),
        ("Lathe 1", "Lathe-1"),
        ("Lathe 1", "Lathe 01"),
        ("Säge", "Sage"),
        ("assemble", "asemble"),
        ("assemble", "assembles"),
        ("assemble", "assambly"[:-1] + "e"),
        ("assemble", "assmeble"),
    ],
)
def test_two_spellings_of_one_name(common: str, rare: str) -> None:
    (found,) = spellings("activity", {common: 40, rare: 2})

    assert (found.name, found.others) == (common, (rare,))
    assert merges_of([found]) == {"activity": {rare: common}}


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Machine 4", "Machine 7"),
        ("Machine 1", "Machine 11"),
        ("Turning - Machine 4", "Turning - Machine 14"),
        ("Machine 1 12", "Machine 11 2"),
        ("P-32", "P-23"),
        ("saw", "sew"),
        ("turn ends", "hone bore"),
    ],
)
def test_two_names_stay_two(one: str, other: str) -> None:
    assert spellings("station", {one: 400, other: 2}) == ()


def test_two_common_names_one_letter_apart_stay_two() -> None:
    assert spellings("activity", {"grinding": 40, "grindings": 30}) == ()


def test_people_are_one_by_case_and_blanks_only() -> None:
    assert spellings("person", {"Worker A": 40, "worker  a": 2})[0].others == ("worker  a",)
    assert spellings("person", {"Marten": 400, "Martin": 2}) == ()


@settings(max_examples=25, deadline=None)
@given(st.dictionaries(st.text("ab Machine0147-é", min_size=1, max_size=12), st.integers(1, 500), max_size=12))
def test_every_name_is_taken_for_one_name_at_most(counts: dict[str, int]) -> None:
    merges = merges_of(spellings("station", counts)).get("station", {})

    assert set(merges) <= set(counts)
    assert not set(merges) & set(merges.values())
    for spelling, name in merges.items():
        digits = ["".join(filter(str.isdigit, part)).lstrip("0") for part in (spelling, name)]
        assert digits[0] == digits[1] or "0" in spelling + name
