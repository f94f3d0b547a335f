"""One mesh and one order in every alloy: the price of each, and whether it stands the service."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import fields
from typing import TYPE_CHECKING

import numpy as np

from meshcore.alloys.availability import STATES, Availability, availability_of
from meshcore.alloys.comparison.asking import life_in_media
from meshcore.alloys.comparison.assumptions import judged_with_assumptions
from meshcore.alloys.comparison.conditions import Conditions
from meshcore.alloys.comparison.contradictions import (
    contradictions,
    hotter_of_two,
    more_than_the_wire_bears,
)
from meshcore.alloys.comparison.facts import AlloyFacts, alloy_facts
from meshcore.alloys.comparison.judging import Judged
from meshcore.alloys.comparison.service_text import service_text
from meshcore.alloys.comparison.tabulating import comparison_table, ranked
from meshcore.alloys.methods.verdicts import MARGINAL, MEETS, NOT_JUDGED, VERDICTS
from meshcore.alloys.papers import papers_for
from meshcore.alloys.record import Alloy
from meshcore.alloys.records.registry import Registry, installed_registry, resolve
from meshcore.arrays import FloatArray, IntArray, text_column
from meshcore.demo import availability_in_use
from meshcore.enquiry import MUST_STAND, Enquiry, as_table
from meshcore.estimates.life_cost import (
    LifeCost,
    break_even_years,
    lives_counted,
    present_cost,
    replacements,
    yearly_cost,
)
from meshcore.estimates.pipeline import estimate_list
from meshcore.messages import Message
from meshcore.weave.geometry.path import PathModel

if TYPE_CHECKING:
    import pandas as pd

    from meshcore.costing.book.price_book import PriceBook
    from meshcore.supply.policy import SupplyPolicy

_MM = 1e-3
#: What is taken of the prices of the alloys.
_PRICED = (
    "status", "messages", "wire_diameter_mm", "net_area_m2", "mass_kg", "price", "currency",
)  # fmt: skip


def compare_alloys(
    enquiry: Enquiry,
    conditions: Conditions,
    alloys: Sequence[str] = (),
    price_book: PriceBook | None = None,
    supply_policy: SupplyPolicy | None = None,
    path_model: PathModel = "arc",
    life_cost: LifeCost | None = None,
    availability: Availability | None = None,
) -> pd.DataFrame:
    """Compare alloys for one mesh, order and service.

    Parameters
    ----------
    enquiry
        The mesh and the order; its alloy is put aside.
    conditions
        The service.
    alloys
        Names of those to compare; all that are installed by default.
    price_book, supply_policy, path_model
        As for `meshcore.estimate_table`.
    life_cost
        What a replacement costs besides the cloth, and the discount; nothing by default.
    availability
        What wire the mill has; what `meshcore.demo.availability_in_use` returns by default.

    Returns
    -------
    DataFrame, one row an alloy, those that meet first and the cheapest of them on top: ``verdict``
    with its ``reason``, ``price`` of the order, ``price_per_m2``, ``life_years`` where it
    is computed, ``tensile_least_mpa`` and ``tensile_most_mpa`` of wire of the temper named
    (annealed where none is), ``corrosion_margin`` with its ``margin_method``, ``flips`` (what
    would change its verdict), ``on_front``, ``cheapest_that_meets``, and a verdict for each
    aspect. ``attrs["cautions"]`` must stand with it; ``attrs["messages"]`` says which names in
    `alloys` were not found and why a line has no price, ``attrs["asked"]`` what they were compared
    for, ``attrs["assumptions"]`` what was assumed and what would flip it, ``attrs["papers"]`` what
    is to be asked and which paper proves it, ``attrs["must_stand"]`` the service as one text, for
    the column ``must_stand`` of an enquiry. Where years are wanted, ``replacements``,
    ``cost_over_years``, ``cost_per_year`` and ``break_even_years`` are reckoned over those.
    ``availability`` and ``wire_supply`` say whether the mill has the wire, ``attrs["who_weaves"]``
    what that means for those that meet. Where the mesh itself is refused, no alloy meets: there is
    no such cloth to judge.

    Examples
    --------
    >>> from meshcore import Enquiry, Roll
    >>> mesh = Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", form=Roll("48 in", "100 ft"))
    >>> table = compare_alloys(mesh, Conditions(environment="coastal", years_wanted=15),
    ...                        alloys=["304", "316L"])
    >>> table[["alloy", "verdict"]].to_numpy().tolist()
    [['316L', 'meets'], ['304', 'fails']]
    """
    line = as_table(enquiry)
    return compare_for_line(
        line, conditions, alloys, price_book, supply_policy, path_model, life_cost, availability
    )


def compare_for_line(
    line: pd.DataFrame,
    conditions: Conditions,
    alloys: Sequence[str] = (),
    price_book: PriceBook | None = None,
    supply_policy: SupplyPolicy | None = None,
    path_model: PathModel = "arc",
    life_cost: LifeCost | None = None,
    availability: Availability | None = None,
) -> pd.DataFrame:
    """Compare alloys for a list of one line, as `compare_alloys` does for an enquiry."""
    if MUST_STAND in line:
        line = line.drop(columns=[MUST_STAND])
    chosen, unknown = _chosen(installed_registry(), alloys)
    prices = estimate_list(
        _lines(line, chosen), price_book, supply_policy, path_model, lines_apart=True
    ).priced(_PRICED)
    facts = alloy_facts(chosen)
    wire = prices["wire_diameter_mm"].to_numpy(dtype=np.float64, na_value=np.nan) * _MM
    wire = wire[:1] if len(wire) else np.array([np.nan])
    judged, services, rests_on = judged_with_assumptions(conditions, facts, float(wire[0]))
    order = ranked(judged, prices)
    supply = availability or availability_in_use()
    by_row = life_in_media(facts, services, np.full(len(services), wire[0]))[0]
    beside = _life_cost(
        judged, by_row, prices, order, conditions.years_wanted, life_cost or LifeCost()
    )
    beside |= _wire_supply(facts, prices, order, supply, float(wire[0]))
    table = comparison_table(facts, judged, prices, rests_on, int(services.temper[0]), beside)
    table = _without_cloth(table, line, prices)
    table.attrs["who_weaves"] = _who_weaves(table, supply)
    table.attrs["papers"] = tuple(map(str, papers_for(conditions)))
    doubted = (
        *hotter_of_two(conditions),
        *more_than_the_wire_bears(conditions, float(wire[0])),
    )
    said = (*conditions.said, *contradictions(conditions), *doubted, *unknown)
    table.attrs["messages"] = (*map(str, said), *_refusals(prices))
    table.attrs["asked"] = _asked(line, conditions)
    table.attrs[MUST_STAND] = service_text(conditions)
    return table


def _life_cost(
    judged: Judged,
    by_row: FloatArray,
    prices: pd.DataFrame,
    order: IntArray,
    years_wanted: float | None,
    cost: LifeCost,
) -> dict[str, object]:
    """Reckon what each alloy costs over the years wanted; unknown where no years are named.

    Where no life is reckoned in the open, that at the rate of its row counts, of what is marginal.
    """
    years = years_wanted if years_wanted and np.isfinite(years_wanted) else np.nan
    price = prices["price"].to_numpy(dtype=np.float64, na_value=np.nan)[order]
    meets = judged.verdict[0][order] == MEETS
    only_just = judged.verdict[0][order] == MARGINAL
    known = judged.life_years[0][order]
    known = np.where(np.isnan(known) & only_just, by_row[order], known)
    life = lives_counted(known, meets, years)
    if np.isnan(years):
        life = np.full(len(order), np.nan)
    present = present_cost(price, life, years, cost)
    return {
        "replacements": replacements(life, years),
        "cost_over_years": present,
        "cost_per_year": yearly_cost(present, years, cost.discount),
        "break_even_years": break_even_years(price, life, years, cost, meets),
    }


#: Columns of an enquiry that say what cloth it is.
_CLOTH = ("mesh_count", "pitch", "aperture", "wire_diameter", "open_area", "weave")
#: Between the messages of a line, each of which begins with its field.
_APART = re.compile(r"; (?=[a-z_]+: )")


def _without_cloth(table: pd.DataFrame, line: pd.DataFrame, prices: pd.DataFrame) -> pd.DataFrame:
    """Take back what meets where the mesh is refused: there is no such cloth to judge."""
    sizes = (c for c in _CLOTH if c in line and c != "weave")
    asked = any(str(line[c].iloc[0]).strip() for c in sizes)
    parts = [part for s in _refusals(prices)[1:] for part in _APART.split(s)]
    said = [part for part in parts if part.partition(":")[0] in _CLOTH]
    if not said or not asked:
        return table
    fit = table["verdict"].isin([VERDICTS[MEETS], VERDICTS[MARGINAL]])
    # Why it is refused is among the messages: once, and not beside each of eighty alloys.
    told = f"the mesh is refused ({said[0].partition(':')[0]}); of the metal alone: "
    return table.assign(
        verdict=table["verdict"].where(~fit, VERDICTS[NOT_JUDGED]),
        reason=table["reason"].where(~fit, told + table["verdict"] + ", " + table["reason"]),
        on_front=False,
        cheapest_that_meets=False,
    )


def _wire_supply(
    facts: AlloyFacts,
    prices: pd.DataFrame,
    order: IntArray,
    held: Availability | None,
    wire_m: float,
) -> dict[str, object]:
    """Say whether the mill has the wire of each alloy."""
    mass = prices["mass_kg"].to_numpy(dtype=np.float64, na_value=np.nan)[order]
    states, words = availability_of(list(facts.names[order]), held, wire_m, mass)
    return {"availability": text_column(states), "wire_supply": text_column(words)}


#: What the table says of the wire of each alloy.
_OF_SUPPLY = ("alloy", "availability", "wire_supply")


def _who_weaves(table: pd.DataFrame, held: Availability | None) -> tuple[str, ...]:
    columns = (table[name].tolist() for name in ("verdict", "price", *_OF_SUPPLY))
    meets = [
        (alloy, state, words)
        for verdict, price, alloy, state, words in zip(*columns, strict=True)
        if verdict == VERDICTS[MEETS] and not np.isnan(price)
    ]
    if not meets:
        return ()
    if held is None:
        return (
            "Who weaves it? The mill has not said what wire it has: ask before it is promised.",
        )
    alloy, state, words = meets[0]
    said = [
        f"Who weaves it? By the list of {held.name} of {held.day.isoformat()}, wire of "
        f"{alloy}, the cheapest that meets: {words}."
    ]
    stocked = [other for other, its_state, _ in meets if its_state == STATES[0]]
    if state != STATES[0]:
        said.append(
            f"The cheapest that meets and is stocked: {stocked[0]}."
            if stocked
            else "No alloy that meets is stocked."
        )
    return tuple(said)


def _refusals(prices: pd.DataFrame) -> tuple[str, ...]:
    """Say why no alloy at all has a price, if the line itself was refused."""
    if not len(prices) or (prices["status"] != "refused").any():
        return ()
    said = list(dict.fromkeys(part for m in prices["messages"] for part in str(m).split("\n")))
    shared = [s for s in said if s and all(s in str(m) for m in prices["messages"])]
    return ("No prices: the line is refused.", *shared)


def _asked(line: pd.DataFrame, conditions: Conditions) -> str:
    """Write the mesh, the order and the service that were compared for, in one line."""
    cells = {str(k): str(v).strip() for k, v in line.iloc[0].items() if k not in ("line", "alloy")}
    plain = Conditions()
    service = {
        f.name: getattr(conditions, f.name)
        for f in fields(conditions)
        if f.compare and getattr(conditions, f.name) != getattr(plain, f.name)
    }
    asked = cells | {name: str(value) for name, value in service.items()}
    return "; ".join(f"{k.replace('_', ' ')}: {v}" for k, v in asked.items() if v)


def _chosen(registry: Registry, names: Sequence[str]) -> tuple[list[Alloy], list[Message]]:
    if not names:
        return list(registry.alloys), []
    answers = [resolve(registry, name, "alloys") for name in names]
    known = dict.fromkeys(index for index in answers if isinstance(index, int))
    return [registry.alloys[i] for i in known], [m for m in answers if isinstance(m, Message)]


def _lines(line: pd.DataFrame, alloys: Sequence[Alloy]) -> pd.DataFrame:
    """Write the enquiry once for each alloy; each line is an order of its own."""
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first made

    count = len(alloys)
    typed = zip(line.columns, line.to_numpy(dtype=object)[0], strict=True)
    # A column of blanks says no more than none, and takes as long to read as any other.
    cells = {name: [cell] * count for name, cell in typed if cell is not None and cell != ""}
    cells["alloy"] = [a.designation for a in alloys]
    cells["line"] = [str(n + 1) for n in range(count)]
    return pd.DataFrame(cells, dtype=object)
