"""How far computed sizes may miss and still be the same size."""

from __future__ import annotations

#: Relative difference below which two sizes are one [-]: far above the rounding of floats
#: (about 1e-16 a step), far below anything that a person measures or types (our choice).
SLACK = 1e-9
