"""Three answers side by side: the rule, the stochastic answer, and what the forecast says."""

from __future__ import annotations


def compared(
    rule: int, stochastic: int, forecast: int | None, *, met: float | None = None, wished: float | None = None, place: str = ""
) -> str:  # fmt: skip
    """How do the three answers differ, in a few sentences?

    Parameters: cards by the rule, by the stochastic answer, and the fewest that kept the wish in the forecast (None where it was not asked, or none did); `met`,
    the share met from the shelf in the forecast with the stochastic answer; `wished`, the share that is wished; `place`, what to call the loop.

    >>> print(compared(4, 6, 7, place="weld base"))
    weld base: the rule gives 4 cards, the swings ask for 6, and 7 kept the wish in the forecast. The rule is 2 short of the swings; the forecast adds 1, for what the loop by itself does not see: people, room, and loops that wait for one another.
    """
    head = f"{place}: " if place else ""
    said = f"{head}the rule gives {_cards(rule)}, the swings ask for {stochastic}"
    said += f", and {forecast} kept the wish in the forecast." if forecast is not None else "."
    more: list[str] = []
    if rule == stochastic == (forecast if forecast is not None else stochastic):
        more.append("They agree.")
    else:
        if rule != stochastic:
            by = abs(rule - stochastic)
            more.append(
                f"The rule is {by} short of the swings"
                if rule < stochastic
                else f"The rule has {by} more than the swings ask for"
            )
        if forecast is not None and forecast != stochastic:
            by = abs(forecast - stochastic)
            more.append(
                f"the forecast adds {by}, for what the loop by itself does not see: people, room, and loops that wait for one another"
                if forecast > stochastic
                else f"the forecast does with {by} fewer: the pieces of a container are there before its last one is, and queues are shorter where cards hold work back"
            )
        elif forecast is not None and rule != stochastic:
            more.append("the forecast confirms the swings")
    if more:
        text = "; ".join(more)
        said += f" {text[0].upper()}{text[1:]}" + ("" if text.endswith(".") else ".")
    if met is not None:
        said += f" With {_cards(stochastic)} the forecast meets {met:.1%} from the shelf".replace("%", " %")
        if wished is not None:
            share = f"{wished:.1%}".replace("%", " %")
            said += f", and {share} is wished" if met >= wished else f", less than the {share} that is wished"
        said += "."
    return said


def _cards(number: int) -> str:
    return "1 card" if number == 1 else f"{number} cards"
