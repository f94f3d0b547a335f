"""Which weave is which: each weave's story, its reach at a pitch, and a line's sizes in it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from meshcore import plugins
from meshcore.enquiry import WEAVES
from meshcore.units import METRES_PER_INCH
from meshcore.weave.cloth import ClothColumns, take_cloth
from meshcore.weave.geometry.path import cloth_path, jam_wire_to_pitch
from meshcore.weave.judging.limits import length_text
from meshcore.weave.judging.practicality import NOT_JUDGED, weave_rules
from meshcore.weave.judging.purpose import verdict_as
from meshcore.weave.judging.weave_reach import WeaveReach, weave_reach
from meshcore.weave.judging.weave_stories import STORIES, WeaveStory

#: Pitch told of where no line gives one: 4 per inch, at which all seven are usual (our choice).
USUAL_PITCH_M = METRES_PER_INCH / 4.0
#: Wire over pitch at which a weave is shown that a line's own sizes would jam [-]: all seven have
#: room there (our choice).
SHOWN = 0.16


@dataclass(frozen=True, slots=True)
class WeaveEntry:
    """One weave of the guide.

    Parameters
    ----------
    weave
        Index into ``WEAVES``.
    story
        What it is, how it is told, what it is for and what not.
    facts
        Name and text of what the library reckons for it.
    verdict
        Index into ``VERDICTS`` of the line's sizes in this weave; ``NOT_JUDGED`` without a line.
    wire_diameter_m, pitch_m
        Sizes at which it can be shown [m]: those of the line where they do not jam.
    """

    weave: int
    story: WeaveStory
    facts: tuple[tuple[str, str], ...]
    verdict: int
    wire_diameter_m: float
    pitch_m: float

    @property
    def name(self) -> str:
        """Name of the weave."""
        return WEAVES[self.weave]

    @property
    def count(self) -> str:
        """Count at which it is told of."""
        return _count(self.pitch_m)

    @property
    def sizes(self) -> str:
        """Sizes at which it is shown."""
        return f"wire {length_text(self.wire_diameter_m)}, pitch {length_text(self.pitch_m)}"


def weave_guide(cloth: ClothColumns | None = None, line: int = 0) -> tuple[WeaveEntry, ...]:
    """Tell of every weave, for the sizes of a line or for 4 per inch.

    Parameters
    ----------
    cloth, line
        The cloth of a list and the place of the line in it; without sizes they are left out.

    Returns
    -------
    One entry a weave, in the order of ``WEAVES``. What can be woven is by the rules of the plugins
    that are installed.

    Examples
    --------
    >>> guide = weave_guide()
    >>> guide[0].name, guide[0].facts[0]
    ('plain', ('jams at', 'wire 0.577 of the pitch, 17.9 % open'))
    """
    wire, pitch = np.nan, np.nan
    if cloth is not None:
        wire, pitch = float(cloth.wire_diameter_m[line]), float(cloth.pitch_m[line])
    known = bool(np.isfinite(wire) and np.isfinite(pitch))
    rules = weave_rules(plugins.installed())
    reach = weave_reach(pitch if known else USUAL_PITCH_M, rules)
    one = take_cloth(cloth, np.array([line])) if cloth is not None and known else None
    return tuple(
        _entry(
            code,
            reach,
            NOT_JUDGED if one is None else int(verdict_as(one, code, rules)[0]),
            wire if known else SHOWN * reach.pitch_m,
        )
        for code in range(len(WEAVES))
    )


def _entry(code: int, reach: WeaveReach, verdict: int, wire: float) -> WeaveEntry:
    pitch = reach.pitch_m
    shown = wire if wire <= jam_wire_to_pitch(code) * pitch else SHOWN * pitch
    path = cloth_path(np.array([code]), np.array([shown]), np.array([pitch]))
    more = float(path.path_ratio[0]) - 1.0
    facts = (
        ("jams at", f"wire {reach.jam_wire_m[code] / pitch:.3g} of the pitch, "
         f"{reach.open_area_at_jam[code] * 100:.3g} % open"),
        (f"at {_count(pitch)}", _takes(code, reach)),
        ("wire length", f"{_more(more)} at {length_text(shown)}"),
    )  # fmt: skip
    return WeaveEntry(code, STORIES[code], facts, verdict, shown, pitch)


def _more(share: float) -> str:
    """How much longer the wires are than the cloth."""
    return f"{share * 100:.2g} % longer than the cloth" if share > 0.0 else "as long as the cloth"


def _takes(code: int, reach: WeaveReach) -> str:
    """Wires that a weave takes at the pitch, and what stops it on either side."""
    least, greatest = float(reach.least_wire_m[code]), float(reach.greatest_wire_m[code])
    if not np.isfinite(least):
        return f"none is usual (against: {reach.against[code]})"
    said = f"wires of {_rounded(least)} to {_rounded(greatest)}"
    opens = [(1.0 - wire / reach.pitch_m) ** 2 * 100 for wire in (least, greatest)]
    said += f", {opens[0]:.3g} to {opens[1]:.3g} % open"
    stops = [
        f"{way}: {rule}"
        for way, rule in (("lighter", reach.below[code]), ("heavier", reach.above[code]))
        if rule
    ]
    return f"{said} ({'; '.join(stops)})" if stops else said


def _count(pitch_m: float) -> str:
    return f"{METRES_PER_INCH / pitch_m:.4g} per inch"


def _rounded(metres: float) -> str:
    """Length in three figures, which is what the steps of the reach are good for."""
    return length_text(float(f"{metres:.3g}"))
