"""What a time study says."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from pullwright.figure import Figure
from pullwright.watch.study.allowances import TABLE, allowances_of, force_allowance
from pullwright.watch.study.csv_file import read_csv
from pullwright.watch.study.faults import StudyError
from pullwright.watch.study.file_report import study_file_report
from pullwright.watch.study.result import study_result
from pullwright.watch.study.sheet import StudySheet, TimedElement, TimedReading

EXAMPLE = Path(__file__).parents[3] / "examples" / "assemble_study.csv"


def leaves(figure: Figure) -> list[Figure]:
    return [node.figure for node in figure.why().walk() if not node.figure.inputs]


def test_standard_time_is_basic_time_and_its_allowances_and_rare_elements_are_spread_over_their_cycles() -> None:
    result = study_result(
        read_csv(
            "# rating: 90\n# element: load\n# element: change tool,manual,needed,20\n# allowance: personal\n# allowance: standing\n"
            "cycle,element,seconds\n1,load,10\n2,load,12\n2,change tool,100\n"
        )
    )

    assert result.cycle.standard is not None
    assert result.cycle.standard.value == pytest.approx((11 + 100 / 20) * 0.9 * 1.07)


def test_a_machine_is_not_rated_and_does_not_tire() -> None:
    result = study_result(
        read_csv(
            "# rating: 90\n# element: turn,machine,value\n# allowance: personal\n# allowance: standing\nelement,seconds\nturn,60\nturn,60\n"
        )
    )

    assert result.figure("basic time / turn").value == 60
    assert result.figure("standard time / turn").value == pytest.approx(60 * 1.05)


def test_ratings_of_single_readings_act_on_each_by_itself() -> None:
    readings = tuple(
        TimedReading(f"r{i}", i, 0, seconds, rating)
        for i, (seconds, rating) in enumerate([(50.0, 0.8), (40.0, 1.0), (32.0, 1.25)], 1)
    )
    result = study_result(StudySheet("T", (TimedElement("fit"),), readings))

    basic = result.figure("basic time / fit")
    assert basic.value == pytest.approx(40)
    assert basic.certain  # who is quick was rated brisk: no spread is left


def test_every_figure_of_time_ends_at_readings_with_their_place() -> None:
    result = study_file_report(EXAMPLE)

    assert result.cycle.standard is not None
    read = [one for one in leaves(result.cycle.standard) if one.source and one.source.readings]
    assert len(read) == len(result.elements)
    assert all("row " in reading.where for one in read for reading in one.source.readings)  # type: ignore[union-attr]


def test_the_kinds_of_time_add_up_to_the_cycle_draw_by_draw() -> None:
    result = study_file_report(EXAMPLE)

    assert result.cycle.basic is not None
    assert sum(row.amount.draws for row in result.account) == pytest.approx(result.cycle.basic.draws)
    assert sum(row.share.value for row in result.account) == pytest.approx(1)


def test_foreign_and_set_aside_readings_are_kept_and_do_not_count() -> None:
    result = study_file_report(EXAMPLE)

    assert [one.cycle for one in result.foreign] == [7, 15]
    assert [one.aside for one in result.aside] == ["telephone call"]
    assert result.readings + 3 == len(result.sheet.readings)
    assert result.foreign_share is not None
    assert result.foreign_share.value == pytest.approx(235 / sum(one.seconds for one in result.sheet.readings))


def test_the_example_says_what_a_foreman_would() -> None:
    result = study_file_report(EXAMPLE)

    assert "still fall from cycle to cycle" in result.found
    assert any("still learning" in one for one in result.sentences)
    assert any("look at 512 s in cycle 9" in one for one in result.sentences)


def test_a_study_without_readings_or_with_one_says_so() -> None:
    assert study_result(StudySheet("T", (TimedElement("fit"),))).found == "T has no reading that counts yet."
    one = study_result(StudySheet("T", (TimedElement("fit"), TimedElement("pack")), (TimedReading("a", 1, 0, 5.0),)))
    assert "take more cycles" in one.found
    assert one.cycle.missing == ("pack",)


def test_a_steady_study_seldom_cries_drift() -> None:
    rng = np.random.default_rng(4)
    cried = 0
    for _ in range(60):
        readings = tuple(
            TimedReading(f"{c}-{e}", c, e, float(rng.normal(40, 4))) for c in range(1, 13) for e in range(4)
        )
        cried += any(study_result(StudySheet("T", tuple(TimedElement(f"e{e}") for e in range(4)), readings)).drifting)

    assert cried <= 9  # 5 % of 60, and three standard deviations more


def test_an_unknown_figure_is_told_with_the_nearest() -> None:
    with pytest.raises(StudyError, match="did you mean T-021: observed time of a cycle"):
        study_file_report(EXAMPLE).figure("observd time of a cycle")


def test_one_row_of_a_group_of_allowances_holds() -> None:
    with pytest.raises(StudyError, match="stands there beside noise loud"):
        allowances_of(["noise loud", "noise shrill"])
    with pytest.raises(StudyError, match="did you mean standing"):
        allowances_of(["standin"])
    with pytest.raises(StudyError, match="use a hoist"):
        force_allowance(60)
    assert all(0 <= row.share <= 1 for row in TABLE)
