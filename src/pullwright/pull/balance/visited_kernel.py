"""The search post by post, compiled: which sets of elements can be done within how many posts, each set looked at once.

A part-plan is the set of elements done at the posts so far. What it can lead to depends on that set alone, so of all ways to the same set only
one with the fewest posts is kept (a table of the sets visited). The open part-plans wait in one heap for each number of posts, and the heaps
are served in turn, round and round: some part-plan of every depth goes ahead, the most promising one of its depth first.

Everything that is called stands in this file: the compiler keeps what it made for as long as this file stays as it is.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numba import njit

# What stands where in `state`.
NODES, TARGET, BEST, FLOOR, EXPANDED, LOADS, LEVEL, CUTS, REASON, MOST_LOADS, PUT_BACK, STEPS = range(12)
STATE_SIZE = 12
# Why it came back.
PAUSED, EXHAUSTED, PROVEN, NEEDS_ROOM = range(4)

STEPS_PER_LOAD = 40
"""So many steps of looking for loads are allowed for each load that may be made of one part-plan, before it is cut short."""
FEWER_LEFT = 0.02
"""How much a part-plan is worth that leaves all elements to do: many small ones are easier to share out than few large ones."""
STEPS_OF_A_LOAD, STEPS_OF_A_NODE = 8, 64
"""What looking at a load and at a part-plan takes about, in steps: work is counted in steps, so that both ends get the same share of it."""
BIG = 1 << 62


@njit(cache=True, nogil=True, error_model="numpy")
def _lowest(word: Any) -> int:
    """Where the lowest bit stands."""
    low = word & (~word + np.uint64(1))
    at = 0
    if low & np.uint64(0xFFFFFFFF00000000):
        at += 32
    if low & np.uint64(0xFFFF0000FFFF0000):
        at += 16
    if low & np.uint64(0xFF00FF00FF00FF00):
        at += 8
    if low & np.uint64(0xF0F0F0F0F0F0F0F0):
        at += 4
    if low & np.uint64(0xCCCCCCCCCCCCCCCC):
        at += 2
    if low & np.uint64(0xAAAAAAAAAAAAAAAA):
        at += 1
    return at


@njit(cache=True, nogil=True, error_model="numpy")
def _slot(sets: Any, table: Any, wanted: Any) -> int:
    """Where in the table a set stands, or would."""
    mixed = np.uint64(0x9E3779B97F4A7C15)
    for w in range(wanted.size):
        mixed = (mixed ^ wanted[w]) * np.uint64(0xBF58476D1CE4E5B9)
        mixed ^= mixed >> np.uint64(29)
    mixed *= np.uint64(0x94D049BB133111EB)
    mixed ^= mixed >> np.uint64(32)
    mask = table.size - 1
    at = np.int64(mixed & np.uint64(mask))
    while table[at] >= 0:
        node = table[at]
        same = True
        for w in range(wanted.size):
            if sets[node, w] != wanted[w]:
                same = False
                break
        if same:
            return at
        at = (at + 1) & mask
    return at


@njit(cache=True, nogil=True, error_model="numpy")
def _meld(a: int, b: int, key: Any, child: Any, sibling: Any) -> int:
    """Two heaps as one (pairing heaps: Fredman, Sedgewick, Sleator & Tarjan 1986)."""
    if a < 0:
        return b
    if b < 0:
        return a
    if key[b] < key[a]:
        a, b = b, a
    sibling[b] = child[a]
    child[a] = b
    return a


@njit(cache=True, nogil=True, error_model="numpy")
def _without_top(top: int, key: Any, child: Any, sibling: Any) -> int:
    """What is left of a heap when its top is taken."""
    pairs = -1
    one = child[top]
    while one >= 0:
        other = sibling[one]
        rest = -1
        if other >= 0:
            rest = sibling[other]
            sibling[other] = -1
        sibling[one] = -1
        both = _meld(one, other, key, child, sibling)
        sibling[both] = pairs
        pairs = both
        one = rest
    heap = -1
    while pairs >= 0:
        rest = sibling[pairs]
        sibling[pairs] = -1
        heap = _meld(heap, pairs, key, child, sibling)
        pairs = rest
    return heap


@njit(cache=True, nogil=True, error_model="numpy")
def search(
    takt: int, times: Any, before: Any, after: Any, rivals: Any, tails: Any, posts_after: Any, by_tail: Any, weights: Any, caps: Any,
    sets: Any, parent: Any, depth: Any, key: Any, child: Any, sibling: Any, cut: Any, roots: Any, table: Any, state: Any, most_steps: int,
) -> None:  # fmt: skip
    """Go on for so many steps; `state` says why it came back.

    Of the problem: `times` (n), `before`, `after` (n, words), `rivals` (n, words): who may take an element's place (Jackson 1956), `tails` (n):
    ticks that are needed after it at least, `posts_after` (n): posts after its own at least, `by_tail` (n): longest tail first, `weights`
    (n, functions) and `caps` (functions): dual feasible functions. Of the search: a row for each part-plan in `sets` ... `cut`, a heap for each
    depth in `roots`, `table` of the sets visited.
    """
    n, words = before.shape
    functions = caps.size
    deepest = posts_after.max() + 1
    one = np.uint64(1)
    most_loads = state[MOST_LOADS]
    steps_of_one = most_loads * STEPS_PER_LOAD
    until = state[STEPS] + most_steps
    total = times.sum()

    full = np.zeros(words, np.uint64)
    leading = np.zeros(words, np.uint64)  # Elements that others wait for.
    for i in range(n):
        full[i >> 6] |= one << np.uint64(i & 63)
        for w in range(words):
            if after[i, w]:
                leading[i >> 6] |= one << np.uint64(i & 63)

    by_time = np.argsort(times)
    ladder = times[by_time]
    fitting = np.zeros((n + 1, words), np.uint64)  # The so many shortest elements.
    for r in range(n):
        for w in range(words):
            fitting[r + 1, w] = fitting[r, w]
        fitting[r + 1, by_time[r] >> 6] |= one << np.uint64(by_time[r] & 63)

    if state[PUT_BACK]:  # The arrays have grown, or what was cut short is to be looked at again with more patience.
        for node in range(state[NODES]):
            if depth[node] >= 0:
                table[_slot(sets, table, sets[node])] = node
                if cut[node] == 1 and state[PUT_BACK] == 2:
                    cut[node] = 0
                    child[node] = -1
                    sibling[node] = -1
                    roots[depth[node]] = _meld(roots[depth[node]], node, key, child, sibling)
        if state[PUT_BACK] == 2:
            state[CUTS] = 0
        state[PUT_BACK] = 0

    # Loads that are still to be decided, one on top of the other.
    s_free = np.empty((n + 2, words), np.uint64)
    s_load = np.empty((n + 2, words), np.uint64)
    s_room = np.empty(n + 2, np.int64)
    s_fit_at = np.empty(n + 2, np.int64)
    s_least = np.empty(n + 2, np.int64)
    s_open = np.empty(n + 2, np.int64)
    free = np.empty(words, np.uint64)
    load = np.empty(words, np.uint64)
    must = np.empty(words, np.uint64)
    done = np.empty(words, np.uint64)
    child_set = np.empty(words, np.uint64)
    blocked = np.empty(words, np.uint64)
    over = np.empty(words, np.uint64)
    base = np.empty((functions, deepest), np.int64)
    taken = np.zeros((functions, deepest), np.int64)

    idle_levels = 0
    while True:
        if state[STEPS] >= until:
            state[REASON] = PAUSED
            return
        if state[NODES] + most_loads + 1 > depth.size:
            state[REASON] = NEEDS_ROOM
            return
        # The next depth in turn that has an open part-plan.
        k = state[LEVEL]
        if k >= state[TARGET]:
            k = 0
        state[LEVEL] = k + 1
        node = roots[k]
        if node < 0:
            idle_levels += 1
            if idle_levels > state[TARGET]:
                state[REASON] = EXHAUSTED
                return
            continue
        idle_levels = 0
        roots[k] = _without_top(node, key, child, sibling)
        if depth[node] < 0:
            continue  # The same set was reached with fewer posts since.
        state[EXPANDED] += 1
        state[STEPS] += STEPS_OF_A_NODE

        target = state[TARGET]
        left = 0
        some_lead = False
        for w in range(words):
            done[w] = sets[node, w]
            free[w] = full[w] & ~done[w]
            must[w] = 0
            load[w] = 0
            if free[w] & leading[w]:
                some_lead = True
        for f in range(functions):
            for q in range(deepest):
                base[f, q] = 0
        dead = False
        open_time = 0
        for w in range(words):
            word = full[w] & ~done[w]
            while word:
                i = (w << 6) + _lowest(word)
                word &= word - one
                left += times[i]
                need = times[i]
                for v in range(words):
                    waits = before[i, v] & ~done[v]
                    while waits:
                        need += times[(v << 6) + _lowest(waits)]
                        waits &= waits - one
                for f in range(functions):
                    base[f, posts_after[i]] += weights[i, f]
                bit = one << np.uint64(i & 63)
                if target - posts_after[i] <= k + 1:
                    must[w] |= bit
                if need > takt:
                    free[w] &= ~bit
                    if must[w] & bit:
                        dead = True
                else:
                    open_time += times[i]
        slack = (target - k) * takt - left
        if dead or slack < 0:
            continue
        for f in range(functions):
            for q in range(deepest - 2, -1, -1):
                base[f, q] += base[f, q + 1]

        # All loads that leave no room for another element, each once: an element after the other is taken or left.
        loads = 0
        steps = 0
        top = 1
        for w in range(words):
            s_free[0, w] = free[w]
            s_load[0, w] = 0
        s_room[0] = takt
        s_fit_at[0] = n
        s_least[0] = BIG
        s_open[0] = open_time
        while top > 0:
            top -= 1
            for w in range(words):
                free[w] = s_free[top, w]
                load[w] = s_load[top, w]
            room = s_room[top]
            fit_at = s_fit_at[top]
            least = s_least[top]
            still = s_open[top]
            whole = False
            while True:
                steps += 1
                state[STEPS] += 1
                if room - still > slack or room - still >= least:
                    break
                if still <= room:
                    for w in range(words):
                        load[w] |= free[w]
                    room -= still
                    whole = True
                    break
                at = 0
                while free[at] == 0:
                    at += 1
                i = (at << 6) + _lowest(free[at])
                bit = one << np.uint64(i & 63)
                # Left out: it, and with it all that comes after it.
                misses = (must[at] & bit) != 0
                lost = times[i]
                for w in range(words):
                    gone = after[i, w] & free[w]
                    if gone & must[w]:
                        misses = True
                    while gone:
                        lost += times[(w << 6) + _lowest(gone)]
                        gone &= gone - one
                less = min(least, times[i])
                if not misses and room - (still - lost) <= slack and room - (still - lost) < less:
                    for w in range(words):
                        s_free[top, w] = free[w] & ~after[i, w]
                        s_load[top, w] = load[w]
                    s_free[top, at] &= ~bit
                    s_room[top] = room
                    s_fit_at[top] = fit_at
                    s_least[top] = less
                    s_open[top] = still - lost
                    top += 1
                load[at] |= bit
                free[at] &= ~bit
                room -= times[i]
                still -= times[i]
                # What does not fit any longer is left out, and with it all that comes after it.
                while fit_at > 0 and ladder[fit_at - 1] > room:
                    fit_at -= 1
                misses = False
                for w in range(words):
                    blocked[w] = free[w] & ~fitting[fit_at, w]
                    over[w] = blocked[w]
                for w in range(words):
                    word = over[w]
                    while word:
                        j = (w << 6) + _lowest(word)
                        word &= word - one
                        for v in range(words):
                            blocked[v] |= after[j, v]
                for w in range(words):
                    gone = blocked[w] & free[w]
                    if gone & must[w]:
                        misses = True
                    free[w] &= ~gone
                    while gone:
                        still -= times[(w << 6) + _lowest(gone)]
                        gone &= gone - one
                if misses:
                    break
            if steps > steps_of_one or loads >= most_loads:
                if cut[node] == 0:
                    cut[node] = 1
                    state[CUTS] += 1
                break
            if not whole:
                continue

            # A load. Does it leave out what it had to take, or lead to nothing that another one does not?
            bad = False
            leads = False
            for w in range(words):
                if must[w] & ~load[w]:
                    bad = True
                if load[w] & leading[w]:
                    leads = True
                child_set[w] = done[w] | load[w]
            if bad or (some_lead and not leads):
                continue
            for w in range(words):
                word = load[w]
                while word and not bad:
                    i = (w << 6) + _lowest(word)
                    word &= word - one
                    waited_for = False
                    for v in range(words):
                        if after[i, v] & load[v]:
                            waited_for = True
                    if waited_for:
                        continue
                    for v in range(words):
                        others = rivals[i, v] & ~child_set[v]
                        while others and not bad:
                            j = (v << 6) + _lowest(others)
                            others &= others - one
                            if times[j] > room + times[i]:
                                continue
                            fits = True
                            for u in range(words):
                                if before[j, u] & ~child_set[u]:
                                    fits = False
                            if fits and not before[j, w] & (one << np.uint64(i & 63)):
                                bad = True
            if bad:
                continue
            loads += 1
            state[LOADS] += 1
            state[STEPS] += STEPS_OF_A_LOAD
            slot = _slot(sets, table, child_set)
            known = table[slot]
            if known >= 0 and depth[known] <= k + 1:
                continue
            # What is left, by falling tails on one machine, and by dual feasible functions up to each post.
            end = (target - k - 1) * takt
            sum_left = 0
            for r in range(n):
                i = by_tail[r]
                if not child_set[i >> 6] & (one << np.uint64(i & 63)):
                    sum_left += times[i]
                    if sum_left + tails[i] > end:
                        bad = True
                        break
            if bad:
                continue
            if functions:
                high = 0
                for w in range(words):
                    word = load[w]
                    while word:
                        i = (w << 6) + _lowest(word)
                        word &= word - one
                        high = max(high, posts_after[i])
                        for f in range(functions):
                            taken[f, posts_after[i]] += weights[i, f]
                for f in range(functions):
                    less = 0
                    for q in range(deepest - 1, -1, -1):
                        less += taken[f, q]
                        taken[f, q] = 0
                        if base[f, q] - less > 0 and base[f, q] - less > (target - q - k - 1) * caps[f]:
                            bad = True
                if bad:
                    continue

            new = state[NODES]
            state[NODES] += 1
            rest = 0
            for w in range(words):
                sets[new, w] = child_set[w]
                word = full[w] & ~child_set[w]
                while word:
                    rest += 1
                    word &= word - one
            parent[new] = node
            depth[new] = k + 1
            cut[new] = 0
            child[new] = -1
            sibling[new] = -1
            if known >= 0:
                depth[known] = -1
            table[slot] = new
            if rest == 0:
                state[BEST] = new
                state[TARGET] = k
                if k < state[FLOOR]:
                    state[REASON] = PROVEN
                    return
                break
            idle = k * takt + left - total + room
            key[new] = idle / (takt * (k + 1.0)) - FEWER_LEFT * rest / n
            if k + 1 < target:
                roots[k + 1] = _meld(roots[k + 1], new, key, child, sibling)

