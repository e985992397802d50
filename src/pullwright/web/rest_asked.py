"""The rest of today as an address asks for it: what was typed, with the plans of the day that were made anew before it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from urllib.parse import parse_qsl, urlencode

from starlette.requests import Request

from pullwright.pull.errors import BadPlanInput, NoSuchPlan
from pullwright.pull.sequence.day import Day
from pullwright.pull.sequence.of_line import Planning
from pullwright.pull.sequence.rest import Rest, rest_of, standing_of
from pullwright.pull.sequence.typed_rest import Standing, is_about_rest
from pullwright.survey.planned.rest import ToldRest
from pullwright.web.desk import Desk
from pullwright.web.opened import Opened
from pullwright.web.plan_pages import NO_WISHES, PlanAsked, PlanWay, plan_with
from pullwright.web.problems import NextStep, Problem
from pullwright.web.wished import LONGEST

MOST_BEFORE = 12
"""Plans of one day that were made anew before."""
BEFORE = "before"


@dataclass(frozen=True)
class RestAsked(PlanAsked):
    """The rest of a day: `typed`, the fields as they were typed; `earlier`, the plans made anew before, each as the part of an address."""

    typed: dict[str, str]
    earlier: tuple[str, ...]

    @property
    def said(self) -> list[tuple[str, str]]:
        """What is asked, as short as it can be: wishes, earlier plans, and what was typed."""
        typed = [(name, text.strip()) for name, text in self.typed.items() if text.strip()]
        return [*self.before(self.earlier), *typed]

    def before(self, earlier: Iterable[str]) -> list[tuple[str, str]]:
        """The wishes and these earlier plans."""
        return [*self.wished.typed.items(), *((BEFORE, one) for one in earlier)]

    def address(self, part: str = "", *, said: Iterable[tuple[str, str]] | None = None) -> str:
        """The address of a page of this rest, or of another one."""
        query = urlencode(list(self.said if said is None else said))
        return self.opened.way.part(f"plan/rest{part}") + (f"?{query}" if query else "")

    @property
    def way(self) -> PlanWay:
        """The way to its figures."""
        return PlanWay(self.opened.way.base, urlencode(self.said), "plan/rest/why")

    @cached_property
    def day(self) -> Day:
        """The day as it was planned in the morning; NoSuchPlan, BadPlanInput where there is none."""
        return self.planned.plan.day

    @cached_property
    def stood(self) -> Day | Rest:
        """The day as it was planned last; Problem (422) where an earlier plan of the address cannot be read."""
        return self.worked_out.last("rest of today before", urlencode(self.before(self.earlier)), self._stood)

    def _stood(self) -> Day | Rest:
        found: Day | Rest = self.day
        for number, one in enumerate(self.earlier, 1):
            try:
                typed = dict(parse_qsl(one, keep_blank_values=True, max_num_fields=2_000))
                if not all(map(is_about_rest, typed)):
                    raise BadPlanInput("it names a field that there is not")
                found = rest_of(self.planned.plan.flow, found, typed)
            except (ValueError, NoSuchPlan) as error:
                raise Problem(
                    422, f"{BEFORE}={one[:80]!r}: {error}", title="An earlier plan of today cannot be read.", allowed="What a page of the rest of today was asked with.",
                    todo=f"Plan anew from the morning, or take the earlier plan number {number} out of the address.", steps=(NextStep("From the morning", self.opened.way.part("plan/rest")),),
                ) from None  # fmt: skip
        return found

    @cached_property
    def standing(self) -> Standing:
        """Where the day stands before what was typed."""
        last = self.stood
        return last.standing if isinstance(last, Rest) else standing_of(Planning(self.planned.plan.flow), last)

    @cached_property
    def rest(self) -> ToldRest:
        """The rest, told; the one that was asked for last stays worked out. BadRest for what cannot be, NoSuchPlan and BadPlanInput as the plan."""
        return self.worked_out.last(
            "rest of today",
            urlencode(self.said),
            lambda: ToldRest(rest_of(self.planned.plan.flow, self.stood, self.typed)),
        )


def rest_asked(opened: Opened, request: Request, desk: Desk) -> RestAsked:
    """Read which rest is asked for. Problem (422) where the line, the wishes or an earlier plan cannot be read."""
    typed: dict[str, str] = {}
    wishes: list[tuple[str, str]] = []
    earlier: list[str] = []
    for name, text in request.query_params.multi_items():
        if name == BEFORE:
            earlier.append(text)
        elif is_about_rest(name):
            typed[name] = text[:LONGEST] if name not in typed else f"{typed[name]} and {text}"[:LONGEST]
        elif name not in NO_WISHES:
            wishes.append((name, text))
    if len(earlier) > MOST_BEFORE:
        raise Problem(
            422, f"{len(earlier)} earlier plans of today", title="Too many plans of one day.", allowed=f"At most {MOST_BEFORE} plans made anew one after another.",
            todo="Plan anew from the morning, with all that is done so far.", steps=(NextStep("From the morning", opened.way.part("plan/rest")),),
        )  # fmt: skip
    ask = plan_with(opened, wishes, desk)
    return RestAsked(ask.opened, ask.wished, ask.worked_out, typed, tuple(earlier))
