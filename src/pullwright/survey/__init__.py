"""Everything that is worked out of one line, and the differences between two: what screens, commands, prints and notebooks ask."""

from pullwright.survey.compare import Change, compare
from pullwright.survey.survey import Survey, survey_of

__all__ = ["Change", "Survey", "compare", "survey_of"]
