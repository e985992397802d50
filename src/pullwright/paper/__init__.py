"""Prints: a survey on paper, as PDF."""

from pullwright.paper.press import PrintError
from pullwright.paper.sheet import accounts_sheet

__all__ = ["PrintError", "accounts_sheet"]
