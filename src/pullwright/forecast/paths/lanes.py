"""Eight numbers at a time, one of each of eight runs: what the path kernel reckons with.

A `Lanes` is a value like a float, and each operation does on every one of its eight numbers what plain floating-point arithmetic does on
one: the same bits, lane by lane. Nothing checks that an address is right: the tests do.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from numba import types

LANES = 8
WIDE = 8 * LANES
"""Bytes of a row of lanes."""

if TYPE_CHECKING:
    Lanes = Any

    def lanes_at(address: int) -> Lanes:
        """The eight floats at an address."""

    def put_lanes(address: int, lanes: Lanes) -> None:
        """Write eight floats to an address."""

    def alike(number: float) -> Lanes:
        """The same number in every lane."""

    def plus(a: Lanes, b: Lanes) -> Lanes:
        """a + b."""

    def minus(a: Lanes, b: Lanes) -> Lanes:
        """a - b."""

    def times(a: Lanes, b: Lanes) -> Lanes:
        """a b."""

    def over(a: Lanes, b: Lanes) -> Lanes:
        """a / b."""

    def later(a: Lanes, b: Lanes) -> Lanes:
        """The greater of the two."""

    def earlier(a: Lanes, b: Lanes) -> Lanes:
        """The lesser of the two."""

    def if_before(a: Lanes, b: Lanes, then: Lanes, otherwise: Lanes) -> Lanes:
        """`then` where a < b, `otherwise` elsewhere."""

    def if_equal(a: Lanes, b: Lanes, then: Lanes, otherwise: Lanes) -> Lanes:
        """`then` where a = b, `otherwise` elsewhere."""

else:
    from numba.core import cgutils
    from numba.core.datamodel import models
    from numba.extending import intrinsic, register_model

    class LanesType(types.Type):
        """Eight floats."""

        def __init__(self) -> None:
            super().__init__(name="Lanes")

    Lanes = LanesType()

    @register_model(LanesType)
    class _LanesModel(models.PrimitiveModel):
        def __init__(self, manager: Any, kind: Any) -> None:
            from llvmlite import ir

            super().__init__(manager, kind, ir.VectorType(ir.DoubleType(), LANES))

    @intrinsic
    def lanes_at(_context: Any, _address: Any) -> Any:
        """The eight floats at an address."""

        def write(context: Any, builder: Any, _signature: Any, arguments: Any) -> Any:
            at = builder.inttoptr(arguments[0], context.get_value_type(Lanes).as_pointer())
            return builder.load(at, align=8)

        return Lanes(types.int64), write

    @intrinsic
    def put_lanes(_context: Any, _address: Any, _lanes: Any) -> Any:
        """Write eight floats to an address."""

        def write(context: Any, builder: Any, _signature: Any, arguments: Any) -> Any:
            at = builder.inttoptr(arguments[0], context.get_value_type(Lanes).as_pointer())
            builder.store(arguments[1], at, align=8)
            return context.get_dummy_value()

        return types.none(types.int64, Lanes), write

    @intrinsic
    def alike(_context: Any, _number: Any) -> Any:
        """The same number in every lane."""

        def write(context: Any, builder: Any, _signature: Any, arguments: Any) -> Any:
            from llvmlite import ir

            lanes = ir.Constant(context.get_value_type(Lanes), ir.Undefined)
            for k in range(LANES):
                lanes = builder.insert_element(lanes, arguments[0], cgutils.int32_t(k))
            return lanes

        return Lanes(types.float64), write

    def _of_two(name: str) -> Any:
        def write(_context: Any, builder: Any, _signature: Any, arguments: Any) -> Any:
            return getattr(builder, name)(*arguments)

        return Lanes(Lanes, Lanes), write

    def _chosen(sign: str, *, of_two: bool) -> Any:
        def write(_context: Any, builder: Any, _signature: Any, arguments: Any) -> Any:
            then, otherwise = arguments[:2] if of_two else arguments[2:]
            return builder.select(builder.fcmp_ordered(sign, *arguments[:2]), then, otherwise)

        return Lanes(*[Lanes] * (2 if of_two else 4)), write

    @intrinsic
    def plus(_context: Any, _a: Any, _b: Any) -> Any:
        """a + b."""
        return _of_two("fadd")

    @intrinsic
    def minus(_context: Any, _a: Any, _b: Any) -> Any:
        """a - b."""
        return _of_two("fsub")

    @intrinsic
    def times(_context: Any, _a: Any, _b: Any) -> Any:
        """a b."""
        return _of_two("fmul")

    @intrinsic
    def over(_context: Any, _a: Any, _b: Any) -> Any:
        """a / b."""
        return _of_two("fdiv")

    @intrinsic
    def later(_context: Any, _a: Any, _b: Any) -> Any:
        """The greater of the two."""
        return _chosen(">", of_two=True)

    @intrinsic
    def earlier(_context: Any, _a: Any, _b: Any) -> Any:
        """The lesser of the two."""
        return _chosen("<", of_two=True)

    @intrinsic
    def if_before(_context: Any, _a: Any, _b: Any, _then: Any, _otherwise: Any) -> Any:
        """`then` where a < b, `otherwise` elsewhere."""
        return _chosen("<", of_two=False)

    @intrinsic
    def if_equal(_context: Any, _a: Any, _b: Any, _then: Any, _otherwise: Any) -> Any:
        """`then` where a = b, `otherwise` elsewhere."""
        return _chosen("==", of_two=False)
