"""What rules an alloy out in waters, chemicals, food and moist air."""

from __future__ import annotations

import numpy as np

from meshcore.alloys.comparison.columns import ConditionColumns
from meshcore.alloys.comparison.vetoes.terms import (
    HANDBOOKS,
    Veto,
    Where,
    acid_below,
    chlorine_above,
    dry,
    every,
    flowing_above,
    hotter,
    in_kind,
    in_medium,
    in_water,
    may_be_of_temper,
    not_dry,
    not_washed_by_rain,
    said_yes,
    salty_air,
    some,
    stronger,
    wet,
    yes,
)
from meshcore.alloys.methods.media import index_of
from meshcore.alloys.methods.three_way import Maybe, above, at_least, below, both, sure
from meshcore.alloys.methods.verdicts import MARGINAL, NOT_JUDGED

_GUIDANCE = "guidance of stainless-steel associations on waters, from memory"
_AMMONIA = "Corrosion 15(8) (1959) 51 (abstract read)"
_EVAPORATED = "NACE 97194: S32750 cracked at 100 °C and S31254 at 110 °C (abstract read)"
_SOUR = "ISO 15156-3 (from memory)"
#: Warmth from which titanium takes up hydrogen [°C] (handbooks, from memory).
_HYDRIDING_C = 80.0
_REDUCING_ACID = in_medium("hydrochloric acid", "sulphuric acid", "phosphoric acid", "acetic acid",
                           "formic acid", "hydrofluoric acid", "oxalic acid")  # fmt: skip
#: Sulphuric acid in which steel and stainless are used at all, and who limits its speed.
_STRONG_SULPHURIC = every(in_medium("sulphuric acid"), stronger(89.9))
_ACID_SPEED = (
    "NACE SP0294 on strong sulphuric acid (from memory: about 0.9 m/s in pipes of steel, 1.8 m/s "
    "in those of 304 and 316), taken lower for wire"
)
#: Chloride from which warm austenitic steel may crack [mg/l] (stainless guidance, from memory).
_CRACKING_CHLORIDE = 10.0
#: Food and its cleaning have rows of practice with the salt that is in them: milk is heated in 304.
_OF_PRACTICE = ("fruit juice and wine", "milk", "salted food", "dry food and sugar",
                "cleaning in place")  # fmt: skip
#: Chloride of ordinary fresh water, of which cleaning liquors are made [mg/l] (common practice, no
#: source), and the warmth from which they may crack austenitic steel [°C].
_LIQUOR_CHLORIDE, _LIQUOR_C = 50.0, 60.0
_HYGIENE = "EHEDG Doc. 8 on hygienic equipment (from memory): cracking above about 60 °C"


def _hot_chloride(limit_c: float) -> Where:
    practice = [index_of(name) for name in _OF_PRACTICE]

    def where(c: ConditionColumns) -> Maybe:
        return both(
            sure(c.is_wet & c.speaks_of_chloride & ~np.isin(c.medium, practice)),
            above(c.metal_c, limit_c),
            at_least(c.chloride_mg_l, _CRACKING_CHLORIDE),
        )

    return where


def _no_sewage(c: ConditionColumns) -> Maybe:
    # Sewage has its sulphide, cold and without pressure: its rows speak of it.
    return sure(c.medium != index_of("waste water"))


def _salt(limit_mg_l: float) -> Where:
    return lambda c: above(c.chloride_mg_l, limit_mg_l)


def _welded(c: ConditionColumns) -> Maybe:
    return sure(c.services["weld"] & c.is_wet)


