"""What a line is: the line file, its model, its calendar and its units. This room knows no other."""

from pullwright.line.faults import Fault, LineFileError
from pullwright.line.reader import Line

__all__ = ["Fault", "Line", "LineFileError"]
