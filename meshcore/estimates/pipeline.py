"""The pipeline: enquiry table in, priced table out; one estimate is a table of one line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import numpy as np

from meshcore import plugins
from meshcore.alloys.records.registry import installed_registry
from meshcore.costing.book.price_book import PriceBook
from meshcore.costing.book.validity import in_force
from meshcore.costing.items import PricingRule
from meshcore.demo import default_price_book, policy_in_use
from meshcore.enquiry import Enquiry, as_table
from meshcore.estimates.better_quantities import say_better_quantities
from meshcore.estimates.books import designated, doubts, say_doubts
from meshcore.estimates.coatings import judge_coatings
from meshcore.estimates.from_stock import say_from_stock
from meshcore.estimates.nominal import with_nominal_widths
from meshcore.estimates.orders import form_columns, own_columns
from meshcore.estimates.plausibility import judge_plausibility
from meshcore.estimates.preparing import (
    check_kind,
    cloth_of,
    read_lines,
    services,
    versions,
    with_writable_headings,
)
from meshcore.estimates.pricing import PricingJob, Progress, price_orders
from meshcore.estimates.results import Estimate, EstimateSet
from meshcore.estimates.set_below_cost import say_below_cost
from meshcore.estimates.stated_services import say_stated_services
from meshcore.estimates.tolerances import billed_minor
from meshcore.estimates.weaves import weave_names, with_chosen_weaves
from meshcore.estimates.weighing import weighed_mass
from meshcore.messages import MessageLog
from meshcore.supply.cutting import CuttingEffort
from meshcore.supply.policy import SupplyPolicy
from meshcore.supply.shapes.columns import read_pieces
from meshcore.weave.cloth import by_alloy
from meshcore.weave.geometry.mass import mass_per_area
from meshcore.weave.geometry.path import PathModel
from meshcore.weave.judging.practicality import weave_rules
from meshcore.weave.judging.verdict import judge
from meshcore.weave.specification.completing import complete

if TYPE_CHECKING:
    import pandas as pd


def estimate_list(
    enquiries: pd.DataFrame | Sequence[Enquiry],
    price_book: PriceBook | None = None,
    supply_policy: SupplyPolicy | None = None,
    path_model: PathModel = "arc",
    progress: Progress = lambda _stage, _share: None,
    cutting: CuttingEffort | None = None,
    lines_apart: bool = False,
    better_quantities: bool = True,
) -> EstimateSet:
    """Price an enquiry list and keep all that stands behind the prices.

    The list is one order, unless a column ``order`` tells its lines apart.

    Parameters
    ----------
    enquiries
        A table, one enquiry a line, with the columns of an enquiry list or customary other
        headings; or a sequence of `Enquiry`.
    price_book
        Rates; without it the book in use (`meshcore.demo.default_price_book`). Where none is
        named anywhere, the invented demo book stands in, and every line is in review and says so.
    supply_policy
        Stock widths, roll lengths and tolerances; without it the policy in use, or the customary
        ones.
    path_model
        ``"arc"`` for the path of each weave, ``"flat"`` for the flat 3 % crimp allowance.
    progress
        Told of each stage.
    cutting
        Effort to plan the slitting of strips and the nesting of pieces, all lines of one order
        and cloth together. Without it they are planned as far as takes no time that anyone would
        mind (`SupplyPolicy.planning_s`), alike on every machine; with ``CuttingEffort(0)`` they
        are laid in whole rows and closed forms.
    lines_apart
        Whether each line is an order of its own, whatever a column ``order`` says: for lines that
        are set side by side, of which one will be ordered.
    better_quantities
        Whether to say of a line that a few more would cost less, where they would; not of lines
        apart.

    Returns
    -------
    The estimates, line for line in the order of `enquiries`.

    Examples
    --------
    >>> from meshcore import Enquiry, Roll
    >>> form = Roll("48 in", "100 ft")
    >>> asked = [Enquiry(mesh_count="10 / in", wire_diameter=wire, alloy="304", form=form)
    ...          for wire in ("0.025 in", "16 ga")]
    >>> from meshcore.demo import demo_price_book
    >>> [one.status for one in estimate_list(asked, demo_price_book())]
    ['ok', 'refused']
    """
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first made

    table = enquiries if isinstance(enquiries, pd.DataFrame) else as_table(enquiries)
    table = with_writable_headings(table)
    check_kind("price_book", price_book, PriceBook, "mc.read_price_book(path)")
    check_kind("supply_policy", supply_policy, SupplyPolicy, "mc.read_supply_policy(path)")
    check_kind("cutting", cutting, CuttingEffort, "mc.CuttingEffort(10)")
    book = price_book if price_book is not None else default_price_book()
    policy = supply_policy if supply_policy is not None else policy_in_use()
    registry = installed_registry()
    named = designated(book, registry)
    book = in_force(named, date.today())
    log = MessageLog(len(table))
    progress("Reading the lines", 0.0)
    read = with_nominal_widths(read_lines(table, registry, policy, log), policy, log)
    if lines_apart:
        order = np.arange(len(table), dtype=np.int64)
        read = replace(read, order=order, options=np.zeros(len(table), dtype=np.bool_))
    progress("Completing the specifications", 0.3)
    specification = complete(read.readings, log)
    rules_of_weave = weave_rules(plugins.installed())
    cloth = with_chosen_weaves(
        cloth_of(read, specification, registry, path_model),
        read.weave,
        read.note,
        rules_of_weave,
        path_model,
        log,
    )
    progress("Judging what can be woven", 0.45)
    typed = {name: column.texts for name, column in read.readings.items()}
    typed["weave"] = weave_names(read.weave)
    practicality = judge(cloth, rules_of_weave, log, typed)
    progress("Working out mass and supply", 0.6)
    mass = mass_per_area(
        cloth.wire_diameter_m,
        cloth.pitch_m,
        cloth.path_ratio,
        by_alloy(cloth, lambda alloy: alloy.density_kg_m3),
    )
    mass = weighed_mass(cloth, mass, policy, registry, path_model, log)
    pieces = read_pieces(read.form, read.shape, read.dimensions, read.width, read.length, log)
    judge_coatings(read.coating_kg_m2, read.alloy, registry.alloys, log)
    judge_plausibility(read, cloth, form_columns(read, cloth, pieces, log.refused()), mass, log)
    rules = plugins.installed().collect("meshcore_pricing_rules", PricingRule)
    own = own_columns(table, read.headings)
    job = PricingJob(read, cloth, pieces, mass, policy, cutting, book, rules, own)
    priced = price_orders(job, log, progress)
    ledger, orders, supply, log = priced.ledger, priced.orders, priced.supply, priced.log
    say_doubts(log, doubts(named, registry, [rule for _, rule in rules], services(), date.today()))
    say_from_stock(orders, policy, log)
    say_below_cost(own, ledger, log)
    say_stated_services(own, cloth, log)
    low, high = (
        billed_minor(ledger, orders, ratio) for ratio in (supply.length_low, supply.length_high)
    )
    faults = (*plugins.installed().faults(), *practicality.faults, *ledger.faults)
    priced_set = EstimateSet(
        enquiries=table,
        headings=read.headings,
        log=log,
        orders=orders,
        mass_per_area_kg_m2=mass,
        mass_open=(specification.mass_low, specification.mass_high),
        supply=supply,
        practicality=practicality,
        ledger=ledger,
        price_low_minor=low,
        price_high_minor=high,
        book=book,
        policy=policy,
        faults=faults,
        plans=priced.plans,
        path_model=path_model,
        cutting=cutting,
        versions=versions(),
        options=read.options,
    )
    if better_quantities and not lines_apart:
        say_better_quantities(
            priced_set,
            lambda lines: estimate_list(
                lines, book, policy, path_model, cutting=CuttingEffort(0), better_quantities=False
            ),
        )
    progress("Done", 1.0)
    return priced_set


def priced_as(estimates: EstimateSet, enquiries: pd.DataFrame) -> EstimateSet:
    """Price lines to be set beside a list's: same book, policy, path rule and cutting.

    Each is an order of its own, since one of them will be ordered.
    """
    return estimate_list(
        enquiries,
        estimates.book,
        estimates.policy,
        estimates.path_model,
        cutting=estimates.cutting,
        lines_apart=True,
    )


def estimate_table(
    enquiries: pd.DataFrame | Sequence[Enquiry],
    price_book: PriceBook | None = None,
    supply_policy: SupplyPolicy | None = None,
    path_model: PathModel = "arc",
    cutting: CuttingEffort | None = None,
    lines_apart: bool = False,
) -> pd.DataFrame:
    """Price an enquiry list.

    Parameters
    ----------
    enquiries, price_book, supply_policy, path_model, cutting, lines_apart
        As for `estimate_list`.

    Returns
    -------
    The list with ``PRICED_COLUMNS`` added; row order and index stay, and a line that cannot be
    priced says why in ``messages``.

    Examples
    --------
    >>> import pandas as pd
    >>> lines = pd.DataFrame({"mesh_count": "10 / in", "wire_diameter": "0.025 in",
    ...                       "alloy": ["304", "unobtainium"], "form": "roll",
    ...                       "width": "48 in", "length": "100 ft", "quantity": 3})
    >>> from meshcore.demo import demo_price_book
    >>> estimate_table(lines, demo_price_book())["status"].tolist()
    ['ok', 'refused']
    """
    estimates = estimate_list(
        enquiries,
        price_book,
        supply_policy,
        path_model,
        cutting=cutting,
        lines_apart=lines_apart,
    )
    return estimates.table


def estimate(
    enquiry: Enquiry,
    price_book: PriceBook | None = None,
    supply_policy: SupplyPolicy | None = None,
    path_model: PathModel = "arc",
    cutting: CuttingEffort | None = None,
) -> Estimate:
    """Price one enquiry: a table of one line through `estimate_list`.

    Parameters
    ----------
    enquiry
        The line, as far as it is specified.
    price_book, supply_policy, path_model, cutting
        As for `estimate_list`.

    Returns
    -------
    The estimate; ``status`` tells whether it has a price.

    Examples
    --------
    >>> from meshcore import Enquiry, Roll
    >>> from meshcore.demo import demo_price_book
    >>> e = estimate(Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
    ...                      form=Roll(width="48 in", length="100 ft"), quantity=3),
    ...              demo_price_book())
    >>> e.status, round(e.mass.to("lb").magnitude, 1)
    ('ok', 501.6)
    """
    estimates = estimate_list([enquiry], price_book, supply_policy, path_model, cutting=cutting)
    return estimates[0]
