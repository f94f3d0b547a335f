"""Named rules that rule an alloy out, or say what it depends on, whatever a ranking says."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from meshcore.alloys.comparison.columns import ConditionColumns
from meshcore.alloys.comparison.conditions import TEMPERS
from meshcore.alloys.comparison.facts import AlloyFacts
from meshcore.alloys.comparison.surroundings import KINDS
from meshcore.alloys.methods import media
from meshcore.alloys.methods.three_way import (
    Maybe,
    above,
    at_least,
    below,
    between,
    both,
    either,
    is_so,
    sure,
)
from meshcore.alloys.methods.verdicts import (
    FAILS,
    MARGINAL,
    NOT_ASKED,
    NOT_JUDGED,
    Fitness,
    VerdictArray,
)
from meshcore.arrays import BoolArray

METHOD = "rules that rule out (each with its source)"
_MEM = "corrosion handbooks, from memory"

_Where = Callable[[ConditionColumns], Maybe]


@dataclass(frozen=True, slots=True)
class Veto:
    """One rule.

    Parameters
    ----------
    name
        What it is about.
    groups
        Families that it speaks of, as records name them in ``resists_as``.
    where
        Services that it speaks of: certain, and possible as far as anybody knows.
    reason, source
        Why, and who says so.
    verdict
        What it comes to where it is certain; where it is only possible, nothing is judged.
    rests_on
        What to find out where it is only possible.
    """

    name: str
    groups: tuple[str, ...]
    where: _Where
    reason: str
    source: str
    verdict: np.int8 = FAILS
    rests_on: str = ""


def _kind(*names: str) -> _Where:
    codes = [KINDS.index(name) for name in names]
    return lambda c: sure(np.isin(c.kind, codes))


def _wet(c: ConditionColumns) -> Maybe:
    return sure(c.is_wet)


def _water(c: ConditionColumns) -> Maybe:
    return sure(c.is_wet & ~np.isin(c.kind, [KINDS.index("chemical"), KINDS.index("ground")]))


def _in(*names: str) -> _Where:
    codes = [media.index_of(name) for name in names]
    return lambda c: sure(np.isin(c.medium, codes))


_ACIDS = _in("hydrochloric acid", "sulphuric acid", "phosphoric acid", "acetic acid",
             "formic acid", "hydrofluoric acid")  # fmt: skip
#: Chloride from which warm austenitic steel may crack [mg/l] (stainless guidance, from memory).
_CRACKING_CHLORIDE = 10.0
#: Most chloride of which the table's rows on stainless steel speak [mg/l].
_ROW_CHLORIDE_MG_L = {
    "demineralised water": 20.0, "swimming-pool water": 500.0, "waste water": 500.0,
}  # fmt: skip


def _hot_chloride(limit_c: float) -> _Where:
    def where(c: ConditionColumns) -> Maybe:
        return both(
            sure(c.is_wet & c.speaks_of_chloride),
            above(c.metal_c, limit_c),
            at_least(c.chloride_mg_l, _CRACKING_CHLORIDE),
        )

    return where


def _chlorine(limit_mg_l: float) -> _Where:
    return lambda c: both(_water(c), above(c.chlorine_mg_l, limit_mg_l))


def _acid_water(limit: float) -> _Where:
    return lambda c: both(_water(c), below(c.ph, limit))


def _flowing(limit_m_s: float) -> _Where:
    return lambda c: both(_water(c), sure(c.flow_m_s > limit_m_s))


def _three(field: str) -> _Where:
    return lambda c: is_so(c.three_way[field])


def _not_dry(c: ConditionColumns) -> Maybe:
    return sure(c.is_wet | (c.kind == KINDS.index("air")))


def _hot(limit_c: float) -> _Where:
    return lambda c: above(c.metal_c, limit_c)


def _between(least_c: float, most_c: float) -> _Where:
    gas = _kind("gas", "hot air")
    return lambda c: both(
        sure(gas(c).certain | ~np.isnan(c.temperature_c)), between(c.metal_c, least_c, most_c)
    )


def _all(*parts: _Where) -> _Where:
    return lambda c: both(*(part(c) for part in parts))


def _any(*parts: _Where) -> _Where:
    return lambda c: either(*(part(c) for part in parts))


def _hard(c: ConditionColumns) -> Maybe:
    return sure(c.temper == TEMPERS.index("hard-drawn"))


def _under_load_above(limit_c: float) -> _Where:
    # Load that nobody has named is asked for, but does not take a verdict away.
    return lambda c: sure((c.three_way["load"] == 1) & (c.metal_c > limit_c))


def _welded(c: ConditionColumns) -> Maybe:
    return sure(c.services["weld"] & c.is_wet)


_STAINLESS = ("cr12", "cr17", "cr18mo", "aust", "austmo", "superaust", "leanduplex", "duplex",
              "superduplex", "heataust", "sixmo")  # fmt: skip
_ALUMINIUM = ("al", "al5low", "al5high")
_COPPER = ("copper", "redbrass", "tinbronze", "sibronze", "cuni")
_DUPLEX = ("leanduplex", "duplex", "superduplex")

VETOES: tuple[Veto, ...] = (
    Veto("chloride stress corrosion", ("aust", "heataust"), _hot_chloride(50.0),
         "chloride cracks it in warm water, and crimped wire holds stress",
         f"about 50 °C for 304: {_MEM}", rests_on="temperature and chloride"),
    Veto("chloride stress corrosion", ("austmo",), _hot_chloride(60.0),
         "chloride cracks it in warm water, and crimped wire holds stress",
         f"about 60 °C for 316: {_MEM}", rests_on="temperature and chloride"),
    Veto("chloride stress corrosion", ("superaust", "leanduplex", "duplex"), _hot_chloride(90.0),
         "chloride cracks it in hot water", _MEM, rests_on="temperature and chloride"),
    Veto("chloride in an acid or alkali", _STAINLESS,
         lambda c: both(_kind("chemical")(c), sure(c.speaks_of_chloride),
                        at_least(c.chloride_mg_l, 50.0)),
         "chloride in it pits stainless steel, and the table speaks of it without",
         _MEM, NOT_JUDGED, "chloride"),
    Veto("more chloride than its row", _STAINLESS,
         lambda c: either(*(both(_in(name)(c), sure(c.chloride_mg_l > most))
                            for name, most in _ROW_CHLORIDE_MG_L.items())),
         "the table speaks of such water with less chloride", _MEM, NOT_JUDGED),
    Veto("ammonia", ("brass", "redbrass"), _all(_not_dry, _three("ammonia")),
         "moist ammonia cracks it (season cracking)",
         "Corrosion 15(8) (1959) 51 (abstract read)", rests_on="ammonia"),
    Veto("ammonia", ("copper", "tinbronze", "sibronze", "cuni"),
         _all(_not_dry, _three("ammonia")), "ammonia dissolves copper, and may crack its alloys",
         "Corrosion 15(8) (1959) 51 (abstract read)", NOT_JUDGED, "ammonia"),
    Veto("loss of zinc", ("brass",),
         _all(_water, _any(lambda c: above(c.chloride_mg_l, 250.0), _hot(60.0),
                           lambda c: below(c.ph, 6.5))),
         "it loses its zinc in salt, warm or acid water", _MEM,
         rests_on="chloride, temperature and pH"),
    Veto("acid or alkali on zinc", ("zinc",),
         _all(_water, _any(lambda c: below(c.ph, 6.0), lambda c: above(c.ph, 12.5))),
         "zinc dissolves below pH 6 and above pH 12.5",
         "zinc handbooks, from memory; 5.5 to 12.5 in some", rests_on="pH"),
    Veto("acid or alkali on aluminium", _ALUMINIUM,
         _all(_water, _any(lambda c: below(c.ph, 4.0), lambda c: above(c.ph, 8.5))),
         "its oxide dissolves below pH 4 and above pH 8.5", _MEM, rests_on="pH"),
    Veto("acid water", ("carbon", "cr12"), _acid_water(4.0), "acid dissolves it", _MEM,
         rests_on="pH"),
    Veto("acid water", (*_COPPER, "nickel", "nicu"), _acid_water(5.0),
         "acid water with air in it dissolves copper and nickel", _MEM, MARGINAL, "pH"),
    Veto("acid water", _STAINLESS, _acid_water(4.0),
         "the ranking is of near-neutral water: name the acid", _MEM, NOT_JUDGED, "pH"),
    Veto("dosed chlorine", ("cr12", "cr17", "cr18mo", "crheat"), _chlorine(0.5),
         "dosed chlorine pits ferritic steel", _MEM, rests_on="free chlorine"),
    Veto("dosed chlorine", ("cr12", "cr17", "cr18mo", "crheat"), _chlorine(0.0),
         "dosed chlorine may pit ferritic steel, and nobody recommends it for dosed water", _MEM,
         MARGINAL, "free chlorine"),
    Veto("dosed chlorine", ("aust", "heataust", "leanduplex"), _chlorine(2.0),
         "more than about 2 mg/l of free chlorine pits it",
         "guidance of stainless-steel associations on waters, from memory",
         rests_on="free chlorine"),
    Veto("dosed chlorine", ("austmo", "duplex"), _chlorine(5.0),
         "more than about 5 mg/l of free chlorine pits it",
         "guidance of stainless-steel associations on waters, from memory",
         rests_on="free chlorine"),
    Veto("dosed chlorine", (*_COPPER, "nicu"), _chlorine(1.0),
         "chlorine takes copper into the water", _MEM, MARGINAL, "free chlorine"),
    Veto("oxidising ions", ("nickel", "nicu", "nimo", "zr", "mo", *_COPPER),
         _all(_ACIDS, _three("oxidisers")),
         "ferric or cupric ions, or air, make the acid attack it fast", _MEM,
         rests_on="oxidising ions"),
    Veto("hydrogen sulphide", (*_COPPER, "brass", "nickel", "nicu"),
         _all(_wet, _three("h2s")), "sulphide attacks copper and nickel", _MEM, rests_on="H₂S"),
    Veto("hydrogen sulphide", ("copper", "brass", "redbrass"),
         _all(_kind("air"), _three("h2s")), "sulphide in the air blackens and eats it", _MEM,
         MARGINAL, "H₂S"),
    Veto("hydrogen sulphide", ("aust", "austmo", "heataust", *_DUPLEX, "superaust", "sixmo"),
         _all(_kind("water"), _three("h2s")),
         "ISO 15156 asks for annealed metal; wire in cloth is cold worked",
         "ISO 15156-3; an answered inquiry on 316 reads so", NOT_JUDGED, "H₂S"),
    Veto("hydrogen sulphide on hard wire", ("carbon", "zinc", "cr12", "cr17", *_DUPLEX),
         _all(_wet, _three("h2s"), _hard), "hard wire cracks in hydrogen sulphide",
         "ISO 15156-2 (from memory)", rests_on="H₂S"),
    Veto("magnesium over 3 %", ("al5high",), _hot(65.0),
         "warmth makes aluminium with over 3 % magnesium crack",
         "Corrosion 15(2) (1959) 19: about 150 °F (abstract read)", rests_on="temperature"),
    Veto("475 °C embrittlement", _DUPLEX, _hot(315.0),
         "ferrite turns brittle near 475 °C, in use from about 300 °C on",
         "EN 10028-7 holds duplex to 250 °C (from memory)", rests_on="temperature"),
    Veto("475 °C embrittlement", ("cr17", "cr18mo", "crheat", "fecral"), _between(400.0, 550.0),
         "ferrite turns brittle near 475 °C: do not bend or knock it when cold",
         "AISI and Nickel Institute 9004 (from memory)", MARGINAL, "temperature"),
    Veto("sigma phase", ("heataust",), _between(600.0, 870.0),
         "a brittle phase forms from about 600 to 870 °C: do not bend or knock it when cold",
         "AISI and Nickel Institute 9004 (from memory)", MARGINAL, "temperature"),
    Veto("brittle once hot", ("fecral",), _between(900.0, 2000.0),
         "its grains grow: once hot it is brittle when cold", _MEM, MARGINAL, "temperature"),
    Veto("sensitised by the weld", ("aust", "austmo", "heataust"), _welded,
         "carbon over 0.03 % takes the chromium beside the weld: a low-carbon or stabilised "
         "grade is meant for it", _MEM, MARGINAL),
    Veto("fast water", ("copper", "redbrass", "brass"), _flowing(1.5),
         "fast water takes its film away", _MEM),
    Veto("fast water", ("tinbronze", "sibronze", "cuni"), _flowing(3.0),
         "fast water takes its film away", _MEM),
    Veto("still water", ("nicu", "nickel", "austmo", "aust", "cr18mo", "cr17"),
         lambda c: both(_water(c), sure(c.three_way["stagnant"] == 1),
                        above(c.chloride_mg_l, 100.0)),
         "pits under deposits where the water stands", _MEM, MARGINAL, "chloride"),
    Veto("abrasion", ("copper", "redbrass", "brass", "tinbronze", "cuni", "zinc", *_ALUMINIUM),
         _all(_wet, lambda c: sure(c.three_way["abrasion"] == 1)),
         "rubbing takes its film or coating away", _MEM, MARGINAL),
    *(Veto("load in heat", groups, _under_load_above(limit),
           f"above about {limit:g} °C it stretches slowly under load: reckon with creep",
           "creep ranges of handbooks, from memory", MARGINAL)
      for groups, limit in (
          (_ALUMINIUM, 100.0), (("copper", "brass", "redbrass", "zinc"), 150.0),
          (("tinbronze", "sibronze", "cuni"), 200.0), (("ti", "tipd", "ti5"), 300.0),
          (("carbon",), 370.0), (("nickel", "nicu"), 370.0),
          (("cr12", "cr17", "cr18mo", "crheat", "fecral"), 480.0), (("aust", "austmo"), 550.0),
          (("heataust", "ni330", "nicr", "ni825", "ni625", "nimocr"), 600.0))),
    *(Veto("hard wire in heat", groups, _all(_hard, _hot(limit)),
           f"above about {limit:g} °C it loses the strength that drawing gave it",
           "tempering ranges of handbooks, from memory", MARGINAL, "temperature")
      for groups, limit in (
          (("copper", "brass", "redbrass", *_ALUMINIUM), 100.0),
          (("tinbronze", "sibronze", "cuni", "carbon", "zinc"), 200.0),
          (("aust", "austmo", "superaust", "sixmo", "nicu", "nickel"), 400.0))),
)  # fmt: skip


def judge(facts: AlloyFacts, columns: ConditionColumns) -> Fitness:
    """Judge alloys by every rule; what no rule speaks of is not asked.

    Parameters
    ----------
    facts, columns
        The alloys and the services.
    """
    verdict: VerdictArray = np.full((len(columns), len(facts)), NOT_ASKED, dtype=np.int8)
    heard: list[tuple[Veto, Maybe, BoolArray]] = []
    for veto in VETOES:
        where = veto.where(columns)
        if not where.possible.any():
            continue
        alloys = _spoken_of(veto, facts)
        heard.append((veto, where, alloys))
        _raise(verdict, where.certain, alloys, veto.verdict)
        if veto.rests_on:
            # What only might be never takes more away than it would if it were so.
            only = where.possible & ~where.certain
            _raise(verdict, only, alloys, min(veto.verdict, NOT_JUDGED))

    def say(service: int, alloy: int) -> str:
        own = verdict[service, alloy]
        return "; ".join(_said(service, alloy, own, heard))

    return Fitness(METHOD, verdict, np.full(verdict.shape, np.nan), say)


def _spoken_of(veto: Veto, facts: AlloyFacts) -> BoolArray:
    alloys = np.isin(facts.resists_as, veto.groups)
    return alloys & facts.sensitises if veto.name == "sensitised by the weld" else alloys


def _raise(verdict: VerdictArray, rows: BoolArray, columns: BoolArray, to: np.int8) -> None:
    at = np.ix_(np.flatnonzero(rows), np.flatnonzero(columns))
    verdict[at] = np.maximum(verdict[at], to)


def _said(
    service: int, alloy: int, verdict: np.int8, heard: Sequence[tuple[Veto, Maybe, BoolArray]]
) -> list[str]:
    words = []
    for veto, where, alloys in heard:
        if not alloys[alloy]:
            continue
        if where.certain[service] and veto.verdict == verdict:
            words.append(f"{veto.name}: {veto.reason} ({veto.source})")
        elif (where.possible[service] and not where.certain[service] and veto.rests_on
              and min(veto.verdict, NOT_JUDGED) == verdict):  # fmt: skip
            words.append(f"{veto.name}: depends on {veto.rests_on}, not known: {veto.reason}")
    return list(dict.fromkeys(words))
