"""The flaws that were put into the demo line are found, each said as a foreman would, and no others."""

from __future__ import annotations

import pytest

from pullwright.account.findings import Finding, findings_of


@pytest.mark.parametrize(
    ("kind", "place", "word", "says"),
    [
        ("stock", "before hone bore", "more than fits", "310 pieces lie before hone bore; there is room for 112 pieces."),
        ("stock", "before hone bore", "growing", "The stock before hone bore grows by 3"),
        ("stock", "barrel tube", "no room", "Barrel tube: 600 pieces come at a time, 200 pieces fit; the rest is carried away and back."),
        ("step", "polish barrel", "who asked?", "Polish barrel is 9.83 min of work on each piece that nobody is known to need."),
        ("step", "hone bore", "finer than needed", "Roughness of the bore at hone bore: 0.2 µm asked for, 0.4 µm would do."),
        ("step", "assemble", "walking", "Each piece at assemble costs 3.83 min on foot."),
        ("step", "leak test", "done again", "9.0 % (6.9 to 11.6) of the pieces at leak test are done again."),
        ("floor", "floor", "red-tagged", "Things that nobody needs stand on 9.5 m²."),
        ("stock", "piston blank", "no trace", "Piston blank: 31 pieces/d are bought, and of 2.1"),
        ("account", "hours", "not explained", "Of 72 h/d that are paid, 11.9 h/d are not explained."),
    ],
)  # fmt: skip
def test_the_flaws_of_the_demo_line_are_found(demo, kind, place, word, says):
    (only,) = [one for one in findings_of(demo) if (one.kind, one.place, one.word) == (kind, place, word)]
    assert only.sentence.startswith(says)


def test_the_demo_line_has_no_other_flaws_than_were_put_into_it(demo):
    places = {one.place for one in findings_of(demo)}
    assert places == {
        "barrel tube", "before hone bore", "after pack", "polish barrel", "hone bore", "leak test", "assemble", "pack", "floor", "piston blank", "hours",
    }  # fmt: skip


def test_a_finding_on_an_account_carries_the_row_itself(demo):
    (only,) = [one for one in findings_of(demo) if one.kind == "account"]
    assert only.figure is demo.hours.unexplained.amount


def test_every_sentence_is_one_sentence(demo):
    for one in findings_of(demo):
        assert one.sentence[0].isupper() or one.sentence[0].isdigit()
        assert one.sentence.endswith(".")
        assert 1 <= len(one.word.split()) <= 3
        assert isinstance(one, Finding)
