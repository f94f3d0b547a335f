"""Terms of a customer: discount, net prices, indexed metal, rebate, commission, pallets."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from meshcore.arrays import BoolArray, FloatArray
from meshcore.costing.delivered import UNITS, delivered
from meshcore.costing.items import CostColumn, GroupSum, Live, OrderColumns, PricingRule, Remark
from meshcore.costing.net_prices import NET, NET_FACTS
from meshcore.costing.rates import RateColumn, Rates
from meshcore.rounding import SLACK
from meshcore.supply.together import CLOTH_DECIMALS
from meshcore_mill_costing.commercial import MARGIN, OVERHEAD

DISCOUNT = "customer.discount"
REBATE = "customer.rebate"
COMMISSION = "customer.commission"
INDEX_BASE = "surcharge.metal_index.base"
INDEX_VALUE = "surcharge.metal_index.value"
INDEX_CONTENT = "surcharge.metal_index.content"
PALLET, PALLET_LOAD = "freight.pallet", "freight.pallet_load"
ZONES, DESTINATIONS = "freight.zone.", "tax.destination."

_SUBTOTAL = ("subtotal",)
#: The stage in which services are charged.
_SERVICES = "finishing"
_MARGIN_ON_PRICE = "margin_of_price"
#: Sizes that differ by less are taken for one that was written down in another way: 0.64 mm for
#: 0.635 mm, 0.08 % of a mesh count (our choice).
_NEAR = 0.02


def _discount(_columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    if rates.has(DISCOUNT):
        rate = rates.figure(DISCOUNT, "", default=0.0)
        yield CostColumn("customer discount (credit)", "price so far, after quantity breaks", 0.0,
                         "", rate, base=_SUBTOTAL, credit=True)  # fmt: skip


@dataclass(frozen=True, slots=True)
class _NetPrice:
    """A price agreed for one cloth and unit, as it bears on each line.

    Parameters
    ----------
    unit
        It is per, of ``UNITS``.
    agreed
        The price of the book.
    amount
        How many of the unit each line delivers of that cloth.
    is_for, is_near
        Lines in that cloth, or in one of nearly the same sizes, for which it is agreed.
    has_services
        Whether it includes work after weaving.
    """

    unit: str
    agreed: RateColumn
    amount: FloatArray
    is_for: BoolArray
    is_near: BoolArray
    has_services: bool

    @property
    def target(self) -> FloatArray:
        """What each line comes to at the price; zero where it does not hold."""
        return self.agreed.values * self.amount


def _agreed_keys(rates: Rates) -> list[str]:
    return [k for k in rates.keys(NET) if not k.endswith(NET_FACTS)]


def _agreed_prices(columns: OrderColumns, rates: Rates) -> Iterator[_NetPrice]:
    pitch, wire = columns.cloth.pitch_m, columns.cloth.wire_diameter_m
    for key in _agreed_keys(rates):
        unit = rates.unit_of(key)
        if unit not in UNITS:
            continue
        sizes = [rates.figure(f"{key}.{size}", "m").values for size in ("pitch", "wire")]
        agreed = rates.money(key, unit, default=0.0)
        given = agreed.values > 0.0
        is_for = given & _is_size(pitch, sizes[0]) & _is_size(wire, sizes[1])
        yield _NetPrice(
            unit,
            agreed,
            np.where(is_for, np.nan_to_num(delivered(columns, unit)), 0.0),
            is_for,
            given & _is_near(pitch, sizes[0]) & _is_near(wire, sizes[1]),
            rates.has(f"{key}.services"),
        )


def _at_net_price(columns: OrderColumns, rates: Rates) -> BoolArray:
    """Lines that an agreed price prices."""
    held = np.zeros(len(columns), np.bool_)
    if "net price" not in rates.book.rules_disabled:
        for one in _agreed_prices(columns, rates):
            held |= one.target > 0.0
    return held


def _net_prices(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    """Bring each line of a cloth that has an agreed price to it, by charge or credit."""
    is_agreed, is_near, is_priced = (np.zeros(len(columns), np.bool_) for _ in range(3))
    for key in _agreed_keys(rates):
        if rates.unit_of(key) not in UNITS:
            text = (
                f"the price book agrees {key} per {rates.unit_of(key)}, which no line has. Mend it."
            )
            everywhere = np.ones(len(columns), np.bool_)
            yield Remark(everywhere, "price", text, "review", code="price.net_unit_unknown")
    beside = np.zeros(len(columns), np.bool_)
    for one in _agreed_prices(columns, rates):
        is_agreed |= one.is_for
        is_near |= one.is_near
        is_priced |= one.target > 0.0
        if not one.has_services:
            beside |= one.target > 0.0
        yield CostColumn("net price (charge or credit)", f"agreed per {one.unit}", 0.0, "",
                         one.agreed.with_values(one.target), base=_SUBTOTAL, top_up="net",
                         working=f"{{delivered}} {one.unit} delivered at the price agreed",
                         terms={"delivered": one.amount},
                         live=Live(rate="{rate}*{delivered}"))  # fmt: skip
    yield from _services_beside(columns, rates, beside)
    text = (
        "priced at the net price agreed. Services that it does not include, and surcharges, stand "
        "beside it; a rebate or a commission is paid out of it."
    )
    yield Remark(is_priced, "price", text, "note", code="price.net_agreed")
    text = (
        "a net price is agreed for this cloth by another unit than this line is sold by, so the "
        "price is reckoned. Agree one for it, or ask for it by that unit."
    )
    yield Remark(is_agreed & ~is_priced, "price", text, "review", code="price.net_other_unit")
    text = (
        "a net price is agreed for cloth of nearly the same pitch and wire, and it does not hold "
        "for this, so the price is reckoned. Check the sizes of both."
    )
    yield Remark(is_near & ~is_agreed, "price", text, "review", code="price.net_near_size")


def _services_beside(
    columns: OrderColumns, rates: Rates, beside: BoolArray
) -> Iterable[CostColumn]:
    """Charge work after weaving beside a net price: its cost with overhead and margin."""
    if not beside.any():
        return
    off = rates.book.rules_disabled
    overheads = {
        f"overhead_{n}": rates.figure(OVERHEAD, "", base=base, default=0.0)
        for n, base in enumerate(rates.bases(OVERHEAD), 1)
        if "overhead" not in off and (not base or {"subtotal", _SERVICES} & {*base.split(", ")})
    }
    margins = {
        f"margin_of_{base or 'cost'}": rates.figure(MARGIN, "", base=base, default=0.0)
        for base in rates.bases(MARGIN)
        if "margin" not in off
    }
    factor = 1.0 + sum((one.values for one in overheads.values()), np.zeros(len(columns)))
    formula = f"({'+'.join(('1', *(f'{{{name}}}' for name in overheads)))})"
    for name, one in margins.items():
        on_price = name == _MARGIN_ON_PRICE
        factor = factor / np.maximum(1.0 - one.values, SLACK) if on_price else factor * (
            1.0 + one.values
        )  # fmt: skip
        formula += f"/(1-{{{name}}})" if on_price else f"*(1+{{{name}}})"
    shares = {**overheads, **margins}
    values = np.where(beside, factor, 0.0)
    rate = next(iter(shares.values())).with_values(values) if shares else values
    yield CostColumn(
        "services beside the net price",
        "cost of services, with overhead and margin",
        0.0,
        "",
        rate,
        base=(_SERVICES,),
        beside=True,
        working="rate: " + formula.replace("*", " × ").replace("/", " ÷ "),
        terms={**shares, "beside": beside.astype(np.float64)},
        live=Live(rate=f"{formula}*{{beside}}"),
    )


def _is_size(own_m: FloatArray, agreed_m: FloatArray) -> BoolArray:
    same: BoolArray = np.abs(own_m - agreed_m) < 10.0**-CLOTH_DECIMALS
    return same


def _is_near(own_m: FloatArray, agreed_m: FloatArray) -> BoolArray:
    near: BoolArray = np.abs(own_m - agreed_m) < _NEAR * agreed_m
    return near


def _metal_index(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    """Charge what the metal's index lies above the agreed base, or credit what it lies below."""
    if not rates.has(INDEX_BASE):
        return
    base = rates.money(INDEX_BASE, "kg", default=0.0)
    value = rates.money(INDEX_VALUE, "kg")
    content = rates.figure(INDEX_CONTENT, "", default=1.0)
    agreed = base.values > 0.0
    lacking = agreed & np.isnan(value.values)
    text = f"{INDEX_BASE} is agreed and {INDEX_VALUE} is missing. Enter the index of the month."
    yield Remark(lacking, "price book", text, "refused", code="price.index_missing")
    change = np.where(agreed, np.nan_to_num(value.values - base.values), 0.0)
    mass = columns.net_mass_kg * content.values
    for label, credit, rate in (
        ("metal index surcharge", False, np.maximum(change, 0.0)),
        ("metal index surcharge (credit)", True, np.maximum(-change, 0.0)),
    ):
        yield CostColumn(
            label,
            "metal delivered",
            mass,
            "kg",
            value.with_values(rate),
            credit=credit,
            uses=(base, content),
            working="{mass} kg delivered × {content} of it; index {value} against base {base}",
            terms={
                "mass": columns.net_mass_kg,
                "content": content,
                "value": value,
                "base": base,
            },
            live=Live(
                "{mass}*{content}", f"MAX({'{base}-{value}' if credit else '{value}-{base}'},0)"
            ),
        )


