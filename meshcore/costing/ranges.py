"""Budget ranges and sensitivities: the same rules over many draws of the same order at once."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray
from meshcore.costing.book.price_book import PriceBook
from meshcore.costing.items import PricingRule
from meshcore.costing.ledger import Ledger
from meshcore.costing.money import from_minor, minor_digits
from meshcore.costing.order_columns import OrderColumns, take_lines
from meshcore.costing.pipeline import price_columns
from meshcore.costing.rates import RateColumn
from meshcore.messages import MessageLog

if TYPE_CHECKING:
    import pandas as pd

Rules = Sequence[tuple[str, PricingRule]]

#: Keys of the price book that state an uncertainty: this, and the key or driver that it is of.
STATED = "uncertainty."
#: Drivers that are no rates: share of consumed cloth that is delivered, mass of the cloth per
#: area, and quantity ordered.
YIELD, MASS, QUANTITY = "yield", "mass per area", "quantity"
_SCALED: dict[str, tuple[str, ...]] = {
    YIELD: ("gross_area_m2", "gross_mass_kg", "run_length_m"),
    MASS: ("net_mass_kg", "gross_mass_kg"),
    QUANTITY: (
        "quantity", "net_area_m2", "gross_area_m2", "net_mass_kg", "gross_mass_kg", "run_length_m",
        "cut_length_m", "cut_count", "roll_count", "part_roll_count",
    ),
}  # fmt: skip
#: Draws of a budget range, and the seed, where none is asked for.
DRAWS, SEED = 10_000, 0
#: Lines priced at once, of all draws together; more are worked one part after another.
MOST_AT_ONCE = 1_000_000
#: Shares of the draws that lie at or below the three figures quoted.
_QUOTED = (0.10, 0.50, 0.90)
_PERCENT = 100.0
#: Change applied to each driver in turn for a tornado.
CHANGE = 0.10


@dataclass(frozen=True, slots=True)
class Uncertainty:
    """How far a driver may lie from its nominal value.

    Parameters
    ----------
    driver
        A key of the price book, such as ``"wire.metal"``, or ``"yield"``, ``"mass per area"``.
    spread
        Furthest share of the nominal value, either way [-]; 0 < spread < 1. The value in between
        follows the symmetric triangular distribution.

    Raises
    ------
    ValueError
        If `spread` is out of range.
    """

    driver: str
    spread: float

    def __post_init__(self) -> None:
        if not 0.0 < self.spread < 1.0:
            raise ValueError(
                f"uncertainty of {self.driver}: {self.spread:g} is no share between 0 and 1"
            )


@dataclass(frozen=True, slots=True)
class BudgetRange:
    """Price of an order over many draws.

    Parameters
    ----------
    prices
        Price of the order in each draw, in `currency`.
    p10, p50, p90, mean
        Prices that 10 %, 50 % and 90 % of the draws do not exceed, and their mean.
    nominal
        Price with every driver at its nominal value.
    uncertainties, seed
        What was drawn, and the seed that gives the same draws again.
    """

    prices: FloatArray
    p10: float
    p50: float
    p90: float
    mean: float
    nominal: float
    currency: str
    uncertainties: tuple[Uncertainty, ...]
    seed: int


def stated_uncertainties(book: PriceBook) -> tuple[Uncertainty, ...]:
    """Return the uncertainties that a price book states, in its order.

    Notes
    -----
    They stand beside the rate that they are of; where rows of one key differ, the greatest counts,
    since the key is drawn as one. A row ``uncertainty.KEY`` counts where no row of the key states
    one, and states those of what is no rate.
    """
    beside = {
        key: max(stated) / _PERCENT
        for key, rows in book.by_key.items()
        if (stated := [r.uncertainty_pct for r in rows if r.uncertainty_pct is not None])
    }
    found: list[tuple[str, float]] = []
    for key, rows in book.by_key.items():
        if key in beside:
            found.append((key, beside[key]))
        elif key.startswith(STATED) and (of := key.removeprefix(STATED)) not in beside:
            found.append((of, rows[0].amount * rows[0].per.factor))
    return tuple(Uncertainty(driver, share) for driver, share in found if share > 0.0)


def budget_range(
    columns: OrderColumns,
    rules: Rules,
    book: PriceBook,
    uncertainties: Sequence[Uncertainty],
    *,
    draws: int = DRAWS,
    seed: int = SEED,
    counted: BoolArray | None = None,
) -> BudgetRange:
    """Price an order with its uncertain drivers drawn at random, all draws in one call.

    Parameters
    ----------
    columns
        The order's lines that have a price; `take_lines` picks them from a list.
    rules, book
        As for `price_columns`.
    uncertainties
        What to draw; each driver by itself, and one value a draw for all lines of the order.
    draws, seed
        How many, and where the random numbers start: the same seed gives the same prices.
    counted
        Lines whose prices are summed; the others only share what the order shares. All, if None.

    Returns
    -------
    The prices and their summary.

    Notes
    -----
    Each driver's factor is triangular on [1 − spread, 1 + spread] with its peak at 1. Yield
    divides what is consumed, so its nominal price is not quite its mean.
    """
    rng = np.random.default_rng(seed)
    lines = len(columns)
    wanted = np.ones(lines, dtype=np.bool_) if counted is None else counted
    drawn = {u.driver: _drawn(rng, u.spread, draws) for u in uncertainties}
    at_once = max(1, MOST_AT_ONCE // lines)
    parts = []
    for start in range(0, draws, at_once):
        times = min(at_once, draws - start)
        factors = {d: np.repeat(v[start : start + times], lines) for d, v in drawn.items()}
        repeated = _repeated(columns, times)
        parts.append(_order_prices(repeated, rules, book, factors, times, wanted))
    prices = np.concatenate(parts)
    nominal = _order_prices(_repeated(columns, 1), rules, book, {}, 1, wanted)
    p10, p50, p90 = np.quantile(prices, _QUOTED).tolist()
    return BudgetRange(
        prices, p10, p50, p90, float(prices.mean()), float(nominal[0]), book.currency,
        tuple(uncertainties), seed,
    )  # fmt: skip


def _drawn(rng: np.random.Generator, spread: float, draws: int) -> FloatArray:
    return rng.triangular(1.0 - spread, 1.0, 1.0 + spread, draws)


def _repeated(columns: OrderColumns, times: int) -> OrderColumns:
    """Return copies of an order, one after another, each an order of its own."""
    lines = np.tile(np.arange(len(columns)), times)
    copy = np.repeat(np.arange(times), len(columns))

    def of_copy(group: IntArray) -> IntArray:
        _, own = np.unique(group, return_inverse=True)
        apart: IntArray = copy * (int(own.max(initial=0)) + 1) + own[lines]
        return apart

    return dataclasses.replace(
        take_lines(columns, lines),
        order=of_copy(columns.order),
        same_cloth=of_copy(columns.same_cloth),
        warp=of_copy(columns.warp),
    )


def _order_prices(
    columns: OrderColumns,
    rules: Rules,
    book: PriceBook,
    factors: Mapping[str, FloatArray],
    times: int,
    counted: BoolArray,
) -> FloatArray:
    """Return the price of the counted lines of an order, for each of its copies."""
    ledger = _priced(columns, rules, book, factors)
    by_copy = ledger.price_minor.reshape(times, -1)[:, counted].sum(axis=1)
    return from_minor(by_copy, minor_digits(book.currency))


def _priced(
    columns: OrderColumns, rules: Rules, book: PriceBook, factors: Mapping[str, FloatArray]
) -> Ledger:
    scaled = columns
    for driver, factor in factors.items():
        if driver in _SCALED:
            by = 1.0 / factor if driver == YIELD else factor
            held = {name: getattr(scaled, name) * by for name in _SCALED[driver]}
            if "run_length_m" in held:
                held["runs_by_width"] = {w: run * by for w, run in scaled.runs_by_width.items()}
            scaled = dataclasses.replace(scaled, **held)
    rates = {driver: factor for driver, factor in factors.items() if driver not in _SCALED}
    # The day matters to warnings of stale rates alone, and nobody reads this log.
    log = MessageLog(len(columns))
    return price_columns(scaled, rules, book, log, today=date.min, factors=rates)


def tornado(
    columns: OrderColumns,
    rules: Rules,
    book: PriceBook,
    *,
    change: float | Mapping[str, float] = CHANGE,
    counted: BoolArray | None = None,
) -> pd.DataFrame:
    """Find what drives the price: each driver lower and higher by a share, the others held.

    Parameters
    ----------
    columns
        The order's lines that have a price.
    rules, book
        As for `price_columns`.
    change
        Share by which each driver is moved [-]; or driver → its own share, others left out.
    counted
        As for `budget_range`.

    Returns
    -------
    One row a driver, the widest swing first: ``driver``, ``price_low`` and ``price_high`` (with
    the driver lower and higher), ``change_low``, ``change_high`` (against the nominal price) and
    ``swing``. Drivers are the keys of the book that the order's items rest on, quantity, mass per
    area and yield, and the rates of exchange that were used.
    """
    import pandas as pd  # noqa: PLC0415 - heavy, and costing alone does not need it

    nominal_ledger = _priced(_repeated(columns, 1), rules, book, {})
    wanted = np.ones(len(columns), dtype=np.bool_) if counted is None else counted
    nominal_minor = nominal_ledger.price_minor[wanted].sum()
    nominal = float(from_minor(nominal_minor, nominal_ledger.digits))
    used = _looked_up(nominal_ledger)
    drivers = [*dict.fromkeys(column.key for column in used), *_SCALED]
    if isinstance(change, Mapping):
        drivers = [driver for driver in drivers if driver in change]
    spread = change if isinstance(change, Mapping) else dict.fromkeys(drivers, change)
    copies = 2 * len(drivers)
    by_copy = np.ones((len(drivers), copies))
    for number in range(len(drivers)):
        by = spread[drivers[number]]
        by_copy[number, 2 * number : 2 * number + 2] = (1.0 - by, 1.0 + by)
    factors = {
        driver: np.repeat(by_copy[number], len(columns)) for number, driver in enumerate(drivers)
    }
    prices = _order_prices(_repeated(columns, copies), rules, book, factors, copies, wanted)
    rows = [(d, *prices[2 * n : 2 * n + 2].tolist()) for n, d in enumerate(drivers)]
    exchanged = dict.fromkeys(e for c in used for g in c.groups for e in g.exchange)
    moved = 1.0 + np.array([-1.0, 1.0]) * (0.0 if isinstance(change, Mapping) else change)
    for entry in () if isinstance(change, Mapping) else exchanged:
        low, high = (
            _order_prices(_repeated(columns, 1), rules, _exchanged(book, entry, by), {}, 1, wanted)[
                0
            ]
            for by in moved.tolist()
        )
        rows.append((f"exchange {entry.currency}/{entry.to}", float(low), float(high)))
    frame = pd.DataFrame(rows, columns=["driver", "price_low", "price_high"])
    digits = minor_digits(book.currency)
    frame["change_low"] = (frame["price_low"] - nominal).round(digits)
    frame["change_high"] = (frame["price_high"] - nominal).round(digits)
    frame["swing"] = (frame["price_high"] - frame["price_low"]).abs().round(digits)
    frame = frame[frame["change_low"].ne(0.0) | frame["change_high"].ne(0.0)]
    return frame.sort_values("swing", ascending=False, kind="stable", ignore_index=True)


def _looked_up(ledger: Ledger) -> list[RateColumn]:
    held = [column for item in ledger.items for column in (item.origin, *item.uses)]
    return [column for column in held if isinstance(column, RateColumn)]


def _exchanged(book: PriceBook, entry: object, by: float) -> PriceBook:
    exchange = tuple(
        dataclasses.replace(e, amount=e.amount * by) if e == entry else e for e in book.exchange
    )
    return dataclasses.replace(book, exchange=exchange)
