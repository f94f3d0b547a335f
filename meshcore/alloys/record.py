"""What is known of one alloy, with the source of every number."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

RatingLevel = Literal["good", "fair", "poor", "no"]


@dataclass(frozen=True, slots=True)
class Rating:
    """How an alloy takes a service, and why in one line.

    Parameters
    ----------
    level
        ``good``: routine. ``fair``: done every day with the care that the reason names.
        ``poor``: seldom done, and only after a trial. ``no``: not done.
    reason
        Why, in one line.
    """

    level: RatingLevel
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Alloy:
    """One alloy as drawn and annealed wire.

    Parameters
    ----------
    designation
        The name shown everywhere: a trade number or standard designation (``"316L"``,
        ``"alloy 625"``, ``"carbon steel"``), never a brand.
    family
        Such as ``"austenitic stainless steel"``.
    uns, en
        UNS number and EN material number; empty where there is none.
    aliases
        Other ways it is written; matching ignores case, spaces and punctuation.
    general_names
        Names too general to mean one alloy, such as ``"stainless steel"``. Such a name is refused
        with the alloys that share it.
    density_kg_m3
        Density at 20 °C [kg/m³].
    composition_pct
        Element symbol → (least, most) mass share [%]; the balance element carries its range too.
        Residual elements that no method here reads (P, S) are left out.
    tensile_mpa
        Tensile strength of annealed wire, (least, most) [MPa].
    modulus_gpa
        Young's modulus at 20 °C [GPa].
    max_air_temperature_c
        Customary ceiling for continuous service in air [°C].
    magnetic
        Whether a magnet holds it in the annealed state.
    finest_wire_mm
        Finest wire usually drawn [mm].
    services
        Service name (``weld``, ``form``, ``anneal``, ``coat``) → rating.
    zinc_coating_um
        Thickness of zinc on galvanized wire [µm]; 0 for bare wire.
    zinc_class
        Class of EN 10244-2 by which the zinc grows with the wire (``"A"`` to ``"D"``), or empty:
        then it is ``zinc_coating_um`` on any wire.
    resists_as
        Family in the table of media, such as ``"austmo"``; empty where the table has none for it.
    curie_c
        Temperature up to which it is magnetic [°C]; None where it is not a matter of heat.
    sources
        Field name → source of its value, or ``"from memory"``.
    """

    designation: str
    family: str
    uns: str = ""
    en: str = ""
    aliases: tuple[str, ...] = ()
    general_names: tuple[str, ...] = ()
    density_kg_m3: float
    composition_pct: Mapping[str, tuple[float, float]]
    tensile_mpa: tuple[float, float]
    modulus_gpa: float
    max_air_temperature_c: float
    magnetic: bool
    finest_wire_mm: float
    services: Mapping[str, Rating]
    zinc_coating_um: float = 0.0
    zinc_class: str = ""
    resists_as: str = ""
    curie_c: float | None = None
    sources: Mapping[str, str] = field(default_factory=dict)
