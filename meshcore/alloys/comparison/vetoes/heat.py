"""What rules an alloy out when hot, when cold, and by the temper of its wire."""

from __future__ import annotations

import numpy as np

from meshcore.alloys.comparison.columns import ConditionColumns
from meshcore.alloys.comparison.vetoes.terms import (
    HANDBOOKS,
    HOT_METALS,
    Veto,
    colder,
    cooler,
    every,
    hot_between,
    hotter,
    in_medium,
    may_be_of_temper,
    of_temper,
    under_load_above,
    yes,
)
from meshcore.alloys.methods.tempers import hard_drawn
from meshcore.alloys.methods.three_way import Maybe, above, either, is_so, sure
from meshcore.alloys.methods.verdicts import FAILS, MARGINAL, NOT_JUDGED

#: Hotter than any metal is used [°C]: the upper end of a range that has none.
_ANY_C = 4_000.0
#: What fouls hot air, besides chlorine.
_FOUL = ("h2s", "ammonia")


def _in_foul_air(c: ConditionColumns) -> Maybe:
    """Hot air in which somebody named what the ceilings of clean air do not know."""
    foul = either(above(c.chlorine_mg_l, 0.0), *(is_so(c.three_way[f]) for f in _FOUL))
    return sure(foul.certain & ~np.isnan(c.temperature_c) & ~c.in_air & ~c.is_wet)


HOT_VETOES: tuple[Veto, ...] = (
    Veto("foul hot air", ("*",), _in_foul_air,
         "the ceilings are of clean air: name the gas as the surroundings", HOT_METALS, NOT_JUDGED),
    Veto("acid dew point", ("*",),
         every(in_medium("flue gas", "sulphurous gas, oxidising", "sulphurous gas, reducing"),
               colder(160.0)),
         "below about 160 °C the metal may be wetted by sulphuric acid from the gas, of about 70 "
         "to 80 %: name that acid as the surroundings, or flue-gas condensate where the fuel has "
         "no sulphur", HANDBOOKS, NOT_JUDGED, "temperature"),
    Veto("acid and water from the gas",
         ("carbon", "zinc", "copper-base", "aluminium", "nickel", "nicu", "cr12"),
         every(in_medium("flue gas", "sulphurous gas, oxidising", "sulphurous gas, reducing"),
               colder(60.0)),
         "below about 60 °C the water of the gas settles too, with its acids, and dissolves it",
         HANDBOOKS, FAILS, "temperature"),
    Veto("warm pool hall", ("stainless",), every(in_medium("pool hall"), hotter(45.0)),
         "what is published is of the air that bathers breathe", HANDBOOKS, NOT_JUDGED,
         "temperature"),
    Veto("magnesium over 3 %", ("al5high",), hotter(65.0),
         "warmth makes aluminium with over 3 % magnesium crack",
         "Corrosion 15(2) (1959) 19: about 150 °F (abstract read)", rests_on="temperature"),
    Veto("475 °C embrittlement", ("duplex",), hotter(315.0),
         "ferrite turns brittle near 475 °C, in use from about 300 °C on",
         "EN 10028-7 holds duplex to 250 °C, as BSSA quotes it (read)", rests_on="temperature"),
    Veto("475 °C embrittlement", ("ferritic",), hot_between(400.0, 550.0),
         "ferrite turns brittle near 475 °C: do not bend or knock it when cold", HOT_METALS,
         MARGINAL, "temperature"),
    Veto("475 °C embrittlement", ("ferritic",), hot_between(550.0, _ANY_C),
         "it passes 475 °C whenever it is heated and cooled, and turns brittle if it does so "
         "slowly", HOT_METALS, MARGINAL, "temperature"),
    Veto("sigma phase", ("crheat",), hot_between(520.0, 870.0),
         "a brittle phase forms from about 520 to 870 °C: do not bend or knock it when cold",
         HOT_METALS, MARGINAL, "temperature"),
    Veto("sigma phase", ("heataust",), hot_between(600.0, 870.0),
         "held long between about 600 and 870 °C it turns brittle when cold, so do not bend or "
         "knock it then; in hotter metal the phase dissolves, and at 475 °C austenite is not at "
         "risk", HOT_METALS, MARGINAL, "temperature"),
    Veto("sigma phase", ("austmo", "superaust", "sixmo"), hot_between(620.0, 900.0),
         "molybdenum makes a brittle phase from about 620 to 900 °C: do not bend or knock it when "
         "cold", HOT_METALS, MARGINAL, "temperature"),
    Veto("brittle phases of nickel alloys", ("nimocr",), hot_between(650.0, _ANY_C),
         "brittle phases form above about 650 °C, and makers stop there", HANDBOOKS, MARGINAL,
         "temperature"),
    Veto("brittle phases of nickel alloys", ("ni625",), hot_between(600.0, 900.0),
         "a brittle phase forms from about 600 to 900 °C", HANDBOOKS, MARGINAL, "temperature"),
    Veto("green rot", ("nicr",), every(in_medium("carburising gas"), hot_between(780.0, 980.0)),
         "carbon takes the chromium of nickel-chromium, and oxygen follows: about 800 to 950 °C",
         HANDBOOKS, MARGINAL, "temperature"),
    Veto("metal dusting", ("stainless", "nickel-base", "carbon"),
         every(in_medium("carburising gas"), hot_between(450.0, 800.0)),
         "gas rich in carbon monoxide may eat it to dust between about 450 and 800 °C, thin wire "
         "first: it depends on the carbon activity of the gas, and on traces of sulphur in it",
         "NACE 97139 (abstract read): Fe-Ni-Cr and nickel with 16 % Cr dusted at 650 °C",
         NOT_JUDGED, "temperature"),
    Veto("brittle once hot", ("fecral",), hot_between(900.0, _ANY_C),
         "its grains grow: once hot it is brittle when cold", HANDBOOKS, MARGINAL, "temperature"),
    Veto("graphite in nickel", ("graphitising",), hotter(315.0),
         "its carbon turns to graphite and makes it brittle: nickel 201 is meant for such heat",
         HANDBOOKS, rests_on="temperature"),
    *(Veto("load in heat", groups, under_load_above(limit),
           f"above about {limit:g} °C it stretches slowly under load: reckon with creep",
           "creep ranges of handbooks, from memory", MARGINAL)
      for groups, limit in (
          (("aluminium",), 100.0), (("copper", "zinc-bearing", "zinc"), 150.0),
          (("tinbronze", "sibronze", "cuni"), 200.0), (("titanium",), 300.0),
          (("carbon",), 370.0), (("nickel", "nicu"), 370.0), (("ferritic",), 480.0),
          (("aust", "austmo", "superaust", "sixmo"), 550.0),
          (("heataust", "ni330", "nickel-chromium", "nimo"), 600.0))),
)  # fmt: skip
COLD_VETOES: tuple[Veto, ...] = (
    Veto("brittle when cold", ("carbon", "zinc", "ferritic"), colder(-20.0),
         "ferrite turns brittle in the cold: not for knocks or notches", HANDBOOKS, MARGINAL),
    Veto("brittle when cold", ("carbon", "zinc", "ferritic"), colder(-100.0),
         "ferrite breaks like glass so cold", HANDBOOKS),
    Veto("brittle when cold", ("duplex", "mo", "w"), colder(-50.0),
         "its ferrite turns brittle in the cold",
         "EN 10028-7 holds duplex to −40 °C (from memory)", MARGINAL),
    Veto("brittle when cold", ("duplex", "mo", "w"), colder(-100.0),
         "its ferrite breaks like glass so cold", HANDBOOKS),
)  # fmt: skip
TEMPER_VETOES: tuple[Veto, ...] = tuple(
    Veto("hard wire in heat", row.groups, every(of_temper("hard-drawn"), hotter(row.keeps_to_c)),
         f"above about {row.keeps_to_c:g} °C it relaxes, and loses the strength that drawing gave "
         "it", row.source, MARGINAL, "temperature")
    for row in hard_drawn()
)  # fmt: skip
#: What hydrogen takes the ductility of at room temperature; steel 316 and richer hardly at all.
_EMBRITTLED = ("carbon", "zinc", "ferritic", "duplex", "aust", "nickel", "nickellc", "nicu", "nicr",
               "ni625", "nimocr", "ni825", "nimo", "ti5")  # fmt: skip
