"""What rules a balance out without any search: an order that runs in a circle, too little time, nobody who can do what is done at one post."""

from __future__ import annotations

from pullwright.pull.balance.counted import counted
from pullwright.pull.balance.first_plan import blocks
from pullwright.pull.balance.hands import least_ticks, too_few_people
from pullwright.pull.balance.open_places import open_places
from pullwright.pull.balance.rounds import Rounds


def most_posts(rounds: Rounds) -> int:
    """With how many posts is everything possible that is possible at all? Wishes for at most so many posts count.

    Every post after the last fixed one does something, and every post that does something has somebody.
    """
    has, count = rounds.conditions, len(rounds.times)
    numbers = [crew.number for crew in has.crews]
    filled = count - len({name for name, _ in has.fixed})
    if numbers and None not in numbers:
        filled = min(filled, sum(number for number in numbers if number is not None))
    last = max(max((post for _, post in has.fixed), default=0) + filled, 1)
    return last if has.most is None else min(last, has.most)


def ruled_out(rounds: Rounds, takt: int, count: int) -> bool:
    """Can anybody see that no plan has at most so many posts? `takt` in ticks. False says nothing.

    Cheapest first: elements and people against the takt, the order of the work and of the wishes, what has to share a post, what adds up.
    """
    weights, full = least_ticks(rounds), rounds.room(takt)
    room = full * rounds.conditions.people_at_a_post
    return (
        count < 1
        or max(weights, default=0) > full
        or too_few_people(rounds, full)
        or open_places(rounds, count, room, weights) is None
        or any(_cannot_share(rounds, block, weights, room) for block in blocks(rounds))
        or any(bound > count for bound, _ in counted(rounds, takt))
    )


def _cannot_share(rounds: Rounds, block: tuple[int, ...], weights: list[int], room: int) -> bool:
    """Is it impossible that all of these elements are at one post?"""
    has, work = rounds.conditions, rounds.work
    names = {work.names[i] for i in block}
    skills = {has.skill_of(work, i) for i in block} - {""}
    if has.crews:
        # Who fills it has all the skills, and there is somebody of them.
        if not any(crew.number != 0 and all(map(crew.can, skills)) for crew in has.crews):
            return True
    elif len(skills) > 1:
        return True
    return (
        sum(weights[i] for i in block) > room
        or any(len(names.intersection(group)) > 1 for group in has.all_apart)
        or sum(not names.isdisjoint(elements) for _, elements in has.zones) > 1
        or len({post for name, post in has.fixed if name in names}) > 1
        or (not has.u_shaped and any(left in names and right in names for left, right in has.left_of))
    )