def _of_the_price(
    label: str, key: str, columns: OrderColumns, rates: Rates
) -> Iterable[CostColumn | Remark]:
    """Charge so much that it is the share of the price that is given away.

    A net price is what is billed: there it is paid out of the price.
    """
    if rates.has(key):
        rate = rates.figure(key, "", default=0.0)
        share = np.minimum(rate.values, 1.0 - SLACK)
        charged = (~_at_net_price(columns, rates)).astype(np.float64)
        yield CostColumn(label, "price so far", 0.0, "",
                         rate.with_values(charged * share / (1.0 - share)),
                         base=_SUBTOTAL,
                         working="rate: {share} of the price is {share} ÷ (1 − {share}) of what "
                         "comes before", terms={"share": share, "charged": charged},
                         live=Live(rate="{rate}/(1-{rate})*{charged}"))  # fmt: skip


def _commission(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    return _of_the_price("commission", COMMISSION, columns, rates)


def _rebate(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    return _of_the_price("provision for the rebate", REBATE, columns, rates)


def _freight_by_pallet(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    """Charge an order's pallets by the step of the zone's tariff that their number reaches."""
    if not rates.has(PALLET):
        return
    load = rates.figure(PALLET_LOAD, "kg")
    mass = columns.over_order(columns.net_mass_kg)
    pallets = np.ceil(mass / load.values * (1.0 - SLACK))
    counted = pallets if rates.size_unit_of(PALLET) == "pallet" else None
    rate = rates.money(PALLET, "pallet", at=counted, how="step")
    yield CostColumn(
        "freight by pallet",
        "pallets of the order, shared by mass",
        pallets,
        "pallet",
        rate,
        per="order",
        shared_by=columns.net_mass_kg,
        shared_in="kg delivered",
        uses=(load,),
        working="{mass} kg of the order ÷ {load} kg a pallet, rounded up",
        terms={"mass": GroupSum("order", columns.net_mass_kg, mass), "load": load},
        live=Live(
            quantity="ROUNDUP({mass}/{load}*(1-1E-9),0)", at="ROUNDUP({mass}/{load}*(1-1E-9),0)"
        ),
    )


RULES: tuple[PricingRule, ...] = (
    PricingRule(
        "freight by pallet", "freight", _freight_by_pallet, reads=(PALLET, PALLET_LOAD, ZONES)
    ),
    PricingRule("customer discount", "breaks and minimums", _discount, reads=(DISCOUNT,)),
    PricingRule("net price", "breaks and minimums", _net_prices, reads=(NET, OVERHEAD, MARGIN)),
    PricingRule(
        "metal index",
        "surcharges",
        _metal_index,
        reads=(INDEX_BASE, INDEX_VALUE, INDEX_CONTENT),
    ),
    PricingRule("commission", "surcharges", _commission, reads=(COMMISSION,)),
    PricingRule("rebate", "surcharges", _rebate, reads=(REBATE,)),
)
