"""Offers of cloth that can be woven, each with what it changes of what was asked."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.enquiry import WEAVES
from meshcore.messages import Message
from meshcore.units import METRES_PER_INCH
from meshcore.weave.cloth import ClothColumns
from meshcore.weave.geometry.mass import mass_per_area
from meshcore.weave.search.grid import PROPERTIES, SERIES, Grid, property_logs, stacked
from meshcore.weave.search.written import in_micrometres, written_cells

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True, slots=True)
class Alternatives:
    """Offers in order of nearness; arrays have one row an offer.

    Parameters
    ----------
    asked
        What was asked for: cloth of one line.
    cloth
        The offers.
    series
        Index into ``SERIES``.
    distance
        Weighted sum of the relative changes that ranked the offers [-].
    aperture_change, wire_change, open_area_change, mass_change, strength_change
        Offer over asked, less one [-]; NaN where what was asked is not known.
    mass_per_area_kg_m2
        Mass of each offer [kg/m²]; NaN where the alloy is not known.
    price, price_change
        Price of each offer as the caller priced it, and its change [-]; NaN until priced.
    held
        Properties held.
    message
        Why there are no offers, and what to let go; None where there are.
    why
        For what reason each is offered.
    weave_named
        Whether the weave asked for was named, so that another is a trade too.
    """

    asked: ClothColumns
    cloth: ClothColumns
    series: IntArray
    distance: FloatArray
    aperture_change: FloatArray
    wire_change: FloatArray
    open_area_change: FloatArray
    mass_change: FloatArray
    strength_change: FloatArray
    mass_per_area_kg_m2: FloatArray
    price: FloatArray
    price_change: FloatArray
    held: tuple[str, ...]
    message: Message | None
    why: tuple[str, ...] = ()
    weave_named: bool = False

    def __len__(self) -> int:
        """Return the number of offers."""
        return len(self.series)

    def priced(self, price: Callable[[ClothColumns], FloatArray]) -> Alternatives:
        """Return the same offers with prices.

        Parameters
        ----------
        price
            Prices of cloth, one a line; called once, with what was asked as the first line and
            the offers after it. NaN where cloth cannot be priced.
        """
        prices = price(stacked([self.asked, self.cloth]))
        return replace(self, price=prices[1:], price_change=prices[1:] / prices[0] - 1.0)

    def cells(self, rank: int) -> dict[str, str]:
        """Return enquiry cells that ask for offer `rank`, from 0, sized as a mill writes it."""
        cloth = self.cloth
        return written_cells(
            int(cloth.weave[rank]), float(cloth.wire_diameter_m[rank]), float(cloth.pitch_m[rank]),
            in_micrometres(cloth.wire_diameter_m, cloth.aperture_m),
        )  # fmt: skip

    def name(self, rank: int) -> str:
        """Offer `rank` as it is called: ``"10 / in × 0.025 in plain"``."""
        cells = self.cells(rank)
        return (
            f"{cells['mesh_count'] or cells['aperture']} × {cells['wire_diameter']} "
            + (cells["weave"])
        )

    def trade_off(self, rank: int) -> str:
        """Tell what offer `rank` changes of what was asked, in one line; empty if nothing is known.

        Examples
        --------
        >>> import meshcore as mc
        >>> line = mc.estimate(mc.Enquiry(aperture="2 mm", wire_diameter="5.6 mm"))
        >>> offered = mc.nearest_weavable(line)
        >>> print(offered.name(0), offered.trade_off(0), sep=": ")
        5.6 mm × 2 mm plain: aperture 3.6 mm larger, 7.8 times the open area, wires 3.6 mm lighter
        """
        asked, cloth = self.asked, self.cloth
        before = (1.0 / (1.0 + self.price_change[rank])) * self.price[rank]
        told = trade_off(traded(asked, 0, float(before)), traded(cloth, rank, self.price[rank]))
        was, now = WEAVES[int(asked.weave[0])], WEAVES[int(cloth.weave[rank])]
        is_told = was == now or self.why[rank].startswith(SAME_SIZES)
        other = f"{now}, not {was}" if self.weave_named and not is_told else ""
        return ", ".join(filter(None, (other, told)))

    def frame(self) -> pd.DataFrame:
        """Return the offers as a table, sizes in mm and shares in per cent."""
        import pandas as pd  # noqa: PLC0415 - heavy, and a search does not need it

        cloth = self.cloth
        columns = {
            "weave": [WEAVES[code] for code in cloth.weave],
            "mesh_count_per_in": METRES_PER_INCH / cloth.pitch_m,
            "pitch_mm": cloth.pitch_m * 1e3,
            "aperture_mm": cloth.aperture_m * 1e3,
            "wire_diameter_mm": cloth.wire_diameter_m * 1e3,
            "open_area_pct": cloth.open_area * 1e2,
            "thickness_mm": cloth.thickness_m * 1e3,
            "mass_per_area_kg_m2": self.mass_per_area_kg_m2,
            "aperture_change_pct": self.aperture_change * 1e2,
            "wire_change_pct": self.wire_change * 1e2,
            "open_area_change_pct": self.open_area_change * 1e2,
            "mass_change_pct": self.mass_change * 1e2,
            "strength_change_pct": self.strength_change * 1e2,
            "price": self.price,
            "price_change_pct": self.price_change * 1e2,
            "series": [SERIES[code] for code in self.series],
            "why": self.why,
            "trade_off": [self.trade_off(rank) for rank in range(len(self))],
        }
        return pd.DataFrame(columns, index=pd.RangeIndex(1, len(self) + 1, name="rank"))


@dataclass(frozen=True, slots=True)
class Traded:
    """What is weighed of a cloth: sizes [m], open area [-] and price; NaN where not known."""

    aperture_m: float
    wire_m: float
    open_area: float
    price: float


def traded(cloth: ClothColumns, row: int, price: float) -> Traded:
    """Return what is weighed of one cloth at a price."""
    return Traded(
        float(cloth.aperture_m[row]), float(cloth.wire_diameter_m[row]),
        float(cloth.open_area[row]), float(price),
    )  # fmt: skip


def trade_off(one: Traded, other: Traded) -> str:
    """Tell in one line what the other cloth has more or less of; empty if nothing is known.

    Examples
    --------
    >>> trade_off(Traded(1e-3, 0.30e-3, 0.59, 100.0), Traded(1e-3, 0.25e-3, 0.64, 109.0))
    '8 % more open area, 9 % dearer, wires 0.05 mm lighter'
    """
    told = [
        _length_told("aperture", one.aperture_m, other.aperture_m, _LARGER),
        _share_told(other.open_area / one.open_area - 1.0, *_MORE_OPEN),
        _share_told(other.price / one.price - 1.0, *_DEARER),
        _length_told("wires", one.wire_m, other.wire_m, _HEAVIER),
    ]
    return ", ".join(filter(None, told))


#: How the reason of an offer begins that has the sizes asked for in another weave, which it names.
SAME_SIZES = "the same sizes, "
#: Changes below this are none worth telling, as a share.
_NO_CHANGE = 0.005
#: Changes above this are told as so many times.
_MANY_TIMES = 2.0
#: From this on, so many times is told in whole numbers.
_PLAIN_TIMES = 10.0
_MORE_OPEN = ("more open area", "less open area", "the open area")
_DEARER = ("dearer", "cheaper", "the price")
_LARGER, _HEAVIER = ("larger", "smaller"), ("heavier", "lighter")


def _share_told(change: float, more: str, less: str, whole: str) -> str:
    if not abs(change) >= _NO_CHANGE:
        return ""
    if change > _MANY_TIMES:
        return f"{times_text(1.0 + change)} {whole}"
    return f"{abs(change) * 100:.0f} % {more if change > 0 else less}"


def times_text(times: float) -> str:
    """Write how many times as much, no closer than anybody asks.

    Examples
    --------
    >>> times_text(7.84), times_text(47.562)
    ('7.8 times', '48 times')
    """
    return f"{times:,.{0 if times >= _PLAIN_TIMES else 1}f} times"


def _length_told(noun: str, before: float, after: float, words: tuple[str, str]) -> str:
    if not abs(after / before - 1.0) >= _NO_CHANGE:
        return ""
    return f"{noun} {abs(after - before) * 1e3:.2g} mm {words[after < before]}"


def as_ordered(cloth: ClothColumns, asked: ClothColumns) -> ClothColumns:
    """Return cloth in the alloy and width of what was asked."""
    lines = len(cloth.weave)
    return replace(
        cloth,
        alloy=np.repeat(asked.alloy, lines),
        alloys=asked.alloys,
        width_m=np.repeat(asked.width_m, lines),
    )


def offers(
    asked: ClothColumns,
    chosen: Grid,
    distance: FloatArray,
    hold: Sequence[str],
    message: Message | None,
    why: tuple[str, ...] = (),
) -> Alternatives:
    """Return the chosen specifications as offers, each with what it changes."""
    change = np.expm1(chosen.logs - property_logs(asked))
    by_name = dict(zip(PROPERTIES, change, strict=True))
    cloth = as_ordered(chosen.cloth, asked)
    alloy = int(asked.alloy[0])
    density = asked.alloys[alloy].density_kg_m3 if alloy >= 0 else np.nan
    unpriced = np.full(len(chosen.series), np.nan)
    return Alternatives(
        asked=asked,
        cloth=cloth,
        series=chosen.series,
        distance=distance,
        aperture_change=by_name["aperture"],
        wire_change=by_name["wire_diameter"],
        open_area_change=by_name["open_area"],
        mass_change=by_name["mass"],
        strength_change=by_name["strength"],
        mass_per_area_kg_m2=mass_per_area(
            cloth.wire_diameter_m, cloth.pitch_m, cloth.path_ratio, np.asarray(density)
        ),
        price=unpriced,
        price_change=unpriced,
        held=tuple(hold),
        message=message,
        why=why,
    )
