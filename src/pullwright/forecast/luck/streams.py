"""Random numbers by purpose: each quantity that varies has a stream of its own, whose n-th number never depends on another stream.

So two options of a line are compared on the same luck (common random numbers), a step that is added leaves the others' luck as it
was, and results do not depend on how the work is shared among cores. Number n of a stream is a hash of its key and n: any of
them can be had without those before it.
"""

from __future__ import annotations

from hashlib import blake2b

import numpy as np
from numba import njit
from numpy.typing import NDArray

Words = NDArray[np.uint64]
Floats = NDArray[np.float64]

_GOLDEN = np.uint64(0x9E3779B97F4A7C15)
_FIRST, _SECOND = np.uint64(0xBF58476D1CE4E5B9), np.uint64(0x94D049BB133111EB)
_30, _27, _31, _12 = np.uint64(30), np.uint64(27), np.uint64(31), np.uint64(12)
_ONE = np.uint64(0x3FF0000000000000)
"""The bits of 1.0: with 52 random bits in the fraction it is a number from 1 to 2."""
_HALF_STEP = 2.0**-53


def key_of(*purpose: str) -> np.uint64:
    """The number that stands for a purpose, such as ("step", "hone bore", "hone 32 mm"): the same in every line and every run.

    >>> len({key_of("step", "saw"), key_of("step", "saw"), key_of("steps", "aw")})
    2
    """
    said = "".join(f"{len(word)}:{word}" for word in purpose)
    return np.uint64(int.from_bytes(blake2b(said.encode(), digest_size=8).digest(), "little"))


@njit(cache=True, nogil=True, error_model="numpy")
def mixed(word: np.uint64) -> np.uint64:
    """Sixty-four bits, each of which hangs on all of those that came in (Steele, Lea & Flood 2014, the mixer of SplitMix64, from memory)."""
    word = (word ^ (word >> _30)) * _FIRST
    word = (word ^ (word >> _27)) * _SECOND
    return word ^ (word >> _31)


@njit(cache=True, nogil=True, error_model="numpy")
def stream_of(seed: np.uint64, run: np.uint64, purpose: np.uint64) -> np.uint64:
    """The key of one stream: of this seed, this run and this purpose."""
    return mixed(mixed(mixed(seed + _GOLDEN) ^ run) + purpose)


@njit(cache=True, nogil=True, error_model="numpy")
def fill_uniform(stream: np.uint64, first: int, out: Floats) -> None:
    """Put the numbers `first`, `first` + 1, ... of a stream into `out`: evenly from 0 to 1, neither end ever reached."""
    words = out.view(np.uint64)
    start = stream + np.uint64(first) * _GOLDEN
    for k in range(out.size):
        word = start + np.uint64(k + 1) * _GOLDEN
        word = (word ^ (word >> _30)) * _FIRST
        word = (word ^ (word >> _27)) * _SECOND
        word = word ^ (word >> _31)
        words[k] = (word >> _12) | _ONE
    for k in range(out.size):
        out[k] = out[k] - 1.0 + _HALF_STEP


@njit(cache=True, nogil=True, error_model="numpy")
def first_words(streams: Words, out: Words) -> None:
    """For numbers of several streams in turn, number 0 of each, number 1 of each ...: what `fill_uniform_in_turn` needs to know."""
    for k in range(out.size):
        out[k] = streams[k % streams.size] + np.uint64(k // streams.size + 1) * _GOLDEN


@njit(cache=True, nogil=True, error_model="numpy")
def fill_uniform_in_turn(words: Words, first: int, out: Floats) -> None:
    """Put the numbers `first`, `first` + 1, ... of several streams in turn into `out`, the same as `fill_uniform` gives of each."""
    bits, shift = out.view(np.uint64), np.uint64(first) * _GOLDEN
    for k in range(out.size):
        word = words[k] + shift
        word = (word ^ (word >> _30)) * _FIRST
        word = (word ^ (word >> _27)) * _SECOND
        word = word ^ (word >> _31)
        bits[k] = (word >> _12) | _ONE
    for k in range(out.size):
        out[k] = out[k] - 1.0 + _HALF_STEP


@njit(cache=True, nogil=True, error_model="numpy")
def uniform(stream: np.uint64, number: int) -> float:
    """One number of a stream, the same as `fill_uniform` gives at its place."""
    word = mixed(stream + np.uint64(number) * _GOLDEN + _GOLDEN)
    return float(word >> _12) * 2.0**-52 + _HALF_STEP
