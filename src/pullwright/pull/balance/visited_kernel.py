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
DE_BRUIJN = np.uint64(0x03F79D71B4CB0A89)
WHERE = np.zeros(64, np.int64)
for _place in range(64):
    WHERE[((1 << _place) * int(DE_BRUIJN) % (1 << 64)) >> 58] = _place


@njit(cache=True, nogil=True, error_model="numpy")
def _lowest(word: Any) -> Any:
    """Where the lowest bit stands: the bit times a number of De Bruijn's has another six bits at its top for each place."""
    return WHERE[((word & (~word + np.uint64(1))) * DE_BRUIJN) >> np.uint64(58)]


@njit(cache=True, nogil=True, error_model="numpy")
def _slot(sets: Any, table: Any, wanted: Any) -> Any:
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
def _meld(a: Any, b: Any, key: Any, child: Any, sibling: Any) -> Any:
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
        both = _meld(np.int64(one), np.int64(other), key, child, sibling)
        sibling[both] = pairs
        pairs = both
        one = rest
    heap = -1
    while pairs >= 0:
        rest = sibling[pairs]
        sibling[pairs] = -1
        heap = _meld(np.int64(heap), np.int64(pairs), key, child, sibling)
        pairs = rest
    return heap


@njit(cache=True, nogil=True, error_model="numpy")
def _put_back(
    sets: Any, depth: Any, key: Any, child: Any, sibling: Any, cut: Any, roots: Any, table: Any, state: Any
) -> None:
    """After the arrays have grown: fill the table again; where what was cut short is to be looked at with more patience: let it wait again."""
    for node in range(state[NODES]):
        if depth[node] < 0:
            continue
        table[_slot(sets, table, sets[node])] = node
        if cut[node] and state[PUT_BACK] == 2:
            cut[node] = 0
            child[node] = -1
            sibling[node] = -1
            roots[depth[node]] = _meld(np.int64(roots[depth[node]]), np.int64(node), key, child, sibling)
    if state[PUT_BACK] == 2:
        state[CUTS] = 0
    state[PUT_BACK] = 0


@njit(cache=True, nogil=True, error_model="numpy")
def _laid_out(
    takt: int, times: Any, before: Any, posts_after: Any, weights: Any, full: Any, k: int, target: int, done: Any, free: Any, must: Any, base: Any
) -> tuple[int, int]:  # fmt: skip
    """What is left to do (ticks), and how much of it can stand in the next post at all; -1 where something has to and cannot.

    Fills `free` with what can, `must` with what has to, and `base` with the weights of all that is left, by the posts needed after it at least.
    """
    words = done.size
    one = np.uint64(1)
    for f in range(base.shape[0]):
        for q in range(base.shape[1]):
            base[f, q] = 0
    left = 0
    open_time = 0
    for w in range(words):
        free[w] = full[w] & ~done[w]
        must[w] = 0
    for w in range(words):
        word = full[w] & ~done[w]
        while word:
            i = (w << 6) + _lowest(word)
            bit = word & (~word + one)
            word ^= bit
            left += times[i]
            need = times[i]
            for v in range(words):
                waits = before[i, v] & ~done[v]
                while waits:
                    need += times[(v << 6) + _lowest(waits)]
                    waits &= waits - one
            for f in range(base.shape[0]):
                base[f, posts_after[i]] += weights[i, f]
            if target - posts_after[i] <= k + 1:
                must[w] |= bit
            if need <= takt:
                open_time += times[i]
            else:
                free[w] ^= bit
                if must[w] & bit:
                    return left, -1
    for f in range(base.shape[0]):
        for q in range(base.shape[1] - 2, -1, -1):
            base[f, q] += base[f, q + 1]
    return left, open_time


