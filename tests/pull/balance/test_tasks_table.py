"""A table of tasks as people keep it: headings in their words, times with or without a unit, every fault with its line."""

from __future__ import annotations

from pathlib import Path

import pytest

from pullwright.pull.balance.tasks_table import TasksFileError, read_tasks

EXAMPLE = Path(__file__).parents[3] / "examples" / "assembly_tasks.csv"


def faults(text: str) -> list[str]:
    with pytest.raises(TasksFileError) as error:
        read_tasks(text, "tasks.csv")
    return [str(one) for one in error.value.faults]


def test_columns_come_in_any_order_under_the_words_that_people_use():
    tasks = read_tasks("Predecessors;Seconds;Name;SD;X;Y\n;20;cut;2;0;1,5\ncut;0,5 min;glue;;200 cm;3\n")
    cut, glue = tasks.work.elements
    assert (cut.time, cut.deviation, cut.place) == (20.0, 2.0, (0.0, 1.5))
    assert (glue.time, glue.after, glue.place) == (30.0, ("cut",), (2.0, 3.0))


def test_wishes_stand_in_columns():
    text = "task,time,after,skill,zone,together,apart,left of,post,cv\na,10,,weld,left,b; c,,,2,10 %\nb,10,,,right,,c,,,\nc,10,,,,,,a,,0.2\n"
    tasks = read_tasks(text)
    has = tasks.conditions
    assert has.together == (("a", "b"), ("a", "c"))
    assert has.apart == (("b", "c"),)
    assert has.left_of == (("c", "a"),)
    assert has.fixed == (("a", 2),)
    assert has.zones == (("left", ("a",)), ("right", ("b",)))
    assert [element.deviation for element in tasks.work.elements] == [1.0, 0.0, 2.0]
    assert tasks.work.elements[0].skill == "weld"


def test_a_wish_that_both_tasks_name_counts_once():
    assert read_tasks("task,time,apart\na,1,b\nb,1,a\n").conditions.apart == (("a", "b"),)


def test_all_faults_are_said_at_once_each_with_its_line():
    text = "# a remark\ntask,time,after,post,x,y\ncut,soon,,,,\n\ncut,10,glu,0,1,\n,5,,,,\nglue,,glue,,,\n"
    said = faults(text)
    assert [one.split(",")[0] for one in said] == [
        "line 3",
        "line 5",
        "line 5",
        "line 5",
        "line 5",
        "line 6",
        "line 7",
        "line 7",
    ]
    assert "soon" in said[0]
    assert any("is a task already, in line 3" in one for one in said)
    assert any("did you mean glue?" in one for one in said)
    assert any("y is missing" in one for one in said)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "nothing"),
        ("task,time\n", "one row a task"),
        ("task,tme\na,1\n", "did you mean time?"),
        ("task,after\na,\n", "there is no column time"),
        ("task,time,seconds\na,1,1\n", "both mean time"),
        ("task,time,deviation,cv\na,1,1,10 %\n", "leave one of them out"),
        ("task,time,after\na,1,b\nb,1,a\n", "wait for one another"),
        ('task,time\n"a,1\n', "closed quotes"),
        ("task,time\na;b,1\n", "which parts names"),
        ("task,time\na,1,2,3\n", "as in the heading"),
        ("task,time\na,-1\n", "from 0"),
        ("task,time\na,1 d\n", "working day"),
    ],
)
def test_a_fault_says_what_was_read_and_what_is_allowed(text, said):
    assert any(said in one for one in faults(text)), faults(text)


def test_each_time_knows_its_line():
    source = read_tasks("task,time\na,1\n# remark\nb,2\n", "tasks.csv").times["b"].source
    assert source is not None
    assert source.place == "tasks.csv:4"


def test_the_example_is_marked_as_invented_and_reads():
    text = EXAMPLE.read_text("utf-8")
    assert text.startswith("# Invented data")
    assert read_tasks(text).work.total == 1030.0


@pytest.mark.parametrize(
    ("heading", "said"),
    [
        ("tmie", "did you mean time?"),
        ("predcessors", "did you mean after, which may also be called predecessors?"),
        ("weight", "allowed: one of: task, time"),
    ],
)
def test_an_unknown_heading_names_the_column_that_was_meant(heading, said):
    (fault,) = faults(f"task,{heading}\na,3\n")
    assert said in fault
    assert ("did you mean" in fault) == said.startswith("did you mean")


def test_times_of_nothing_are_no_work():
    assert faults("task,time\na,0\nb,0 s\n") == [
        "line 2, column 2: time: every task takes no time at all: there is nothing to share out"
    ]


def test_a_table_that_is_far_too_long_is_refused_before_its_rows_are_read():
    (fault,) = faults("task,time\n" + "a,what\n" * 100_000)
    assert fault == "line 2002, column 1: the file: read 'more than 2,000 tasks'; allowed: up to 2,000 tasks"


def test_units_may_differ_in_one_column():
    tasks = read_tasks("task,time\na,30s\nb,0.5 min\nc,30\n")
    assert [element.time for element in tasks.work.elements] == [30.0, 30.0, 30.0]
