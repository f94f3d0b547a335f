"""Draw the figure of each weave beside this file: python docs/weaves/generate.py."""

from __future__ import annotations

from pathlib import Path

from meshcore.weave.cloth import (
    DOUBLE_CRIMP,
    FLAT_TOP,
    INTERMEDIATE_CRIMP,
    LOCK_CRIMP,
    PLAIN,
    TWILLED,
    WEAVES,
    WELDED,
)
from meshcore.weave.drawing.sheet import draw_cloth

#: Weave → wire and pitch [m] of its figure: sizes that each weave is usually asked for in.
FIGURES: dict[int, tuple[float, float]] = {
    PLAIN: (0.635e-3, 2.54e-3),
    TWILLED: (20e-6, 40e-6),
    DOUBLE_CRIMP: (5e-3, 17.5e-3),
    INTERMEDIATE_CRIMP: (5e-3, 55e-3),
    LOCK_CRIMP: (4e-3, 24e-3),
    FLAT_TOP: (6.3e-3, 31.3e-3),
    WELDED: (3e-3, 53e-3),
}


def figure_name(weave: int) -> str:
    """File name of a weave's figure."""
    return f"{WEAVES[weave].replace(' ', '-')}.svg"


def figure(weave: int) -> str:
    """SVG text of a weave's figure."""
    return draw_cloth(weave, *FIGURES[weave]) + "\n"


if __name__ == "__main__":
    for code in FIGURES:
        (Path(__file__).parent / figure_name(code)).write_text(figure(code), encoding="utf-8")
