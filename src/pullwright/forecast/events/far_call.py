"""Memory and kernels by their address: no users to count, no ends to count back from, and nothing compiled twice.

An array that is handed down counts its users at every call, and an index into it may mean "from the end"; in a kernel that does little
else than look into memory, both cost more than the work. Nothing checks that an index lies inside: the tests do.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from numba import types
from numba.extending import intrinsic

if TYPE_CHECKING:

    def whole_numbers_at(address: int) -> Any:
        """The memory at an address as whole numbers."""

    def floats_at(address: int) -> Any:
        """The memory at an address as floats."""

    def call_at(address: int, words: int, row: int) -> None:
        """Call the kernel at `address` with where the memory begins and a row in it."""

else:

    def _pointer(kind: Any) -> Any:
        def write(context: Any, builder: Any, signature: Any, arguments: Any) -> Any:
            return builder.inttoptr(arguments[0], context.get_value_type(signature.return_type))

        return types.CPointer(kind)(types.int64), write

    @intrinsic
    def whole_numbers_at(_context: Any, _address: Any) -> Any:
        """The memory at an address as whole numbers."""
        return _pointer(types.int64)

    @intrinsic
    def floats_at(_context: Any, _address: Any) -> Any:
        """The memory at an address as floats."""
        return _pointer(types.float64)

    @intrinsic
    def call_at(_context: Any, _address: Any, _words: Any, _row: Any) -> Any:
        """Call the kernel at `address` with where the memory begins and a row in it."""

        def write(context: Any, builder: Any, _signature: Any, arguments: Any) -> Any:
            from llvmlite import ir

            address, *passed = arguments
            word = context.get_value_type(types.int64)
            kernel = ir.FunctionType(ir.VoidType(), [word] * len(passed))
            builder.call(builder.inttoptr(address, kernel.as_pointer()), passed)
            return context.get_dummy_value()

        return types.none(*[types.int64] * 3), write
