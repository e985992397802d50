"""How the functions of the event kernel are compiled.

A call costs more than what most of them do, so those on the way of every piece are put in where they are called.
There a `while` stands for a `range` with a step, which is divided out before it begins.
"""

from __future__ import annotations

from numba import njit

kernel = njit(cache=True, nogil=True, error_model="numpy")
put_in = njit(cache=True, nogil=True, error_model="numpy", forceinline=True)
