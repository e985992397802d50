"""Prints: a survey, a pull plan and its cards on paper, as PDF."""

from pullwright.paper.card_sheet import card_sheet
from pullwright.paper.plan_sheet import plan_sheet
from pullwright.paper.press import PrintError
from pullwright.paper.rest_sheet import rest_sheet
from pullwright.paper.sheet import accounts_sheet

__all__ = ["PrintError", "accounts_sheet", "card_sheet", "plan_sheet", "rest_sheet"]