@njit(cache=True, nogil=True, error_model="numpy")
def _replaceable(times: Any, before: Any, after: Any, rivals: Any, load: Any, room: int, child_set: Any) -> bool:
    """Could another element stand in the load in place of one of its own, such that all that waits for the one waits for the other too?"""
    words = load.size
    one = np.uint64(1)
    for w in range(words):
        word = load[w]
        while word:
            i = (w << 6) + _lowest(word)
            bit = word & (~word + one)
            word ^= bit
            waited_for = False
            for v in range(words):
                if after[i, v] & load[v]:
                    waited_for = True
            if waited_for:
                continue
            for v in range(words):
                others = rivals[i, v] & ~child_set[v]
                while others:
                    j = (v << 6) + _lowest(others)
                    others &= others - one
                    if times[j] > room + times[i] or before[j, w] & bit:
                        continue
                    fits = True
                    for u in range(words):
                        if before[j, u] & ~child_set[u]:
                            fits = False
                    if fits:
                        return True
    return False


@njit(cache=True, nogil=True, error_model="numpy")
def _too_much_left(
    takt: int, times: Any, tails: Any, posts_after: Any, by_tail: Any, weights: Any, caps: Any, base: Any, taken: Any, load: Any, child_set: Any, posts: int
) -> bool:  # fmt: skip
    """Is it plain that so many posts are too few for what is left: one after the other by falling tails, or by other times up to each post?"""
    words = load.size
    one = np.uint64(1)
    end = posts * takt
    sum_left = 0
    for r in range(by_tail.size):
        i = by_tail[r]
        if not child_set[i >> 6] & (one << np.uint64(i & 63)):
            sum_left += times[i]
            if sum_left + tails[i] > end:
                return True
    functions, deepest = base.shape
    if functions == 0:
        return False
    for w in range(words):
        word = load[w]
        while word:
            i = (w << 6) + _lowest(word)
            word &= word - one
            for f in range(functions):
                taken[f, posts_after[i]] += weights[i, f]
    bad = False
    for f in range(functions):
        less = 0
        for q in range(deepest - 1, -1, -1):
            less += taken[f, q]
            taken[f, q] = 0
            still = base[f, q] - less
            if still > 0 and still > (posts - q) * caps[f]:
                bad = True
    return bad


@njit(cache=True, nogil=True, error_model="numpy")
def _without(out: Any, kept_out: Any, free: Any, must: Any, times: Any) -> int:
    """Take elements out of `free`: those of `out` and all that comes after them (`kept_out`); their time, or -1 where one of them has to stay."""
    lost = 0
    one = np.uint64(1)
    for w in range(free.size):
        gone = (out[w] | kept_out[w]) & free[w]
        if gone & must[w]:
            return -1
        free[w] ^= gone
        while gone:
            lost += times[(w << 6) + _lowest(gone)]
            gone &= gone - one
    return lost


