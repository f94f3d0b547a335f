"""Round numbers along the axes of the picture of alloys."""

from __future__ import annotations

import numpy as np

#: Least number of prices on the axis, and about how many margins.
_PRICES, _MARGINS = 4, 8
_LADDERS = ((1.0, 2.0, 5.0), (1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 7.0), tuple(np.arange(1.0, 10.0, 0.5)))
_STEPS = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0)


def price_ticks(low: float, high: float) -> list[float]:
    """Round prices between two, at least four of them where the ladders allow it.

    Examples
    --------
    >>> price_ticks(1200.0, 7500.0)
    [1500.0, 2000.0, 3000.0, 4000.0, 5000.0, 7000.0]
    """
    decades = 10.0 ** np.arange(np.floor(np.log10(low)), np.ceil(np.log10(high)) + 1)
    ticks = np.empty(0)
    for ladder in _LADDERS:
        ticks = np.outer(decades, ladder).ravel()
        ticks = ticks[(ticks >= low) & (ticks <= high)]
        if len(ticks) >= _PRICES:
            break
    return [float(tick) for tick in ticks]


def margin_ticks(low: float, high: float) -> list[float]:
    """Whole steps of margin between two, zero among them.

    Examples
    --------
    >>> margin_ticks(-2.5, 3.5)
    [-2.0, -1.0, 0.0, 1.0, 2.0, 3.0]
    """
    step = next((s for s in _STEPS if (high - low) / s <= _MARGINS), _STEPS[-1])
    return [float(n * step) for n in range(int(np.ceil(low / step)), int(high // step) + 1)]
