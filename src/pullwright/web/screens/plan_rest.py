"""The rest of today: an order comes in, one falls away, pieces are lost; the sequence from now on, what changes, and whether it still fits."""

from __future__ import annotations

from pydantic import Field
from starlette.requests import Request

from pullwright.pull.errors import BadPlanInput, NoSuchPlan
from pullwright.pull.sequence.day_box import shown
from pullwright.pull.sequence.typed_rest import BadRest
from pullwright.survey.survey import UnknownFigureError
from pullwright.web.desk import AtDesk
from pullwright.web.opened import Opened, everywhere
from pullwright.web.pages import Pages
from pullwright.web.pieces import Crumb, Found, Piece, Shown, WhyNode
from pullwright.web.plan_pages import PlanMatter, PlanPart
from pullwright.web.problems import NextStep, Problem
from pullwright.web.rest_asked import RestAsked, rest_asked
from pullwright.web.screens.why import AskedDigest, AskedName
from pullwright.web.way import digest_of
from pullwright.web.why_tree import tree_of


class RestField(Piece):
    """One field of the form: what is typed in it, what may be, and what is wrong with it."""

    name: str
    says: str
    typed: str
    hint: str = ""
    error: str = ""


class ProductField(Piece):
    """A field that every product has."""

    product: str
    field: RestField


class PlanRestPage(PlanMatter):
    """The rest of today; `wrong` where something that was typed cannot be, `refused` where there is no sequence to plan anew.

    `sequence`: the day's products in their order, `done` of them made; `left_over`: what does not fit; `until`: when work would have to end for all of
    it. `earlier`: how often the day was planned anew before.
    """

    part: PlanPart | None = None
    sequence: tuple[str, ...] = ()
    done: int = 0
    left_over: dict[str, int] = Field(default_factory=dict)
    until: str = ""
    earlier: int = 0
    wrong: tuple[RestField, ...] = ()
    refused: str = ""
    how_far: tuple[RestField, ...] = Field(default=(), exclude=True)
    ending: tuple[RestField, ...] = Field(default=(), exclude=True)
    asked: tuple[ProductField, ...] = Field(default=(), exclude=True)
    by_product: tuple[ProductField, ...] = Field(default=(), exclude=True)
    lost: tuple[ProductField, ...] = Field(default=(), exclude=True)
    summary: str = Field(default="", exclude=True)
    more_open: bool = Field(default=False, exclude=True)
    made: tuple[str, ...] = Field(default=(), exclude=True)
    action: str = Field(default="", exclude=True)
    kept: tuple[tuple[str, str], ...] = Field(default=(), exclude=True)
    print_href: str = Field(default="", exclude=True)
    until_href: str = Field(default="", exclude=True)
    again_href: str = Field(default="", exclude=True)
    fresh_href: str = Field(default="", exclude=True)
    today_href: str = Field(default="", exclude=True)


def plan_rest(opened: Opened, request: Request, desk: AtDesk) -> PlanRestPage:
    """An order comes in while the day runs: in which order does the rest come now, and does it still fit?

    The address takes `done` (pieces of the sequence that are finished) or `done.PRODUCT`, `started`, `now` and `until` (such as 10:20), `asked.PRODUCT`
    (for the whole day: 15, or `6 more`), `lost.PRODUCT`, `on` (the product made last); and any wish by its name in the line file.
    """
    ask = rest_asked(opened, request, desk)
    page: dict[str, object] = {
        **ask.about("The rest of today"),
        "today_href": f"{ask.part()}#today",
        "action": opened.way.part("plan/rest"),
        "earlier": len(ask.earlier),
    }
    try:
        page |= _form(ask, {})
        told = ask.rest
    except BadRest as error:
        page |= _form(ask, error.wrong)
        wrong = tuple(
            RestField(name=name, says=_says(name), typed=ask.typed.get(name, ""), error=said)
            for name, said in error.wrong.items()
        )
        what = (
            f"{wrong[0].says}: {wrong[0].error}" if len(wrong) == 1 else f"{len(wrong)} of the things typed cannot be"
        )
        return PlanRestPage(**page, found=Found(text=f"Nothing is planned anew yet. {what}.", look=True), wrong=wrong)
    except (NoSuchPlan, BadPlanInput) as error:
        said = f"There is no sequence of today to plan anew: {error}"
        return PlanRestPage(**page, found=Found(text=said, look=True), refused=str(error))
    return PlanRestPage(**page, **_answer(ask), found=Found(text=told.chapter.sentence, look=told.chapter.look))


def _answer(ask: RestAsked) -> dict[str, object]:
    rest = ask.rest.rest
    page: dict[str, object] = {
        "part": ask.told(ask.rest.chapter), "sequence": rest.day.sequence, "done": rest.day.done, "left_over": rest.day.left_over,
        "print_href": ask.address(".pdf"),
    }  # fmt: skip
    if rest.all_until is not None:
        until = f"{rest.all_until:%H:%M}"
        other = [(name, text) for name, text in ask.said if name != "until"]
        page |= {"until": until, "until_href": ask.address(said=[*other, ("until", until)])}
    if any(text.strip() for text in ask.typed.values()):
        typed = ask.address(said=[(name, text) for name, text in ask.said if name in ask.typed]).partition("?")[2]
        page["summary"] = _summary(ask)
        page["again_href"] = ask.address(said=ask.before((*ask.earlier, typed)))
    return page