@njit(cache=True, nogil=True, error_model="numpy")
def search(
    takt: int, times: Any, before: Any, after: Any, rivals: Any, tails: Any, posts_after: Any, by_tail: Any, weights: Any, caps: Any,
    full: Any, leading: Any, ladder: Any, fitting: Any, total: int,
    s_free: Any, s_load: Any, s_numbers: Any, words_of: Any, base: Any, taken: Any,
    sets: Any, parent: Any, depth: Any, key: Any, child: Any, sibling: Any, cut: Any, roots: Any, table: Any, state: Any, most_steps: int,
) -> None:  # fmt: skip
    """Go on for so many steps; `state` says why it came back.

    Of the problem: `times` (n), `before`, `after` (n, words), `rivals` (n, words): who may take an element's place (Jackson 1956), `tails` (n):
    ticks that are needed after it at least, `posts_after` (n): posts after its own at least, `by_tail` (n): longest tail first, `weights`
    (n, functions) and `caps` (functions): dual feasible functions, `full`, `leading` (words): all elements, and those that others wait for,
    `ladder` (n): the times from the shortest on, `fitting` (n + 1, words): the so many shortest elements, `total`: the sum of all times. Room to work in: `s_free`, `s_load`, `s_numbers`:
    loads that are still to be decided, one on top of the other; `words_of` (7, words), `base`, `taken` (functions, posts). Of the search: a row for each
    part-plan in `sets` ... `cut`, a heap for each depth in `roots`, `table` of the sets visited.
    """
    n, words = before.shape
    one = np.uint64(1)
    most_loads = state[MOST_LOADS]
    steps_of_one = most_loads * STEPS_PER_LOAD
    until = state[STEPS] + most_steps
    if state[PUT_BACK]:
        _put_back(sets, depth, key, child, sibling, cut, roots, table, state)

    free, load, must, done, child_set, out, kept_out = (
        words_of[0],
        words_of[1],
        words_of[2],
        words_of[3],
        words_of[4],
        words_of[5],
        words_of[6],
    )
    empty_depths = 0
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
            empty_depths += 1
            if empty_depths > state[TARGET]:
                state[REASON] = EXHAUSTED
                return
            continue
        empty_depths = 0
        roots[k] = _without_top(node, key, child, sibling)
        if depth[node] < 0:
            continue  # The same set was reached with fewer posts since.
        state[EXPANDED] += 1
        state[STEPS] += STEPS_OF_A_NODE
        target = state[TARGET]
        some_lead = False
        for w in range(words):
            done[w] = sets[node, w]
            if leading[w] & ~done[w]:
                some_lead = True
        left, open_time = _laid_out(takt, times, before, posts_after, weights, full, k, target, done, free, must, base)
        slack = (target - k) * takt - left
        if open_time < 0 or slack < 0:
            continue

        # All loads that leave no room for another element, each once: an element after the other is taken or left.
        loads = 0
        steps = 0
        top = 1
        for w in range(words):
            s_free[0, w] = free[w]
            s_load[0, w] = 0
        s_numbers[0, 0] = takt  # room
        s_numbers[0, 1] = BIG  # the shortest element that was left and could be taken
        s_numbers[0, 2] = open_time
        s_numbers[0, 3] = n  # so many elements are short enough for the room
        while top > 0:
            top -= 1
            for w in range(words):
                free[w] = s_free[top, w]
                load[w] = s_load[top, w]
            room = s_numbers[top, 0]
            least = s_numbers[top, 1]
            still = s_numbers[top, 2]
            fit = s_numbers[top, 3]
            whole = False
            while True:
                steps += 1
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
                # Left: it, and with it all that comes after it.
                for w in range(words):
                    s_free[top, w] = free[w]
                    kept_out[w] = after[i, w]
                out[at] = bit
                lost = _without(out, kept_out, s_free[top], must, times)
                out[at] = 0
                less = min(least, times[i])
                if lost >= 0 and room - still + lost <= slack and room - still + lost < less:
                    for w in range(words):
                        s_load[top, w] = load[w]
                    s_numbers[top, 0] = room
                    s_numbers[top, 1] = less
                    s_numbers[top, 2] = still - lost
                    s_numbers[top, 3] = fit
                    top += 1
                # Taken: what does not fit any longer is left, and with it all that comes after it.
                load[at] |= bit
                free[at] ^= bit
                room -= times[i]
                still -= times[i]
                while fit > 0 and ladder[fit - 1] > room:
                    fit -= 1
                for w in range(words):
                    kept_out[w] = 0
                for w in range(words):
                    word = free[w] & ~fitting[fit, w]
                    out[w] = word
                    while word:
                        j = (w << 6) + _lowest(word)
                        word &= word - one
                        for v in range(words):
                            kept_out[v] |= after[j, v]
                lost = _without(out, kept_out, free, must, times)
                for w in range(words):
                    out[w] = 0
                if lost < 0:
                    break
                still -= lost
            if steps > steps_of_one or loads >= most_loads:
                state[CUTS] += 1 - cut[node]
                cut[node] = 1
                break
            if not whole:
                continue

            # A load. Does it leave what it had to take, or lead to nothing that another one does not?
            bad = False
            leads = False
            for w in range(words):
                if must[w] & ~load[w]:
                    bad = True
                if load[w] & leading[w]:
                    leads = True
                child_set[w] = done[w] | load[w]
            if bad or (some_lead and not leads) or _replaceable(times, before, after, rivals, load, room, child_set):
                continue
            loads += 1
            state[LOADS] += 1
            slot = _slot(sets, table, child_set)
            known = table[slot]
            if known >= 0 and depth[known] <= k + 1:
                continue
            if _too_much_left(
                takt, times, tails, posts_after, by_tail, weights, caps, base, taken, load, child_set, target - k - 1
            ):
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
                roots[k + 1] = _meld(np.int64(roots[k + 1]), np.int64(new), key, child, sibling)
        state[STEPS] += steps + loads * STEPS_OF_A_LOAD
