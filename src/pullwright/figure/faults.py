"""What a figure cannot be: the one error of this room."""


class FigureError(ValueError):
    """Something was typed or computed that cannot be a figure; the message says what was read, allowed, and to do."""