def _summary(ask: RestAsked) -> str:
    """What was typed, in a line."""
    rest, stood = ask.rest.rest, ask.standing
    begun = rest.begun
    said = [f"at {begun.now:%H:%M}"] if begun.now else []
    said.append(f"{len(begun.done)} finished")
    said += [f"{begun.started} started"] if begun.started else []
    said += [f"{begun.lost.count(name)} {name} lost" for name in dict.fromkeys(begun.lost)]
    for name, many in (begun.asked or {}).items():
        if more := many - stood.asked[name]:
            said.append(f"{abs(more)} {name} {'more' if more > 0 else 'fewer'} asked for")
    said += [f"work until {begun.until:%H:%M}"] if begun.until else []
    words = ", ".join(said)
    return f"{words[0].upper()}{words[1:]}"


# --- the form ---------------------------------------------------------------------------------------------------------

_WORDS = {"done": "finished", "started": "started after them", "now": "the time now", "until": "work ends at", "on": "made last", "asked": "asked for", "lost": "lost"}  # fmt: skip


def _says(name: str) -> str:
    kind, dot, product = name.partition(".")
    return f"{product[:80]} {_WORDS[kind]}" if dot else _WORDS[kind]


def _form(ask: RestAsked, wrong: dict[str, str]) -> dict[str, object]:
    stands, day = ask.standing, ask.day
    pacer = f" through {day.pacer}" if day.pacer else ""

    def field(name: str, says: str, hint: str = "", stood: str = "") -> RestField:
        return RestField(name=name, says=says, typed=ask.typed.get(name, stood), hint=hint, error=wrong.get(name, ""))

    names = list(stands.names)
    # What is no product of this line is shown too, so that nothing typed is lost.
    strange = [
        name for name, text in ask.typed.items() if text.strip() and "." in name and name.partition(".")[2] not in names
    ]

    def by_product(kind: str, says: str) -> tuple[ProductField, ...]:
        known = [
            (
                name,
                str(stands.asked[name]) if kind == "asked" else "",
                f"{stands.asked[name]} so far" if kind == "asked" else "",
            )
            for name in names
        ]
        other = [(name.partition(".")[2], "", "") for name in strange if name.startswith(f"{kind}.")]
        return tuple(
            ProductField(product=name, field=field(f"{kind}.{name}", f"{name}, {says}", hint, stood))
            for name, stood, hint in (*known, *other)
        )

    return {
        "how_far": (
            field("now", "The time now", "such as 10:20; empty: the pieces finished took the time planned"),
            field("done", "Pieces of the sequence that are finished", f"of {len(stands.sequence)}{pacer}"),
            field("started", "Next pieces that are started", "they stay as they are"),
        ),
        "ending": (
            field("until", "Work ends at", f"empty: {shown(stands.usual[-1][1])} as every day; later is overtime" if stands.usual else "", "" if stands.until is None else f"{stands.until:%H:%M}"),
            field("on", "Product made last", f"the set-up{' at ' + day.pacer if day.pacer else ''} is for it; empty: as in the sequence"),
        ),
        "asked": by_product("asked", "pieces for the whole day"),
        "by_product": by_product("done", "finished"),
        "lost": by_product("lost", "lost of those"),
        "more_open": any(ask.typed.get(name, "").strip() for name in ask.typed if name in ("until", "on") or name.startswith(("done.", "lost."))),
        "made": tuple(name for name in stands.names if name in stands.sequence),
        "kept": tuple(ask.before(ask.earlier)),
        "fresh_href": ask.address(said=ask.wished.typed.items()) if ask.typed or ask.earlier else "",
    }  # fmt: skip


# --- why --------------------------------------------------------------------------------------------------------------


class PlanRestWhyPage(PlanMatter):
    """Why one figure of the rest of today is what it is."""

    figure: Shown
    why: WhyNode
    rest_href: str = Field(default="", exclude=True)


def plan_rest_why(
    opened: Opened, request: Request, desk: AtDesk, figure: AskedName = "", digest: AskedDigest = ""
) -> PlanRestWhyPage:
    """Why is this number of the rest of today what it is, down to what was typed and to the line file?"""
    ask = rest_asked(opened, request, desk)
    back = NextStep("The rest of today", ask.address())
    try:
        figures = ask.rest.figures
        name = figure or next((one for one in figures if digest and digest_of(one) == digest), "")
        told = ask.rest.figure(name)
    except UnknownFigureError as error:
        hint = f" {error.hint[0].upper()}{error.hint[1:]}" if error.hint else ""
        raise Problem(
            404, f"the figure {name[:200]!r}" if name else "no name of a figure", title="The rest of today has no figure of that name.",
            allowed=f"The name of a figure of the rest of today.{hint}", todo="Look for it on the page of the rest of today.", steps=(back,),
        ) from None  # fmt: skip
    except (NoSuchPlan, BadPlanInput) as error:
        raise Problem(
            422, str(error)[:400], title="The rest of today cannot be planned from this.", allowed="What the page of the rest of today takes.",
            todo="Put it right there; it still has what was typed.", steps=(back,),
        ) from None  # fmt: skip
    currency = opened.survey.line.currency
    tree = tree_of(told, ask.way, currency)
    text = f"{told.name}: {told.text(currency)}"
    about = ask.about(f"Why: {told.name}")
    about["trail"] = (*about["trail"], Crumb(words="The rest of today", href=ask.address()))  # type: ignore[misc]
    return PlanRestWhyPage(
        found=Found(text=f"{text}, which is {told.formula}." if told.formula else f"{text}, as given."), figure=tree.figure, why=tree, rest_href=ask.address(), **about
    )  # fmt: skip


def register(pages: Pages) -> None:
    """Add the rest of today, and the why of its numbers."""
    everywhere(pages, "/plan/rest/why", plan_rest_why, "plan_rest_why.html")
    everywhere(pages, "/plan/rest", plan_rest, "plan_rest.html")
