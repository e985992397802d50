"""The sixty-four bits of a float as a whole number, and back, of one or of eight: what vector code needs in place of functions of a library."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from numba import types
from numba.extending import intrinsic

from pullwright.forecast.luck.lanes import Lanes, WholeLanes

if TYPE_CHECKING:

    def bits_of(number: float) -> int:
        """The bits of a float, as a whole number with sign."""

    def float_of(bits: int | np.int64) -> float:
        """The float that has these bits."""

else:

    @intrinsic
    def bits_of(_context: Any, number: Any) -> Any:
        """The bits of a float, as a whole number with sign."""
        if number is Lanes:
            return WholeLanes(Lanes), _cast(WholeLanes)
        return types.int64(types.float64), _cast(types.int64)

    @intrinsic
    def float_of(_context: Any, bits: Any) -> Any:
        """The float that has these bits."""
        if bits is WholeLanes:
            return Lanes(WholeLanes), _cast(Lanes)
        return types.float64(types.int64), _cast(types.float64)


def _cast(to: Any) -> Any:
    def write(context: Any, builder: Any, _signature: Any, arguments: Any) -> Any:
        return builder.bitcast(arguments[0], context.get_value_type(to))

    return write