_HYDROGEN = ("NASA/TM-2016-218602 (its beginning read; ranking from memory); ASME PVP2007 p. 459 "
             "(abstract read): 304 lost fatigue life, 316L little")  # fmt: skip
#: Up to where hydrogen makes metal brittle rather than attacking it [°C] (from memory).
_HYDROGEN_C = 150.0
#: Gases with hydrogen in them, in which hard wire cracks.
HYDROGEN_VETOES: tuple[Veto, ...] = (
    Veto("gas on hard wire", ("carbon", "zinc", "ferritic", "duplex"),
         every(of_temper("hard-drawn"), in_medium("hot hydrogen")),
         "hydrogen from the gas may crack hard wire", HANDBOOKS, MARGINAL),
    Veto("hydrogen under load", _EMBRITTLED,
         every(in_medium("hot hydrogen"), yes("load"), cooler(_HYDROGEN_C)),
         "under load it loses ductility in hydrogen near room temperature", _HYDROGEN, MARGINAL,
         "load and temperature"),
    Veto("hydrogen under load", _EMBRITTLED,
         every(in_medium("hot hydrogen"), yes("load"), cooler(_HYDROGEN_C),
               may_be_of_temper("hard-drawn")),
         "drawing turns it to martensite or makes it hard, and hydrogen cracks it under load near "
         "room temperature", _HYDROGEN, rests_on="load, temperature and the temper of the wire"),
)  # fmt: skip
