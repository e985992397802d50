"""Looks of one round stand together: the account takes what they are worth, and its shares stay what was seen."""

from __future__ import annotations

from pullwright.account.sampled import seen_shares
from pullwright.examples import EXAMPLES
from pullwright.flow import flow_of
from pullwright.line import Line

DEMO = next(example for example in EXAMPLES if example.key == "hand-pump").text


def test_looks_that_are_worth_fewer_give_the_same_share_and_a_wider_spread() -> None:
    plain = seen_shares(flow_of(Line.from_text(DEMO)))["waiting"]
    worth = seen_shares(flow_of(Line.from_text(DEMO.replace("looks: 270,", "looks: 270, worth: 90,"))))["waiting"]

    (low, high), (lower, higher) = plain.interval(), worth.interval()
    assert abs(worth.value - plain.value) < 1e-12
    assert 1.6 < (higher - lower) / (high - low) < 1.85  # the square root of 3
    assert worth.source is not None
    assert "worth 180 taken one by one" in worth.source.text
