"""Array types shared by every computing module."""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

FloatArray: TypeAlias = NDArray[np.float64]
IntArray: TypeAlias = NDArray[np.int64]
BoolArray: TypeAlias = NDArray[np.bool_]
#: Text or mixed cells, as they were read.
ObjectArray: TypeAlias = NDArray[Any]
