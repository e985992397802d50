"""Eight numbers at a time: what rows of draws, and eight runs side by side, are reckoned with.

A `Lanes` is a value like a float: `a + b`, `a * 2.0` and `math.sqrt(a)` do on every one of its eight numbers what plain floating-point arithmetic does on one, to
the same bits, so that a kernel written for a float takes either. Eight keep two pipes of a processor busy that does four at a time.
Nothing checks that an address is right: the tests do.
"""

from __future__ import annotations

import math
import operator
from typing import TYPE_CHECKING, Any

from numba import types

LANES = 8

if TYPE_CHECKING:
    Lanes = Any
    WholeLanes = Any
    LanesType = Any

    def lanes_at(address: int) -> Lanes:
        """The eight floats at an address."""

    def put_lanes(address: int, lanes: Lanes) -> None:
        """Write eight floats to an address."""

    def alike(number: float) -> Lanes:
        """The same number in every lane."""

    def later(a: Lanes, b: Lanes) -> Lanes:
        """The greater of the two."""

    def earlier(a: Lanes, b: Lanes) -> Lanes:
        """The lesser of the two."""

    def if_before(a: Lanes, b: Lanes, then: Lanes, otherwise: Lanes) -> Lanes:
        """`then` where a < b, `otherwise` elsewhere."""

    def if_equal(a: Lanes, b: Lanes, then: Lanes, otherwise: Lanes) -> Lanes:
        """`then` where a = b, `otherwise` elsewhere."""

    def some_up_to(a: Lanes, b: Lanes) -> bool:
        """Is a at most b in any lane?"""

else:
    from llvmlite import ir
    from numba.core import cgutils
    from numba.core.datamodel import models
    from numba.extending import intrinsic, overload, register_model

    class LanesType(types.Type):
        """Eight floats, or eight whole numbers."""

        def __init__(self, name: str, one: Any, word: Any) -> None:
            super().__init__(name=name)
            self.one, self.word = one, word

    @register_model(LanesType)
    class _LanesModel(models.PrimitiveModel):
        def __init__(self, manager: Any, kind: Any) -> None:
            super().__init__(manager, kind, ir.VectorType(kind.word, LANES))

    Lanes = LanesType("Lanes", types.float64, ir.DoubleType())
    WholeLanes = LanesType("WholeLanes", types.int64, ir.IntType(64))

    def _alike(builder: Any, kind: Any, number: Any) -> Any:
        lanes = ir.Constant(ir.VectorType(kind.word, LANES), ir.Undefined)
        for k in range(LANES):
            lanes = builder.insert_element(lanes, number, cgutils.int32_t(k))
        return lanes

    def _operator(what: Any, of_floats: str | None, of_whole: str | None) -> None:
        """Let an operator take lanes on both sides, or lanes and a number."""

        @intrinsic
        def work(_context: Any, a: Any, b: Any) -> Any:
            kind = a if isinstance(a, LanesType) else b
            sides = [one if isinstance(one, LanesType) else kind.one for one in (a, b)]

            def write(_context: Any, builder: Any, _signature: Any, arguments: Any) -> Any:
                lanes = [
                    argument if isinstance(side, LanesType) else _alike(builder, kind, argument)
                    for side, argument in zip(sides, arguments, strict=True)
                ]
                return getattr(builder, of_floats if kind is Lanes else of_whole)(*lanes)

            return kind(*sides), write

        @overload(what)
        def _of_lanes(a, b):
            if isinstance(a, LanesType) or isinstance(b, LanesType):
                return lambda a, b: work(a, b)
            return None

    for _what, _of_floats, _of_whole in (
        (operator.add, "fadd", "add"),
        (operator.sub, "fsub", "sub"),
        (operator.mul, "fmul", "mul"),
        (operator.truediv, "fdiv", None),
        (operator.lshift, None, "shl"),
        (operator.rshift, None, "ashr"),
    ):
        _operator(_what, _of_floats, _of_whole)

    @intrinsic
    def _negative(_context: Any, _a: Any) -> Any:
        return Lanes(Lanes), lambda _context, builder, _signature, arguments: builder.fneg(arguments[0])

    @intrinsic
    def _root(_context: Any, _a: Any) -> Any:
        def write(_context: Any, builder: Any, _signature: Any, arguments: Any) -> Any:
            kind = arguments[0].type
            name = f"llvm.sqrt.v{LANES}f64"
            return builder.call(
                cgutils.get_or_insert_function(builder.module, ir.FunctionType(kind, [kind]), name), arguments
            )

        return Lanes(Lanes), write

    @overload(operator.neg)
    def _negative_lanes(a):
        return (lambda a: _negative(a)) if a is Lanes else None

    @overload(math.sqrt)
    def _root_of_lanes(x):
        return (lambda x: _root(x)) if x is Lanes else None

    @intrinsic
    def lanes_at(_context: Any, _address: Any) -> Any:
        """The eight floats at an address."""

        def write(context: Any, builder: Any, _signature: Any, arguments: Any) -> Any:
            return builder.load(builder.inttoptr(arguments[0], context.get_value_type(Lanes).as_pointer()), align=8)

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

        def write(_context: Any, builder: Any, _signature: Any, arguments: Any) -> Any:
            return _alike(builder, Lanes, arguments[0])

        return Lanes(types.float64), write

    def _chosen(sign: str, many: int) -> Any:
        def write(_context: Any, builder: Any, _signature: Any, arguments: Any) -> Any:
            return builder.select(builder.fcmp_ordered(sign, *arguments[:2]), *arguments[-2:])

        return Lanes(*[Lanes] * many), write

    @intrinsic
    def later(_context: Any, _a: Any, _b: Any) -> Any:
        """The greater of the two."""
        return _chosen(">", 2)

    @intrinsic
    def earlier(_context: Any, _a: Any, _b: Any) -> Any:
        """The lesser of the two."""
        return _chosen("<", 2)

    @intrinsic
    def if_before(_context: Any, _a: Any, _b: Any, _then: Any, _otherwise: Any) -> Any:
        """`then` where a < b, `otherwise` elsewhere."""
        return _chosen("<", 4)

    @intrinsic
    def if_equal(_context: Any, _a: Any, _b: Any, _then: Any, _otherwise: Any) -> Any:
        """`then` where a = b, `otherwise` elsewhere."""
        return _chosen("==", 4)

    @intrinsic
    def some_up_to(_context: Any, _a: Any, _b: Any) -> Any:
        """Is a at most b in any lane?"""

        def write(_context: Any, builder: Any, _signature: Any, arguments: Any) -> Any:
            bits = builder.bitcast(builder.fcmp_ordered("<=", *arguments), ir.IntType(LANES))
            return builder.icmp_unsigned("!=", bits, ir.Constant(ir.IntType(LANES), 0))

        return types.boolean(Lanes, Lanes), write
