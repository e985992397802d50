"""What a person reads after a slip: what was read, what is allowed, what was probably meant, and where."""

from __future__ import annotations

import pickle
import re
from typing import Any

import pytest

from pullwright.line import Fault, Line, LineFileError
from pullwright.line.currency import MONEY_FIELDS
from pullwright.line.edit import add_item, remove_field, set_field
from pullwright.line.faults import Path, likely_slip, nearest, path_words, shown
from pullwright.line.fields import mappings, rows

BASE = """\
line: small
calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
products:
  - name: pump
    demand: 20 /d
    price: 186 EUR
stations: [{name: bench}]
steps:
  - name: fit
    station: bench
    manual: 60 s
    scrap: 1 %
  - {name: test, station: bench, manual: 30 s}
"""


def said(text: str) -> list[str]:
    with pytest.raises(LineFileError) as caught:
        Line.from_text(text, name="line.yaml")
    return [str(fault) for fault in caught.value.faults]


MESSAGES: dict[str, tuple[Path, Any, str]] = {
    "a share above one": (
        ("steps", 0, "scrap"), "98.5",
        "line 12, column 5: steps[1].scrap: 98.5 is a share above 1: did you mean 0.985 or 98.5 %? (allowed: a share as a plain number or in %, such as 85 %, from 0 to 1, or 0 % to 100 %)",
    ),
    "a time without a unit": (
        ("steps", 0, "manual"), "45",
        "line 11, column 5: steps[1].manual: 45 has no unit: did you mean 45 s or 45 min? (allowed: a duration in s, ms, min or h, such as 45 s, from 0 to 10 years)",
    ),
    "a money of another land": (
        ("money", "cash"), "5 CHF",
        "line 14, column 9: money.cash: 5 CHF is in CHF, and this line counts in EUR: change it into EUR at the rate that you reckon with (allowed: a sum of money, owed or owned in EUR, such as -2500 EUR, from -1e12 to 1e12 EUR)",
    ),
    "a clock with a point": (("calendar", "shifts", 0, "from"), "6.30", "line 2, column 33: calendar.shifts[1].from: read '6.30'; allowed: a clock time from 00:00 to 24:00, such as 06:30 (did you mean \"06:30\"?)"),
    "a clock in the afternoon": (("calendar", "shifts", 0, "to"), "2 pm", "line 2, column 48: calendar.shifts[1].to: read '2 pm'; allowed: a clock time from 00:00 to 24:00, such as 06:30 (did you mean \"14:00\"?)"),
    "a date the other way round": (
        ("calendar", "days_off"), ["24.12.2026"],
        "line 2, column 74: calendar.days_off[1]: read '24.12.2026'; allowed: a date as YYYY-MM-DD, such as 2026-12-24, in the years 1900 to 2200 (did you mean 2026-12-24?)",
    ),
    "a date with two readings": (
        ("calendar", "days_off"), ["05/04/2026"],
        "line 2, column 74: calendar.days_off[1]: read '05/04/2026'; allowed: a date as YYYY-MM-DD, such as 2026-12-24, in the years 1900 to 2200 (did you mean 2026-04-05 or 2026-05-04?)",
    ),
    "a day that is none": (
        ("calendar", "days_off"), ["2026-02-30"],
        "line 2, column 74: calendar.days_off[1]: read '2026-02-30'; allowed: a date as YYYY-MM-DD, such as 2026-12-24, in the years 1900 to 2200 (there is no such day)",
    ),
    "a weekday mistyped": (("calendar", "days"), ["mon", "wedensday"], "line 2, column 75: calendar.days[2]: read 'wedensday'; allowed: mon, tue, wed, thu, fri, sat, sun (did you mean wednesday?)"),
    "a currency in small letters": (("currency",), "eur", "line 14, column 1: currency: read 'eur'; allowed: three capital letters, such as EUR (ISO 4217) (did you mean EUR?)"),
    "a count with a unit": (("steps", 0, "lot"), "28 pieces", "line 13, column 5: steps[1].lot: read '28 pieces'; allowed: a whole number from 1 to 10,000,000 (did you mean 28?)"),
    "a lot beyond reason": (("steps", 0, "lot"), 10**9, "line 13, column 5: steps[1].lot: read '1000000000'; allowed: a whole number from 1 to 10,000,000"),
    "a word that is none of the few": (
        ("steps", 0, "release"), {"by": "card"},
        "line 13, column 15: steps[1].release.by: read 'card'; allowed: push, cards, cap, order (did you mean cards?)",
    ),
    "a list that is none": (("steps", 1, "after"), "fit", "line 13, column 48: steps[2].after: 'fit' was read; a list is wanted (put `- ` before each entry, or brackets round them)"),
    "a mapping that is none": (("steps", 0, "set_up"), "12 min", "line 13, column 5: steps[1].set_up: '12 min' was read; fields are wanted: time, people, pairs (write `name: value` lines below it)"),
    "curved quotes": (("calendar", "shifts", 0, "from"), "“06:00”", "line 2, column 33: calendar.shifts[1].from: read '“06:00”'; allowed: a clock time from 00:00 to 24:00, such as 06:30 (put straight quotes (\") instead of the curved ones, or none)"),
    "a name in curved quotes": (("stations", 0, "name"), "“bench”", "line 7, column 13: stations[1].name: the name “bench” stands in curved quotes; allowed: straight quotes (\") or none"),
    "a long name": (("line",), "x" * 81, "line 1, column 1: line: a name of 81 characters was read; allowed: 1 to 80 printable ones"),
    "a name that cannot be seen": (("line",), "a\u202eb", "line 1, column 1: line: the name holds the character U+202E, which cannot be seen; allowed: printable ones"),
    "a judgement upside down": (
        ("steps", 0, "manual"), {"low": "60 s", "likely": "45 s", "high": "40 s"},
        "line 11, column 14: steps[1].manual.low: low, likely, high read 60 s, 45 s, 40 s: they must not fall (are two of them swapped?)",
    ),
    "half a judgement": (("steps", 0, "manual"), {"low": "60 s", "high": "90 s"}, "line 11, column 5: steps[1].manual: 'likely' is missing; a judgement gives low, likely and high"),
    "a value in two ways": (
        ("steps", 0, "manual"), {"mean": "60 s", "readings": ["60 s"]},
        "line 11, column 5: steps[1].manual: this gives its value in more than one way; allowed: one of: low, likely, high; readings; study; mean",
    ),
    "variation without a value": (("steps", 0, "manual"), {"cv": 0.2}, "line 11, column 5: steps[1].manual: this gives no value; allowed: one of: low, likely, high; readings; study; mean"),
    "a count upside down": (
        ("steps", 0, "scrap"), {"count": 310, "of": 4},
        "line 12, column 13: steps[1].scrap.count: read 310 of 4: allowed is count ≤ of, and of at least 1 (are count and of swapped?)",
    ),
    "a cv that does not go with its shape": (
        ("steps", 0, "manual"), {"mean": "60 s", "cv": 0.2, "distribution": "exponential"},
        "line 11, column 35: steps[1].manual.distribution: the cv of the exponential distribution is 1; leave cv out",
    ),
    "a shape without its cv": (("steps", 0, "manual"), {"mean": "60 s", "distribution": "gamma"}, "line 11, column 26: steps[1].manual.distribution: the gamma distribution needs a cv"),
    "a shape of nothing read": (("steps", 0, "manual"), {"mean": "60 s", "distribution": "empirical"}, "line 11, column 26: steps[1].manual.distribution: the empirical distribution needs readings or a study"),
    "variation of what does not vary": (("products", 0, "price"), {"mean": "6 EUR", "cv": 0.2}, "line 6, column 26: products[1].price.cv: this value does not vary from piece to piece, so that it has no cv"),
    "a count of what is no share": (("steps", 0, "manual"), {"count": 3, "of": 20}, "line 11, column 14: steps[1].manual.count: only a share can be given as a count of so many"),
    "a part of a quantity mistyped": (
        ("steps", 0, "manual"), {"men": "60 s", "cv": 0.2},
        "line 11, column 14: steps[1].manual.men: 'men' is not a part of a quantity; allowed: mean, cv, distribution, low, likely, high, readings, study, from (did you mean mean?)",
    ),
    "an unknown field": (
        ("steps", 0, "setup"), {"time": "9 s"},
        "line 13, column 5: steps[1].setup: 'setup' is no field here; allowed: name, what, station, also_at, after, for, elements, manual, machine, walking, watched, value_adding, rest, because, people, set_up, lot, lots, transfer_lot, first_pass_yield, scrap, rework, asked, release (did you mean set_up?)",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", MESSAGES)
def test_a_slip_is_answered_in_one_sentence(case: str) -> None:
    path, value, message = MESSAGES[case]
    assert said(set_field(BASE, path, value)) == [message]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (remove_field(BASE, ("steps", 0, "name")), "line 9, column 5: steps[1].name: name is missing"),
        (BASE.replace("    manual: 60 s\n", "    manual:\n"), "line 11, column 5: steps[1].manual: nothing is written after manual: (give a value, or leave the field out)"),
        (BASE.replace("scrap: 1 %", "scrap: "), "line 12, column 5: steps[1].scrap: nothing is written after scrap: (give a value, or leave the field out)"),
        (BASE.replace("[{name: bench}]", "[{name: bench}, ~]"), "line 7, column 27: stations[2]: nothing is written here (give a value, or leave the field out)"),
        (BASE.replace("[{name: bench}]", "[]"), "line 7, column 1: stations: stations is an empty list; at least one entry is needed"),
        (BASE.replace("{name: bench}", "{name: bench, floor: 4,5 m2}"), "line 7, column 26: stations[1].floor: 4,5 m2 has a comma in the number (did you mean 4.5 m2?)"),
        (BASE.replace("name: pump", "name: true"), "line 4, column 5: products[1].name: read 'yes'; allowed: a name of 1 to 80 printable characters (put quotes round a name that is true or false)"),
        (BASE.replace("EUR", "CHF"), "line 1, column 1: currency: the line counts in EUR where nothing is said, and every amount is in CHF (write `currency: CHF`)"),
        (BASE.replace("EUR", "CHF") + "currency: USD\n", "line 14, column 1: currency: the line counts in USD, and every amount is in CHF (write `currency: CHF`)"),
    ],
)  # fmt: skip
def test_a_slip_in_the_text_is_answered_in_one_sentence(text: str, message: str) -> None:
    assert said(text) == [message]


