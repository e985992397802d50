"""What is out of place on a line: the only reasons for colour on a screen or a print, each with its word, sentence and figure."""

from __future__ import annotations

import numpy as np

from pullwright.account.line_accounts import Accounts
from pullwright.account.out_of_place import RULES, Finding, PlaceKind

__all__ = ["Finding", "PlaceKind", "findings_of", "sentence"]


def findings_of(accounts: Accounts) -> tuple[Finding, ...]:
    """What is out of place, the gravest kinds first? Empty where nothing is; the rules and their bounds are in `out_of_place`."""
    return tuple(finding for rule in RULES for finding in rule(accounts))


def sentence(accounts: Accounts, findings: tuple[Finding, ...]) -> str:
    """Say in a sentence, as a foreman would, what was found."""
    first = accounts.flow.verdict()
    if not findings:
        return f"{first} Nothing is out of place."
    count = len(findings)
    said = f"{first} {count} things are out of place." if count > 1 else f"{first} One thing is out of place."
    others = [finding for finding in findings if finding.word != "beyond takt"]
    # The verdict has named what is overloaded.
    return f"{said} {max(others, key=lambda one: _weight(accounts, one)).sentence}" if others else said


def _weight(accounts: Accounts, finding: Finding) -> float:
    """Days of stock weigh most: they are what a customer waits for."""
    stock = next(
        (stock for stock in accounts.ground.stocks if finding.kind == "stock" and stock.words == finding.place), None
    )
    if stock is None or stock.taken.value == 0:
        return 0.0
    if not np.isfinite(stock.lasts.value):
        return float("inf")
    return stock.lasts.value / max(accounts.flow.ladder.lead.value, 1e-12)
