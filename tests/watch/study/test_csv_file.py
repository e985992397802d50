"""A time study as CSV, in and out."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.watch.study.csv_file import read_csv, write_csv
from pullwright.watch.study.faults import StudyFileError
from pullwright.watch.study.file_report import text_of_bytes
from pullwright.watch.study.sheet import Allowance, StudySheet, TimedElement, TimedReading

words = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), max_size=8)
tricky = st.one_of(words, st.sampled_from(["=1+1", "-5", "@a", "'=x", "+", '"', "a,b", "a;b", "it's"]))
ratings = st.one_of(st.none(), st.floats(0.2, 2.0))


@st.composite
def sheets(draw: st.DrawFn) -> StudySheet:
    names = draw(
        st.lists(
            tricky.filter(bool).filter(lambda s: s.casefold() != "foreign"),
            min_size=1,
            max_size=4,
            unique_by=str.casefold,
        )
    )
    elements = tuple(
        TimedElement(
            name,
            draw(st.sampled_from(["manual", "machine", "walking"])),
            draw(st.sampled_from(["value", "motion"])),
            draw(st.integers(1, 30)),
            draw(tricky),
        )
        for name in names
    )
    readings = tuple(
        TimedReading(
            f"r{number}", number, draw(st.integers(-1, len(names) - 1)), draw(st.floats(1e-3, 1e5)), draw(ratings),
            draw(tricky), draw(tricky), draw(tricky), draw(tricky), draw(tricky),
        )
        for number in range(1, draw(st.integers(0, 5)) + 1)
    )  # fmt: skip
    allowances = tuple(
        Allowance(f"own {key}", share, "why") for key, share in enumerate(draw(st.lists(st.floats(0, 1), max_size=2)))
    )
    return StudySheet(
        draw(words.filter(bool)), elements, readings, of=draw(words), rating=draw(ratings) or 1.0, allowances=allowances
    )


@given(sheets())
@settings(max_examples=30)
def test_what_is_written_is_read_back_to_the_same(sheet: StudySheet) -> None:
    back = read_csv(write_csv(sheet))

    assert [replace(one, where=one.origin, origin="") for one in back.readings] == list(sheet.readings)
    assert replace(back, readings=()) == replace(sheet, readings=())


def test_no_cell_begins_like_a_formula() -> None:
    sheet = StudySheet(
        "T", (TimedElement("=load"),), (TimedReading("a", 1, 0, 2.0, note="@x", who="-y", aside="+z", when="\tq"),)
    )

    assert ",'=load," in write_csv(sheet).replace("\n1,", "\n,1,").replace("1,'", ",'")
    assert not any(
        cell[:1] in tuple("=+-@\t\r") for row in write_csv(sheet).splitlines() for cell in row.split(",") if cell
    )


@pytest.mark.parametrize(
    "text",
    [
        "cycle,load,hone\n1,44.5,90\n2,45,2 min\n",
        "cycle;load;hone\n1;44,5;1,5 min\n2;45;120\n",
        "sep=;\nload;hone\n44,5;90\n45;120 s\n",
        "load\thone\n44,5\t90\n45\t120\n",
        "element,seconds\nload,44.5\nhone,90\nload,45\nhone,120\n",
        "Element;Time\nload;44,5\nhone;90\nload;0,75 min\nhone;120\n",
        "\ufeffload,hone\r\n44.5,90\r\n45,120\r\n",
    ],
)
def test_usual_ways_to_write_a_study_are_read_alike(text: str) -> None:
    sheet = read_csv(text)

    assert [one.what for one in sheet.elements] == ["load", "hone"]
    assert [(one.cycle, one.element, one.seconds) for one in sheet.readings] == [
        (1, 0, 44.5),
        (1, 1, 90),
        (2, 0, 45),
        (2, 1, 120),
    ]


def test_a_table_may_say_what_its_elements_are_and_what_is_foreign() -> None:
    sheet = read_csv(
        "# study: T-9\ncycle,load,turn,foreign\nwork,manual,machine,\nkind,needed,value,\nevery,5,1,\n1,4*,60,\n2,,61,30\n"
    )

    assert [(one.work, one.kind, one.every) for one in sheet.elements] == [
        ("manual", "needed", 5),
        ("machine", "value", 1),
    ]
    assert [(one.element, one.aside) for one in sheet.readings] == [
        (0, "marked * in the file"),
        (1, ""),
        (1, ""),
        (-1, ""),
    ]


def test_numbers_alone_are_a_table_too() -> None:
    assert [one.what for one in read_csv("4,60\n5,61\n").elements] == ["element 1", "element 2"]


def test_every_fault_is_said_at_once_with_row_and_column() -> None:
    with pytest.raises(StudyFileError) as caught:
        read_csv(
            "# rating: 7\ncycle,element,seconds,kind\n1,load,4x,needed\nx,load,5,needed\n3,load,-2,\n4,load,6,value\n",
            "s.csv",
        )

    said = str(caught.value).splitlines()
    assert said[0] == "s.csv: 5 faults"
    assert [(one.row, one.column) for one in caught.value.faults] == [(1, 1), (3, 3), (4, 1), (5, 3), (6, 4)]
    assert "row 3, column 3 (seconds): 4x" in said[2]
    assert "a duration in s, ms, min or h" in said[2]


def test_a_comma_that_may_mean_thousands_is_not_guessed() -> None:
    with pytest.raises(StudyFileError, match=r"1,250.*has a comma|1,250 is no time"):
        read_csv('element,seconds\nload,"1,250"\n')


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "the file has no readings"),
        ("a\0b", "the file is no text"),
        ('load,"hone\n1,2\n', "is no CSV"),
        ("load,load\n1,2\n", "element load stands there twice"),
        ("# element: load\ncycle,element,seconds\n1,lod,4\n", "did you mean load?"),
        ("# colour: red\nload\n1\n", "colour is no key"),
        ("load,hone\n1,2,3\n", "3 stands beyond the heading"),
    ],
)
def test_what_is_no_study_is_told(text: str, said: str) -> None:
    with pytest.raises(StudyFileError) as caught:
        read_csv(text)

    assert said in str(caught.value)


@given(st.text(max_size=60))
@settings(max_examples=30)
def test_any_text_is_a_study_or_has_faults(text: str) -> None:
    try:
        sheet = read_csv(text)
    except StudyFileError as error:
        found = len(error.faults)
    else:
        found = len(sheet.elements)

    assert found


def test_files_of_usual_encodings_are_read() -> None:
    for way in ("utf-8", "utf-8-sig", "utf-16", "cp1252"):
        assert text_of_bytes("fügen;1,5".encode(way), "s.csv") == "fügen;1,5"
