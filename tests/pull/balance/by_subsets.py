"""Exact balances of a few elements by going through all subsets, and small works at random: the judge of every quicker way."""

from __future__ import annotations

from hypothesis import strategies as st

from pullwright.pull.balance.work import Element, Work


def fewest_by_subsets(work: Work, takt: float) -> int:
    """For each set of elements that can be done first: the fewest posts, and the least time used at the last one (one element after the other)."""
    n = len(work.elements)
    before = [0] * n
    for a, b in work.arcs:
        before[b] |= 1 << a
    best = {0: (0, takt)}
    for done in range(1 << n):
        if done not in best:
            continue
        posts, used = best[done]
        for i in range(n):
            if done >> i & 1 or before[i] & ~done:
                continue
            time = work.elements[i].time
            ends = (posts, used + time) if used + time <= takt and posts else (posts + 1, time)
            grown = done | 1 << i
            if grown not in best or ends < best[grown]:
                best[grown] = ends
    return best[(1 << n) - 1][0]


def shortest_by_subsets(work: Work, posts: int) -> int:
    """The shortest takt in whole seconds, tried from below."""
    takt = max(1, *(int(element.time) for element in work.elements))
    while fewest_by_subsets(work, takt) > posts:
        takt += 1
    return takt


@st.composite
def works(draw: st.DrawFn, most: int = 8, longest: int = 12) -> Work:
    """Up to `most` elements of whole seconds, any of which may have to wait for earlier ones."""
    n = draw(st.integers(1, most))
    times = draw(st.lists(st.integers(0, longest), min_size=n, max_size=n))
    return Work.of(
        Element(f"e{i}", float(times[i]), tuple(f"e{j}" for j in range(i) if draw(st.integers(0, 3)) == 0))
        for i in range(n)
    )
