"""What a search answers where it was asked for something that it cannot look for."""

from __future__ import annotations


class CannotSearch(ValueError):  # noqa: N818  (says what happened)
    """What was asked for cannot be looked for; the message says what was read, what is allowed, and what to do."""


class CannotTurn(CannotSearch):
    """A line cannot be turned to this setting: there is no such place in it, or what comes out would contradict itself."""
