"""From what the cloth is for to specifications with their price."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from meshcore import plugins
from meshcore.arrays import FloatArray
from meshcore.costing.book.price_book import PriceBook
from meshcore.demo import policy_in_use
from meshcore.enquiry import COLUMNS, MUST_STAND, WEAVES, Enquiry, Piece, Roll, Strip, as_table
from meshcore.estimates.asked_use import AskedUse, read_asked
from meshcore.estimates.asked_weave import wanted_weaves
from meshcore.estimates.pipeline import estimate_list
from meshcore.estimates.results import EstimateSet
from meshcore.estimates.specified import Offer, Specifications
from meshcore.estimates.wording import CAUTION
from meshcore.messages import Message
from meshcore.reading.texts import is_blank
from meshcore.supply.policy import SupplyPolicy
from meshcore.uses.search import Suited, suited
from meshcore.uses.statement import Measure, Statement, uncovered
from meshcore.weave.geometry.path import PathModel
from meshcore.weave.judging.practicality import weave_rules
from meshcore.weave.search.offers import Traded, trade_off, traded
from meshcore.weave.search.written import in_micrometres, written_cells

if TYPE_CHECKING:
    import pandas as pd

#: Specifications that are priced for each one wanted, so that price can change their order.
_PRICED_FOR_ONE = 8
#: Offers are of one wire and aperture to a buyer that differ by less than two steps of R20 in both
#: [-]: a judgement, no source.
_NEAR_TWINS = 0.20
#: Of one weave and aperture, to within a step of R20, wires differ to a buyer by three steps of it
#: [-]: a judgement, no source.
_SAME_APERTURE, _SAME_WIRE = 0.12, 0.33
#: Offers below which wires may be closer than that: a judgement, no source.
_FEW = 3
#: What it weighs that one is dearer, by the logarithm of the prices: a judgement, no source.
_PRICE_WEIGHT = 0.10
#: Columns of an enquiry that say what is ordered.
_ORDERED = ("form", "width", "length", "shape", "dimensions", "quantity")
#: Columns that are ordered besides, where they are stated.
_ALSO = ("services", MUST_STAND)
#: What is ordered, as an enquiry has it, or as cells of a list.
Form = Roll | Strip | Piece | Mapping[str, str]


def specify(
    use: str,
    figures: Mapping[str, str] | None = None,
    *,
    alloy: str = "",
    weave: str = "",
    form: Form | None = None,
    quantity: int | str = 1,
    price_book: PriceBook | None = None,
    supply_policy: SupplyPolicy | None = None,
    count: int = 5,
    services: str = "",
    must_stand: str = "",
    path_model: PathModel = "arc",
    **more: str,
) -> Specifications:
    """Find specifications for a use, ranked, with price and reasons.

    Parameters
    ----------
    use
        One of ``meshcore.reading.uses.USES``, a word of the trade for it, or a sentence that says
        it and some of its figures.
    figures, more
        Figures of the use → as typed; `meshcore.uses.catalogue.STATEMENTS` names them.
    alloy
        As in an enquiry; without it the usual one of the use and its figures.
    weave
        The one weave wanted; without it any that the use has.
    form, quantity
        What is ordered, or enquiry cells that say it; without it a full roll of the first stock
        width.
    price_book, supply_policy
        As for `estimate_list`.
    count
        Specifications wanted, 1 or more.
    services, must_stand
        As in an enquiry: services that are priced too, and the service that the alloy is held
        against.
    path_model
        As for `estimate_list`, of the masses that are priced.

    Returns
    -------
    The specifications, best first; none where a figure is not understood or missing, or where
    nothing that can be woven does it: `messages` then say why.

    Raises
    ------
    ValueError
        If `count` is below 1.

    Notes
    -----
    Every combination of the grid of cloth is held against the figures at once; the best are
    priced, and a dearer one has to be so much better for the use. Common practice, where a limit
    names no other source. Each result bears its caution.

    Examples
    --------
    >>> import meshcore as mc
    >>> found = mc.specify("insects", insect="mosquitoes", price_book=mc.demo_price_book())
    >>> found.offers[0].name, found.offers[0].measures["open area"]
    ('18 / in × 0.009 in plain', '70.2 %')
    >>> mc.specify("for a vibrating screen, cutting at 6 mm").offers[0].name
    '7.1 mm × 1.6 mm double crimp'
    >>> print(mc.specify("insects").messages[0])
    insect: blank — it is needed. Write it as "mosquitoes".
    """
    if count < 1:
        raise ValueError(f"count ≥ 1 is needed, got {count}")
    asked = read_asked(use, {**(figures or {}), **more}, alloy)
    if isinstance(asked, tuple):
        return _nothing(use, asked)
    statement, values, name, metal = asked.statement, asked.figures, asked.alloy, asked.metal
    only = wanted_weaves(weave, asked, tuple(c for c, _ in statement.ask(values, metal).weaves))
    if isinstance(only, Message):
        return _nothing(statement.use, (only,), statement)
    rules = weave_rules(plugins.installed())
    found = suited(statement, values, metal, rules, count * _PRICED_FOR_ONE, only)
    if not len(found.cloth.weave):
        return _nothing(statement.use, (_unsuited(use, found),), statement)
    policy = supply_policy if supply_policy is not None else policy_in_use()
    ordered = form or Roll(f"{policy.widths_m[0] * 1e3:.6g} mm", "full roll")
    also = {"services": services, MUST_STAND: must_stand}
    lines = _lines(found, name, ordered, quantity, also)
    estimates = estimate_list(
        lines, price_book, policy, path_model, lines_apart=True, better_quantities=False
    )
    said = _said(estimates)
    if wrong := tuple(one for one in said.of_all if _is_no_order(one)):
        return _nothing(statement.use, wrong, statement)
    stopped = estimates.log.refused()
    prices = np.where(stopped, np.nan, estimates.ledger.price)
    currency = estimates.book.currency
    measures = statement.measures(found.cloth, values, metal)
    order = _apart(found, _ranked(found, prices), count)
    first = traded(found.cloth, order[0], float(prices[order[0]]))
    fine = _fine(found, order)
    return Specifications(
        statement.use, statement.title, name, currency,
        tuple(_offer(found, measures, prices, row, first, said.own[row], fine) for row in order),
        (*found.wanted.reasons, *_why_alloy(asked)), found.wanted.hints,
        f"{statement.caution} {CAUTION}",
        statement.sources, (), _order_of(lines),
        (*asked.told, *uncovered(measures, order), *said.of_all),
    )  # fmt: skip


def _why_alloy(asked: AskedUse) -> tuple[str, ...]:
    return (f"{asked.alloy}: {asked.alloy_reason}",) if asked.alloy_reason else ()


@dataclass(frozen=True, slots=True)
class _Said:
    """What estimates say of every line, and what of each alone."""

    of_all: tuple[Message, ...]
    own: tuple[tuple[Message, ...], ...]


def _said(estimates: EstimateSet) -> _Said:
    every = [estimates[row].messages for row in range(len(estimates))]
    of_all = tuple(one for one in every[0] if all(one in others for others in every))
    own = tuple(tuple(one for one in messages if one not in of_all) for messages in every)
    return _Said(of_all, own)


def _is_no_order(message: Message) -> bool:
    return message.field in _ORDERED and message.severity == "refused"


def _order_of(lines: pd.DataFrame) -> dict[str, str]:
    also = [name for name in _ALSO if name in lines and not is_blank(str(lines[name].iloc[0]))]
    return {name: str(lines[name].iloc[0]) for name in (*_ORDERED, *also)}


def _unsuited(use: str, found: Suited) -> Message:
    weaves = " or ".join(WEAVES[code] for code, why in found.wanted.weaves if why)
    cloth = f"cloth of {weaves} weave" if weaves else "cloth"
    asked = "; ".join(demand.text for demand in found.wanted.demands)
    alone = "; ".join(found.unkept)
    which = f"none keeps even this alone: {alone}" if alone else f"none keeps all of it: {asked}"
    text = f"no {cloth} that can be woven does it; {which}. Let a figure go."
    return Message("use", use, text, code="use.nothing_suits")


def _nothing(
    use: str, messages: tuple[Message, ...], statement: Statement | None = None
) -> Specifications:
    title, caution = (statement.title, statement.caution) if statement else ("", "")
    return Specifications(use, title, "", "", (), (), (), caution, (), messages)


def _lines(
    found: Suited, alloy: str, form: Form, quantity: int | str, also: Mapping[str, str]
) -> pd.DataFrame:
    """Write each specification as a line that orders it."""
    stated = {name: text for name, text in also.items() if not is_blank(text)}
    cells = form if isinstance(form, Mapping) else {}
    made = None if isinstance(form, Mapping) else form
    ordered = as_table(Enquiry(alloy=alloy, form=made, quantity=quantity))
    ordered = ordered.assign(**cells).assign(**stated)
    lines = ordered.loc[[0] * len(found.cloth.weave)].reset_index(drop=True)
    for row in range(len(lines)):
        for name, text in _cells(found, row).items():
            lines.loc[row, name] = text
    return lines[[name for name in (*COLUMNS, MUST_STAND) if name in lines]]


def _ranked(found: Suited, prices: FloatArray) -> list[int]:
    """Rows by what they cost the use and the buyer; those without a price by the use alone."""
    known = np.isfinite(prices)
    dearer = np.zeros(len(prices))
    if known.any():
        dearer[known] = np.log(prices[known] / prices[known].min())
        dearer[~known] = dearer[known].max()
    order: list[int] = np.argsort(found.cost + _PRICE_WEIGHT * dearer, kind="stable").tolist()
    return order


def _apart(found: Suited, order: Sequence[int], count: int) -> list[int]:
    """Return the first rows of which no two are near twins; closer ones where few are left."""
    sizes = np.log([found.cloth.aperture_m, found.cloth.wire_diameter_m])
    kept: list[int] = []
    for same_wire, most in ((_SAME_WIRE, count), (_NEAR_TWINS, min(count, _FEW))):
        for row in order:
            aperture, wire = np.abs(sizes[:, kept] - sizes[:, [row]])
            twins = np.maximum(aperture, wire) < _NEAR_TWINS
            same_weave = found.cloth.weave[kept] == found.cloth.weave[row]
            twins |= same_weave & (aperture < _SAME_APERTURE) & (wire < same_wire)
            if len(kept) < most and not twins.any():
                kept.append(row)
    return kept


def _on_one_word(measures: tuple[Measure, ...], row: int) -> tuple[Message, ...]:
    """Doubt a cloth that keeps what is asked by the word of one author alone."""
    if not any(one.alone and one.alone[row] for one in measures):
        return ()
    text = ("the limit is kept by the word of one author alone, so how far others would differ is "
            "not known. Have it measured, or take an offer that several cover.")  # fmt: skip
    return (Message("most_drop", "", text, "review", code="use.one_author"),)


def _cells(found: Suited, row: int, fine: bool | None = None) -> dict[str, str]:
    cloth = found.cloth
    return written_cells(
        int(cloth.weave[row]), float(cloth.wire_diameter_m[row]), float(cloth.pitch_m[row]), fine
    )


def _fine(found: Suited, order: Sequence[int]) -> bool:
    cloth = found.cloth
    return in_micrometres(cloth.wire_diameter_m[list(order)], cloth.aperture_m[list(order)])


def _offer(
    found: Suited, measures: tuple[Measure, ...], prices: FloatArray, row: int, first: Traded,
    told: tuple[Message, ...], fine: bool,
) -> Offer:  # fmt: skip
    cells = _cells(found, row, fine)
    size = cells["mesh_count"] or cells["aperture"]
    return Offer(
        f"{size} × {cells['wire_diameter']} {cells['weave']}",
        cells,
        float(prices[row]),
        {one.name: one.text(row) for one in measures},
        (f"{cells['weave']}: {found.weave_reason[row]}",),
        trade_off(first, traded(found.cloth, row, float(prices[row]))),
        (*told, *_on_one_word(measures, row)),
    )