def test_only_amounts_of_money_say_in_what_a_line_counts() -> None:
    assert said(BASE.replace("    price: 186 EUR\n", "    what: 20 PCS\n").replace("20 /d", "20 PCS/d")) == [
        "line 5, column 5: products[1].demand: 20 PCS/d is not a demand (allowed: a demand in /d, /week, /month or /year,"
        " such as 18 /d, from 0 to 10 million in any of these times)"
    ]
    in_money = {
        row.name for model in mappings() for row in rows(model) if re.search(r"^\[(an amount|a sum|a rent)", row.may_be)
    }
    assert in_money == set(MONEY_FIELDS)


def test_all_slips_of_a_file_are_said_at_once_in_the_order_of_the_file() -> None:
    text = set_field(BASE, ("products", 0, "demand"), "20")
    text = set_field(text, ("steps", 1, "station"), "bank")
    text = set_field(text, ("steps", 0, "scrap"), "98.5")
    text = add_item(text, ("stations",), {"name": "saw", "flor": "6 m2"})
    with pytest.raises(LineFileError) as caught:
        Line.from_text(text, name="line.yaml")
    assert [(fault.line, fault.field) for fault in caught.value.faults] == [
        (5, "products[1].demand"),
        (7, "stations[2].flor"),
        (12, "steps[1].scrap"),
        (13, "steps[2].station"),
    ]
    assert str(caught.value).startswith("line.yaml: 4 faults\n  line 5, column 5: products[1].demand: 20 ")


