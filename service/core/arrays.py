"""NumPy, imported when something of it is first used, and the types of its arrays.

    from .. import arrays as np

Whoever lists lots or opens a job needs no array, and waits for the library as long as for the
service itself.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from numpy import *  # noqa: F403
    from numpy import bool_, float64, int64, intp
    from numpy.typing import NDArray as NDArray

    Floats = NDArray[float64]
    Flags = NDArray[bool_]
    Whole = NDArray[int64]
    Places = NDArray[intp]
else:
    NDArray = Floats = Flags = Whole = Places = Any

    def __getattr__(name: str) -> Any:
        """Something of NumPy, found once: after that it is this module's own."""
        if name.startswith("__"):  # the import system asks for some
            raise AttributeError(name)
        import numpy

        found = globals()[name] = getattr(numpy, name)
        return found
