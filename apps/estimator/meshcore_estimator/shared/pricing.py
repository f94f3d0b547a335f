"""The one door to prices: whoever may not see costs is given lists that know none.

Pages price by this module alone. What it gives a viewer holds no cost, rate or rule, so that no
page, download or copy of what a session holds can tell one.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

import pandas as pd

from meshcore.costing.book.price_book import PriceBook
from meshcore.enquiry import SET_PRICE
from meshcore.estimates import letters, options, pipeline
from meshcore.estimates.for_buyers import without_costs, without_set_prices
from meshcore.estimates.letters import PricedLetter
from meshcore.estimates.results import EstimateSet
from meshcore.reading.letters.letter import Letter
from meshcore.supply.cutting import CuttingEffort
from meshcore.supply.policy import SupplyPolicy
from meshcore.weave.geometry.path import PathModel
from meshcore_estimator.shared.roles import Deed, may


def _no_word(_stage: str, _share: float) -> None:
    """Tell nobody how far it is."""


def estimate_list(
    enquiries: pd.DataFrame,
    book: PriceBook,
    policy: SupplyPolicy,
    path_model: PathModel = "arc",
    progress: Callable[[str, float], None] = _no_word,
    cutting: CuttingEffort | None = None,
) -> EstimateSet:
    """Price a list, as `meshcore.estimates.pipeline.estimate_list` does."""
    if may(Deed.COSTS):
        return pipeline.estimate_list(enquiries, book, policy, path_model, progress, cutting)
    lines, tried = without_set_prices(enquiries)
    priced = pipeline.estimate_list(lines, book, policy, path_model, progress, cutting)
    return without_costs(priced, tried)


def price_letter(letter: Letter, book: PriceBook, policy: SupplyPolicy) -> PricedLetter:
    """Price a letter, as `meshcore.estimates.letters.price_letter` does."""
    if may(Deed.COSTS):
        return letters.price_letter(letter, book, policy)
    lines, _ = without_set_prices(letter.lines)
    priced = letters.price_letter(replace(letter, lines=lines), book, policy)
    return replace(priced, ways=tuple(without_costs(way) for way in priced.ways))


def priced_options(
    asked: Sequence[Mapping[str, str]], book: PriceBook, policy: SupplyPolicy, path_model: PathModel
) -> EstimateSet:
    """Price options, as `meshcore.estimates.options.priced_options` does."""
    if may(Deed.COSTS):
        return options.priced_options(asked, book, policy, path_model)
    plain = [{k: v for k, v in one.items() if k != SET_PRICE} for one in asked]
    return without_costs(options.priced_options(plain, book, policy, path_model))
