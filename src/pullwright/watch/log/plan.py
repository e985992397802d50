"""How the columns of a log are understood: plain values that a person can put right and that can be written down."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Literal, cast

from pullwright.line.faults import listed, nearest
from pullwright.watch.log.events import EVENT_KINDS, EventKind
from pullwright.watch.log.faults import LogError
from pullwright.watch.log.numbers_read import SPAN_UNITS
from pullwright.watch.log.roles import BY_ROLE, ROLES, Role

Phase = Literal["start", "end", "other"]
PHASES: tuple[Phase, ...] = ("start", "end", "other")


@dataclass(frozen=True, slots=True)
class Candidate:
    """A column that may have a role: how sure that is, from 0 to 1, and why, in words."""

    column: str
    confidence: float
    reason: str


@dataclass(frozen=True, slots=True)
class Guess:
    """How a role was guessed: the column ("" where none fits), how sure that is, why, and which others may have it."""

    role: Role
    column: str
    confidence: float
    reason: str
    others: tuple[Candidate, ...] = ()


@dataclass(frozen=True, slots=True)
class ColumnPlan:
    """How the columns of a log are understood.

    `columns` are all columns of the file. `roles` gives the columns of each role that the log has: one, or for a time
    two, the date and the time of day. `meanings` says what each word of the kind column means, `phases` each word of the
    lifecycle column; `kind_counts` and `phase_counts` how often they came in the rows that were looked at. `day_first`:
    does the day come before the month where both orders are possible? `zone` is the name of the time zone of times that
    name none ("" for one clock all the time), `decimal` the sign before the decimals, `span_unit` the unit of a duration
    that names none (a key of SPAN_UNITS). `instance` is the column that ties a start to its end, if any. `guesses` tell
    how each role was guessed, `questions` what the data did not tell, in words.
    """

    columns: tuple[str, ...]
    roles: Mapping[Role, tuple[str, ...]]
    meanings: Mapping[str, EventKind] = field(default_factory=dict)
    phases: Mapping[str, Phase] = field(default_factory=dict)
    day_first: bool = True
    zone: str = ""
    decimal: str = "."
    span_unit: str = "min"
    instance: str = ""
    guesses: tuple[Guess, ...] = ()
    questions: tuple[str, ...] = ()
    kind_counts: Mapping[str, int] = field(default_factory=dict)
    phase_counts: Mapping[str, int] = field(default_factory=dict)
    forms: Mapping[str, str] = field(default_factory=dict)
    """How the times of each column are written, in words."""

    def column(self, role: Role) -> str:
        """The (first) column of a role; empty where it has none."""
        return (self.roles.get(role) or ("",))[0]

    def with_roles(self, roles: Mapping[str, str | Sequence[str] | None]) -> ColumnPlan:
        """The plan with the columns of these roles: one name, two names (date and time of day), or none.

        Errors: LogError where a role or a column is unknown.
        """
        changed: dict[Role, tuple[str, ...]] = dict(self.roles)
        for key, said in roles.items():
            if key not in BY_ROLE:
                raise _unknown("the role", key, [row.key for row in ROLES])
            role = BY_ROLE[key].key
            names = (said,) if isinstance(said, str) else tuple(said or ())
            names = tuple(name for name in names if name)
            for name in names:
                if name not in self.columns:
                    raise _unknown("the column", name, self.columns)
            if len(names) > (2 if BY_ROLE[role].shape == "time" else 1):
                raise LogError(f"{len(names)} columns for {BY_ROLE[role].words}", "one column, or for a time a date and a time of day")  # fmt: skip
            if names:
                changed[role] = names
            else:
                changed.pop(role, None)
        return replace(self, roles=changed)

    def with_meanings(self, meanings: Mapping[str, str]) -> ColumnPlan:
        """The plan with these meanings of words in the kind column. Errors: LogError where a kind is unknown."""
        for kind in meanings.values():
            if kind not in EVENT_KINDS:
                raise _unknown("the kind", kind, EVENT_KINDS)
        return replace(self, meanings={**self.meanings, **cast("Mapping[str, EventKind]", meanings)})

    def with_phases(self, phases: Mapping[str, str]) -> ColumnPlan:
        """The plan with these meanings of words in the lifecycle column. Errors: LogError where a phase is unknown."""
        for phase in phases.values():
            if phase not in PHASES:
                raise _unknown("the phase", phase, PHASES)
        return replace(self, phases={**self.phases, **cast("Mapping[str, Phase]", phases)})

    def with_reading(
        self,
        *,
        day_first: bool | None = None,
        zone: str | None = None,
        decimal: str | None = None,
        span_unit: str | None = None,
    ) -> ColumnPlan:
        """The plan with another way of reading times and numbers. Errors: LogError where a zone, sign or unit is unknown."""
        if zone:
            check_zone(zone)
        if decimal is not None and decimal not in (".", ","):
            raise _unknown("the decimal sign", decimal, (".", ","))
        if span_unit is not None and span_unit not in SPAN_UNITS:
            raise _unknown("the unit", span_unit, list(SPAN_UNITS))
        return replace(
            self,
            day_first=self.day_first if day_first is None else day_first,
            zone=self.zone if zone is None else zone,
            decimal=decimal or self.decimal,
            span_unit=span_unit or self.span_unit,
        )

    def as_dict(self) -> dict[str, Any]:
        """The plan as plain values for JSON."""
        return {
            "columns": list(self.columns),
            "roles": {role: list(names) for role, names in self.roles.items()},
            "meanings": dict(self.meanings),
            "phases": dict(self.phases),
            "day_first": self.day_first,
            "zone": self.zone,
            "decimal": self.decimal,
            "span_unit": self.span_unit,
            "instance": self.instance,
            "questions": list(self.questions),
            "kind_counts": dict(self.kind_counts),
            "phase_counts": dict(self.phase_counts),
            "forms": dict(self.forms),
            "guesses": [
                {
                    "role": guess.role,
                    "column": guess.column,
                    "confidence": guess.confidence,
                    "reason": guess.reason,
                    "others": [[one.column, one.confidence, one.reason] for one in guess.others],
                }
                for guess in self.guesses
            ],
        }

    @classmethod
    def from_dict(cls, plain: Mapping[str, Any]) -> ColumnPlan:
        """The plan that `as_dict` gave. Errors: LogError where it is none."""
        try:
            bare = cls(
                columns=tuple(plain["columns"]),
                roles={},
                questions=tuple(plain.get("questions", ())),
                kind_counts=dict(plain.get("kind_counts", {})),
                phase_counts=dict(plain.get("phase_counts", {})),
                forms=dict(plain.get("forms", {})),
                instance=str(plain.get("instance", "")),
                guesses=tuple(
                    Guess(
                        g["role"], g["column"], g["confidence"], g["reason"], tuple(Candidate(*o) for o in g["others"])
                    )
                    for g in plain.get("guesses", ())
                ),
            )
            return (
                bare.with_roles(plain["roles"])
                .with_meanings(plain.get("meanings", {}))
                .with_phases(plain.get("phases", {}))
                .with_reading(
                    day_first=bool(plain.get("day_first", True)),
                    zone=plain.get("zone", ""),
                    decimal=plain.get("decimal", "."),
                    span_unit=plain.get("span_unit", "min"),
                )
            )
        except (KeyError, TypeError, AttributeError) as error:
            raise LogError(
                f"a plan of columns without {error}", "what `as_dict` gives", "guess the columns again"
            ) from None


def check_zone(zone: str) -> None:
    """Is it the name of a time zone? Errors: LogError where it is none."""
    from zoneinfo import ZoneInfo, available_timezones

    try:
        ZoneInfo(zone)
    except (ValueError, OSError, KeyError):
        raise _unknown("the time zone", zone, sorted(available_timezones())) from None


def _unknown(what: str, name: str, allowed: Sequence[str]) -> LogError:
    near = nearest(str(name), allowed)
    return LogError(
        f"{what} {str(name)[:80]!r}", listed(allowed), f"did you mean {near}?" if near else "choose one of them"
    )
