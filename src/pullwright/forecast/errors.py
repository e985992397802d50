"""What a forecast may answer instead of running."""

from __future__ import annotations


class CannotRun(ValueError):  # noqa: N818  (says what happened)
    """The line has something that the forecast cannot run; the message names it, and says what to do."""


class TooMuch(ValueError):  # noqa: N818  (says what happened)
    """A run grew beyond what it may; the message says how much and what to do."""


class Stopped(Exception):  # noqa: N818  (says what happened)
    """Somebody asked a forecast to stop before it had an answer."""