def test_a_slip_in_a_repeated_value_is_said_once() -> None:
    text = BASE.replace("    scrap: 1 %\n", "    scrap: &little 98.5\n    rework: {share: *little}\n")
    text = text.replace("30 s}", "30 s, scrap: *little}")
    (only,) = said(text)
    assert only.startswith("line 12, column 12: steps[1].rework.share: 98.5 is a share above 1")


def test_faults_are_plain_values_for_json() -> None:
    with pytest.raises(LineFileError) as caught:
        Line.from_text(set_field(BASE, ("steps", 0, "scrap"), "98.5"))
    (fault,) = caught.value.faults
    assert fault.as_dict() == {
        "line": 12,
        "column": 5,
        "field": "steps[1].scrap",
        "read": "98.5",
        "allowed": "a share as a plain number or in %, such as 85 %, from 0 to 1, or 0 % to 100 %",
        "hint": "did you mean 0.985 or 98.5 %?",
        "message": fault.message,
    }


def test_the_error_crosses_to_another_process_whole() -> None:
    error = LineFileError("line.yaml", [Fault(3, 1, "steps", "x", "a list")])
    again = pickle.loads(pickle.dumps(error))  # noqa: S301 - our own bytes
    assert (str(again), again.faults) == (str(error), error.faults)


def test_words_of_messages_are_short_and_can_be_seen() -> None:
    assert shown("x" * 500) == "x" * 59 + "…"
    assert shown({"a": 1, "b": 2}) == "{a: …, b: …}"
    assert shown("a\x00\u202eb") == "a\\x00\\u202eb"
    assert path_words(("a b", 0, "")) == "a b[1].''"
    assert path_words(("x" * 500,)) == "x" * 39 + "…"


@pytest.mark.parametrize(
    ("read", "allowed", "meant"),
    [
        ("Saw", ["saw", "lathe"], "saw"),
        ("setup", ["set_up", "scrap"], "set_up"),
        ("zzz", ["saw", "lathe"], ""),
        ("", ["saw"], ""),
        ("saw", [], ""),
        ("s" * 5_000, ["saw"], ""),
    ],
)
def test_the_nearest_word_is_the_likely_slip(read: str, allowed: list[str], meant: str) -> None:
    assert nearest(read, allowed) == meant
    assert likely_slip(read, allowed) == (f"did you mean {meant}?" if meant else "")
