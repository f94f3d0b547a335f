"""Draw the figure of each use beside this file: python docs/uses/generate.py."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from html import escape
from pathlib import Path

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.uses.relations import carrying, flow, guarding, screening, shielding, sieves
from meshcore.weave.geometry.specifications import specifications

#: Sizes of a figure [px], its edges, and the colours of its curves, told apart on both backgrounds.
WIDTH, HEIGHT, LEFT, RIGHT, TOP, BOTTOM = 620, 360, 64, 28, 16, 52
COLOURS = ("#2f8aa3", "#c0622b", "#6f8f2f", "#8a63b8", "#b0443f")
_INK = "#7a8790"


@dataclass(frozen=True)
class Curve:
    """One curve of a figure: its name and its points."""

    name: str
    x: FloatArray
    y: FloatArray


def chart(
    curves: list[Curve], x_label: str, y_label: str, log: bool = False, rising: bool = False
) -> str:
    """Draw curves; `log` makes both axes logarithmic, names stand clear of `rising` ones."""
    every_x = np.concatenate([curve.x for curve in curves])
    every_y = np.concatenate([curve.y for curve in curves])
    scale: Callable[[FloatArray], FloatArray] = np.log10 if log else np.asarray
    low_x, high_x = scale(np.nanmin(every_x)), scale(np.nanmax(every_x))
    low_y = scale(np.nanmin(every_y)) if log else np.asarray(min(0.0, np.nanmin(every_y)))
    high_y = scale(np.nanmax(every_y))

    def place(x: FloatArray, y: FloatArray) -> tuple[FloatArray, FloatArray]:
        across = (scale(x) - low_x) / (high_x - low_x) * (WIDTH - LEFT - RIGHT) + LEFT
        up = HEIGHT - BOTTOM - (scale(y) - low_y) / (high_y - low_y) * (HEIGHT - TOP - BOTTOM)
        return across, up

    parts: list[str] = []
    below = HEIGHT - BOTTOM + 18
    for tick in np.linspace(0.0, 1.0, 5):
        value_x, value_y = low_x + tick * (high_x - low_x), low_y + tick * (high_y - low_y)
        x = LEFT + tick * (WIDTH - LEFT - RIGHT)
        y = HEIGHT - BOTTOM - tick * (HEIGHT - TOP - BOTTOM)
        said_x, said_y = (10.0**v if log else v for v in (value_x, value_y))
        parts += [
            f'<line x1="{LEFT}" y1="{y:.1f}" x2="{WIDTH - RIGHT}" y2="{y:.1f}" class="grid"/>',
            f'<text x="{LEFT - 6}" y="{y + 4:.1f}" text-anchor="end">{_said(said_y)}</text>',
            f'<text x="{x:.1f}" y="{below}" text-anchor="middle">{_said(said_x)}</text>',
        ]
    for number, curve in enumerate(curves):
        known = np.isfinite(curve.x) & np.isfinite(curve.y)
        across, up = place(curve.x[known], curve.y[known])
        points = " ".join(f"{x:.1f},{y:.1f}" for x, y in zip(across, up, strict=True))
        colour = COLOURS[number % len(COLOURS)]
        parts.append(
            f'<polyline points="{points}" fill="none" stroke="{colour}" stroke-width="2"/>'
        )
        y = TOP + 14 + 17 * number
        x, anchor = (LEFT + 12, "start") if rising else (WIDTH - RIGHT - 8, "end")
        at = f'x="{x}" y="{y}" text-anchor="{anchor}"'
        parts.append(f'<text {at} style="fill:{colour}">{escape(curve.name)}</text>')
    middle = (LEFT + WIDTH - RIGHT) / 2
    parts += [
        f'<text x="{middle}" y="{HEIGHT - 12}" text-anchor="middle">{escape(x_label)}</text>',
        f'<text transform="translate(14 {HEIGHT / 2}) rotate(-90)" text-anchor="middle">'
        f"{escape(y_label)}</text>",
    ]
    style = f"text{{font:12px sans-serif;fill:{_INK}}}.grid{{stroke:{_INK};stroke-opacity:.3}}"
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" role="img" '
        f'aria-label="{escape(y_label)} over {escape(x_label)}"><style>{style}</style>'
    )
    return "\n".join([head, *parts, "</svg>"]) + "\n"


def _said(value: float) -> str:
    """Write a number of an axis."""
    return f"{value:,.0f}" if abs(value) >= 1000 else f"{value:.3g}"


def _screening() -> str:
    share = np.linspace(0.05, 0.99, 60)
    curves = [
        Curve(f"{degrees}°, wire a quarter of the aperture", share, np.asarray(
            screening.passage_chance(share * 10e-3, 10e-3, 2.5e-3, np.deg2rad(degrees))) * 100)
        for degrees in (0, 20, 35)
    ]  # fmt: skip
    return chart(curves, "particle over aperture", "chance of passage in one trial [%]")


def _screen(aperture: float, wire: float) -> flow.ScreenColumns:
    cloth = specifications(np.array([0]), np.array([wire]), np.array([aperture + wire]))
    return flow.ScreenColumns(cloth.aperture_m, cloth.wire_diameter_m, cloth.thickness_m,
                              cloth.open_area, cloth.path_ratio, cloth.weave)  # fmt: skip


def _filtration() -> str:
    speed = np.geomspace(0.02, 3.0, 60)
    curves = [
        Curve(name, speed, np.asarray(loss))
        for name, loss in flow.loss_coefficients(
            _screen(0.15e-3, 0.1e-3), speed, flow.FLUIDS["water"]).items()
        if np.isfinite(loss).any()
    ]  # fmt: skip
    return chart(curves, "speed of water at 0.15 × 0.1 mm [m/s]", "loss coefficient K", log=True)


def _air() -> str:
    speed = np.linspace(0.5, 6.0, 60)
    curves = [
        Curve(f"{w * 1e3:g} × {d * 1e3:g} mm", speed,
              flow.pressure_drop(_screen(w, d), speed, flow.FLUIDS["air"]).high)
        for w, d in ((1.13e-3, 0.28e-3), (1.7e-3, 0.4e-3), (5.6e-3, 0.9e-3))
    ]  # fmt: skip
    return chart(curves, "speed of air [m/s]", "pressure drop, highest of the authors [Pa]",
                 rising=True)  # fmt: skip


def _guarding() -> str:
    opening = np.linspace(0.5e-3, 0.12, 1200)
    curves = [Curve("square openings", opening * 1e3, guarding.least_distance(opening) * 1e3)]
    return chart(curves, "opening [mm]", "least distance [mm]", rising=True)


def _sieves() -> str:
    found = [sieves.sieve_of(w) for w in (45e-6, 75e-6, 150e-6, 0.3e-3, 0.6e-3, 1e-3, 2e-3, 4e-3,
                                          8e-3, 16e-3, 31.5e-3, 63e-3, 125e-3)]  # fmt: skip
    known = [one for one in found if one is not None]
    aperture = np.array([one.aperture_m for one in known]) * 1e3
    curves = [
        Curve("X, no single aperture over", aperture, np.array([o.single_m for o in known]) * 1e6),
        Curve("Y, the average within", aperture, np.array([o.average_m for o in known]) * 1e6),
    ]
    return chart(curves, "aperture [mm]", "tolerance [µm]", log=True, rising=True)


def _bearing() -> str:
    pitch = np.geomspace(2e-3, 50e-3, 60)
    curves = [
        Curve(f"wire {d * 1e3:g} mm", pitch * 1e3,
              np.asarray(carrying.steel_per_width(d, pitch)) * 1e6)
        for d in (0.8e-3, 1.6e-3, 3.15e-3)
    ]  # fmt: skip
    return chart(curves, "pitch [mm]", "section per width [mm²/m]", log=True)


def _shielding() -> str:
    frequency = np.geomspace(1e6, 2e10, 80)
    curves = [
        Curve(f"copper, pitch {p * 1e3:g} mm, wire {d * 1e3:g} mm", frequency / 1e6, np.array(
            [float(shielding.grid_attenuation(p, d, f, 40e6)) for f in frequency]))
        for p, d in ((0.5e-3, 0.2e-3), (1.41e-3, 0.28e-3), (12.7e-3, 1.2e-3))
    ]  # fmt: skip
    return chart(curves, "frequency [MHz]", "attenuation [dB]", log=True)


#: File → what draws it.
FIGURES: dict[str, Callable[[], str]] = {
    "screening.svg": _screening,
    "filtration.svg": _filtration,
    "air-and-insects.svg": _air,
    "guarding.svg": _guarding,
    "test-sieves.svg": _sieves,
    "bearing.svg": _bearing,
    "shielding.svg": _shielding,
}

if __name__ == "__main__":
    for file, draw in FIGURES.items():
        (Path(__file__).parent / file).write_text(draw(), encoding="utf-8")