#: Warmest that each kind is used in chloride [°C], and who says so.
_CRACKS_ABOVE: tuple[tuple[tuple[str, ...], float, str], ...] = (
    (("aust", "heataust"), 50.0, f"about 50 °C for 304: {HANDBOOKS}"),
    (("austmo",), 60.0, f"about 60 °C for 316: {HANDBOOKS}"),
    (("ni330",), 80.0, f"30 % nickel helps, and does not do: {HANDBOOKS}"),
    (("superaust", "duplex"), 90.0, _EVAPORATED),
    (("sixmo",), 100.0, _EVAPORATED),
)
#: The same where salt dries onto the metal in the air: duplex cracks in cooler metal then.
_CRACKS_IN_AIR_ABOVE = (
    *(row for row in _CRACKS_ABOVE if row[0] != ("superaust", "duplex")),
    (("superaust",), 90.0, HANDBOOKS),
    (("duplex",), 70.0,
     "Corrosion 64(2) (2008) 101: sea water drying on duplex, 70 to 80 °C (abstract read)"),
)  # fmt: skip
CHLORIDE_VETOES: tuple[Veto, ...] = (
    *(Veto("chloride stress corrosion", groups, _hot_chloride(limit),
           "chloride cracks it in warm water, and crimped wire holds stress", source,
           rests_on="temperature and chloride")
      for groups, limit, source in _CRACKS_ABOVE),
    *(Veto("chloride stress corrosion", groups, every(salty_air, hotter(limit)),
           "salt from sea or road draws water onto warm metal and cracks it, and crimped wire "
           "holds stress", source, rests_on="temperature, and how far sea and salted roads are")
      for groups, limit, source in _CRACKS_IN_AIR_ABOVE),
    Veto("chloride stress corrosion", ("aust",),
         every(in_medium("cleaning in place"), hotter(_LIQUOR_C), _salt(_LIQUOR_CHLORIDE)),
         "hot liquor with more chloride than ordinary water has cracks it", _HYGIENE,
         rests_on="temperature and chloride"),
    Veto("chloride stress corrosion", ("aust",),
         every(in_medium("cleaning in place"), hotter(_LIQUOR_C),
               lambda c: at_least(c.chloride_mg_l, _CRACKING_CHLORIDE)),
         "the chloride of ordinary water may crack it in hot liquor, and crimped wire holds "
         "stress: metal with molybdenum is customary", _HYGIENE, MARGINAL,
         "temperature and chloride"),
    Veto("chloride stress corrosion", ("austmo", "heataust"),
         every(in_medium("cleaning in place"), hotter(_LIQUOR_C), _salt(_LIQUOR_CHLORIDE)),
         "hot liquor with more chloride than ordinary water may crack it", _HYGIENE, MARGINAL,
         "temperature and chloride"),
    Veto("salt left on warm metal", ("aust", "austmo", "heataust"),
         every(salty_air, not_washed_by_rain, hotter(30.0)),
         "salt that is not washed off cracks it from about 30 °C where it is under load",
         "Corrosion 65(2) (2009) 105: 304 and 316L under chlorides left in the air (abstract "
         "read)", MARGINAL, "temperature and washing"),
    Veto("warm sea water", ("sixmo", "superduplex"),
         every(in_water, _salt(15_000.0), hotter(25.0)),
         "tight crevices start in warm sea water, and mesh has one at each crossing",
         "NACE 99326: S31254 and others attacked at 30 °C (abstract read)", MARGINAL,
         "chloride and temperature"),
    Veto("dosed sea water", ("superaust", "sixmo", "superduplex"),
         every(chlorine_above(0.0), _salt(10_000.0), hotter(15.0)),
         "chlorine in sea water starts crevices, and mesh has one at each crossing: about 15 to "
         "20 °C is the most with crevices", "NORSOK M-001 (from memory)", NOT_JUDGED,
         "free chlorine and temperature"),
    Veto("dosed sea water", ("superaust", "sixmo", "superduplex"),
         every(chlorine_above(0.0), _salt(10_000.0)),
         "chlorine in sea water starts crevices in cool water too, if less often",
         "NORSOK M-001 (from memory)", MARGINAL, "free chlorine"),
    Veto("dosed chlorine", ("nickel", "nicu", "nicr"),
         every(chlorine_above(0.0), _salt(250.0)),
         "without molybdenum it pits in dosed salt water, about as 304 does", HANDBOOKS, MARGINAL,
         "free chlorine and chloride"),
    Veto("crevices", ("cr17",), every(in_water, _salt(20.0)),
         "17 % chromium without molybdenum pits in the crevices of a mesh, in fresh water too",
         "NiDI 11003, as a data sheet quotes it (read): crevice attack in fresh waters",
         MARGINAL, "chloride"),
    Veto("loss of zinc", ("brass",),
         every(in_water, some(_salt(250.0), hotter(60.0), lambda c: below(c.ph, 6.5))),
         "it loses its zinc in salt, warm or acid water", HANDBOOKS,
         rests_on="chloride, temperature and pH"),
    Veto("still water", ("nicu", "nickel", "nicr", "austmo", "aust", "heataust", "ni330",
                         "leanduplex", "cr18mo", "cr17", "crheat"),
         every(in_water, said_yes("stagnant"), _salt(100.0)),
         "pits under deposits where the water stands", HANDBOOKS, MARGINAL, "chloride"),
    Veto("still water", ("cuni", "tinbronze", "sibronze", "copper", "redbrass"),
         every(in_water, said_yes("stagnant"), _salt(1_000.0)),
         "salt water that stands goes foul, and its sulphide takes the film of copper away",
         "Copper Development Association publication 206 (contents read; from memory)", MARGINAL,
         "chloride"),
    Veto("dosed chlorine", ("ferritic",), chlorine_above(0.5),
         "dosed chlorine pits ferritic steel", HANDBOOKS, rests_on="free chlorine"),
    Veto("dosed chlorine", ("ferritic",), chlorine_above(0.0),
         "dosed chlorine may pit ferritic steel, and nobody recommends it for dosed water",
         HANDBOOKS, MARGINAL, "free chlorine"),
    *(Veto("dosed chlorine", groups, chlorine_above(limit),
           f"more than about {limit:g} mg/l of free chlorine pits it", _GUIDANCE,
           rests_on="free chlorine")
      for groups, limit in ((("aust", "heataust", "ni330", "leanduplex"), 2.0),
                            (("austmo", "duplex"), 5.0))),
    Veto("dosed warm water", ("stainless",), every(chlorine_above(0.5), hotter(30.0)),
         "chlorine and warmth together start crevices, and mesh has one at each crossing",
         "Mameng and Pettersson, EUROCORR 2011 (abstract read; tried at 30 and 50 °C)", NOT_JUDGED,
         "free chlorine and temperature"),
    Veto("dosed chlorine", ("copper-base", "nicu", "nickel"), chlorine_above(1.0),
         "chlorine takes it into the water", HANDBOOKS, MARGINAL, "free chlorine"),
)  # fmt: skip
ACID_VETOES: tuple[Veto, ...] = (
    Veto("acid or alkali on zinc", ("zinc",),
         every(in_water, some(lambda c: below(c.ph, 6.0), lambda c: above(c.ph, 12.5))),
         "zinc dissolves below pH 6 and above pH 12.5",
         "galvanizers' information on water (two read): 5.5 to 12 and to 12.5", rests_on="pH"),
    Veto("acid or alkali on aluminium", ("aluminium",),
         every(in_water, some(lambda c: below(c.ph, 4.0), lambda c: above(c.ph, 8.5))),
         "its oxide dissolves below pH 4 and above pH 8.5", HANDBOOKS, rests_on="pH"),
    Veto("acid water", ("carbon", "cr12"), acid_below(4.0), "acid dissolves it", HANDBOOKS,
         rests_on="pH"),
    Veto("acid water", ("copper-base", "nickel", "nicu"), acid_below(5.0),
         "acid water with air in it dissolves copper and nickel", HANDBOOKS, MARGINAL, "pH"),
    Veto("acid water", ("stainless",), acid_below(4.0),
         "the ranking is of near-neutral water: name the acid", HANDBOOKS, NOT_JUDGED, "pH"),
    Veto("oxidising ions", ("nickel", "nicu", "nimo", "zr", "mo", "copper-base"),
         every(_REDUCING_ACID, yes("oxidisers")),
         "ferric or cupric ions, or air, make the acid attack it fast", HANDBOOKS,
         rests_on="oxidising ions or air"),
    Veto("oxidising ions", ("nicr", "ni825", "nb"),
         every(in_medium("hydrochloric acid", "hydrofluoric acid"), yes("oxidisers")),
         "ferric or cupric ions, or air, make the acid attack it fast", HANDBOOKS, NOT_JUDGED,
         "oxidising ions or air"),
    Veto("sensitised by the weld", ("austenitic", "nickel-austenitic"), _welded,
         "carbon over 0.03 % takes the chromium beside the weld: a low-carbon or stabilised "
         "grade is meant for it", HANDBOOKS, MARGINAL),
)  # fmt: skip
SULPHIDE_VETOES: tuple[Veto, ...] = (
    Veto("ammonia", ("zinc-bearing",), every(not_dry, yes("ammonia")),
         "moist ammonia cracks it (season cracking)", _AMMONIA, rests_on="ammonia"),
    Veto("ammonia", ("copper", "tinbronze", "sibronze", "cuni"), every(not_dry, yes("ammonia")),
         "ammonia dissolves copper, and may crack its alloys", _AMMONIA, NOT_JUDGED, "ammonia"),
    Veto("hydrogen sulphide", ("copper-base", "nickel", "nicu"), every(wet, yes("h2s")),
         "sulphide attacks copper and nickel", HANDBOOKS, rests_on="H₂S"),
    Veto("hydrogen sulphide", ("copper", "zinc-bearing"), every(in_kind("air"), yes("h2s")),
         "sulphide in the air blackens and eats it", HANDBOOKS, MARGINAL, "H₂S"),
    Veto("hydrogen sulphide", ("stainless",), every(in_kind("water"), _no_sewage, yes("h2s")),
         "ISO 15156 asks for annealed metal; wire in cloth is cold worked",
         "ISO 15156-3; an answered inquiry on 316 reads so", NOT_JUDGED, "H₂S"),
    Veto("hydrogen sulphide on hard wire", ("carbon", "zinc", "stainless"),
         every(wet, yes("h2s"), may_be_of_temper("hard-drawn")),
         "hard wire cracks in hydrogen sulphide: about 22 HRC is the most that is allowed",
         "ISO 15156-2 and -3 (from memory)", rests_on="H₂S and the temper of the wire"),
    Veto("hydrogen sulphide on hard wire", ("ti", "tipd"),
         every(some(in_kind("chemical"), hotter(_HYDRIDING_C)), wet, yes("h2s"),
               may_be_of_temper("soft-drawn", "hard-drawn")),
         "its hardness is limited by grade in sour service, and drawn wire may exceed it: have "
         "the hardness certified; in cool water with sulphide it is at no risk", _SOUR, NOT_JUDGED,
         "H₂S and the temper of the wire"),
    Veto("hydrogen sulphide on hard wire", ("nickel-chromium", "nimo", "ti5"),
         every(wet, yes("h2s"), may_be_of_temper("soft-drawn", "hard-drawn")),
         "its hardness is limited, about 35 to 40 HRC by alloy and state, and drawn wire may "
         "exceed it: have the hardness certified", _SOUR, NOT_JUDGED,
         "H₂S and the temper of the wire"),
)  # fmt: skip
FLOW_VETOES: tuple[Veto, ...] = (
    Veto("fast water", ("copper", "zinc-bearing"), flowing_above(1.5),
         "fast water takes its film away", HANDBOOKS, rests_on="speed of the water"),
    Veto("fast water", ("tinbronze", "sibronze", "cuni"), flowing_above(3.0),
         "fast water takes its film away", HANDBOOKS, rests_on="speed of the water"),
    Veto("fast water", ("aluminium", "zinc", "carbon"), flowing_above(3.0),
         "fast water takes its film away", HANDBOOKS, MARGINAL,
         "speed of the water"),
    Veto("fast acid", ("carbon",), flowing_above(0.6, _STRONG_SULPHURIC),
         "acid that runs takes the skin of sulphate away that it lives by", _ACID_SPEED,
         rests_on="speed of the liquid"),
    Veto("fast acid", ("aust", "austmo", "heataust"), flowing_above(1.5, _STRONG_SULPHURIC),
         "what is published of strong acid is of slow flow", _ACID_SPEED, NOT_JUDGED,
         "speed of the liquid"),
    Veto("abrasion", ("copper-base", "zinc", "aluminium"), every(wet, said_yes("abrasion")),
         "rubbing takes its film or coating away", HANDBOOKS, MARGINAL),
    Veto("abrasion", ("*",), every(dry, said_yes("abrasion")),
         "how fast it wears where it is rubbed dry goes by hardness and load, which nothing here "
         "reckons: try it in the service", "common practice, no source", NOT_JUDGED),
)  # fmt: skip
