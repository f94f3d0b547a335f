"""The book and the policy in use where none is given, and the invented mill's demonstration data.

Every door takes them from here: what an environment variable names; the demonstration where it was
asked for; else the customary policy, and the invented rates, which each estimate then says.
"""

from __future__ import annotations

import os
from dataclasses import replace
from functools import cache, lru_cache
from pathlib import Path

from meshcore.alloys.availability import Availability, read_availability
from meshcore.costing.book.edits import saved_name
from meshcore.costing.book.files import read_price_book
from meshcore.costing.book.price_book import PriceBook
from meshcore.supply.policy import SupplyPolicy, default_supply_policy, read_supply_policy

#: Path of the price book to use where none is given.
BOOK_VARIABLE = "MESHCORE_PRICE_BOOK"
#: Path of the supply policy to use where none is given.
POLICY_VARIABLE = "MESHCORE_SUPPLY_POLICY"
#: Path of the file of what wire the mill has.
AVAILABILITY_VARIABLE = "MESHCORE_AVAILABILITY"
#: Set to anything where the demonstration is asked for.
DEMO_VARIABLE = "MESHCORE_ESTIMATOR_DEMO"
#: States of price books' files that are kept read.
_STATES = 8


def demo_data() -> Path:
    """Return the folder of demonstration data.

    It lies inside the package where that was installed, and beside it in a checkout.

    Examples
    --------
    >>> (demo_data() / "price_book.toml").is_file()
    True
    """
    package = Path(__file__).parent
    inside = package / "demo_data"
    return inside if inside.is_dir() else package.parent / "demo_data"


def is_demo() -> bool:
    """Whether the demonstration was asked for, by ``MESHCORE_ESTIMATOR_DEMO``."""
    return bool(os.environ.get(DEMO_VARIABLE))


def demo_price_book() -> PriceBook:
    """Return the invented mill's price book, for who asks for it.

    Examples
    --------
    >>> demo_price_book().stand_in
    False
    """
    return _read_once(demo_data() / "price_book.toml")


def demo_supply_policy() -> SupplyPolicy:
    """Return the invented mill's supply policy.

    Examples
    --------
    >>> round(demo_supply_policy().edge_trim_m, 3)
    0.01
    """
    return _read_policy_once(demo_data() / "supply_policy.toml")


def demo_availability() -> Availability:
    """Return what wire the invented mill has.

    Examples
    --------
    >>> demo_availability().wires["316L"].state
    'stocked'
    """
    return _read_availability_once(demo_data() / "availability.toml")


def availability_in_use() -> Availability | None:
    """Return what wire the mill has, where none is given; None where nobody said.

    That is the file named by ``MESHCORE_AVAILABILITY``, or the demonstration's where it was asked
    for.

    Raises
    ------
    AvailabilityError
        If the file cannot be read.
    """
    if named := os.environ.get(AVAILABILITY_VARIABLE):
        return _read_availability_once(Path(named))
    return demo_availability() if is_demo() else None


def default_price_book(*, demo: bool = False) -> PriceBook:
    """Return the price book to use where none is given.

    That is the one named by ``MESHCORE_PRICE_BOOK``, or the demo book where the demonstration was
    asked for. Where it was not, the demo book stands in, and every estimate made with it is in
    review and says whose invented rates it used.

    Parameters
    ----------
    demo
        Whether the demonstration is asked for here, as by ``--demo``, and not by a variable.

    Raises
    ------
    PriceBookError
        If the book cannot be read.
    """
    if named := os.environ.get(BOOK_VARIABLE):
        return _read_as_it_stands(Path(named))
    return demo_price_book() if demo or is_demo() else _stand_in()


def own_book_file() -> Path | None:
    """Return the file of the book in use, where it is a mill's own; None for the demonstration's.

    That is the one named by ``MESHCORE_PRICE_BOOK``; the demonstration's file stays as it is.
    """
    named = os.environ.get(BOOK_VARIABLE)
    if not named or Path(named).resolve() == (demo_data() / "price_book.toml").resolve():
        return None
    return Path(named)


def policy_in_use(*, demo: bool = False) -> SupplyPolicy:
    """Return the supply policy to use where none is given.

    That is the one named by ``MESHCORE_SUPPLY_POLICY``, or the demo policy where the demonstration
    was asked for, or the customary one.

    Parameters
    ----------
    demo
        Whether the demonstration is asked for here, as by ``--demo``, and not by a variable.

    Raises
    ------
    SupplyPolicyError
        If the policy cannot be read.
    """
    if named := os.environ.get(POLICY_VARIABLE):
        return _read_policy_once(Path(named))
    return demo_supply_policy() if demo or is_demo() else default_supply_policy()


def is_demo_book(book: PriceBook) -> bool:
    """Tell whether a book is the invented one, whose prices are nobody's, edited or not.

    Examples
    --------
    >>> is_demo_book(demo_price_book())
    True
    """
    return saved_name(book) == demo_price_book().name


@cache
def _stand_in() -> PriceBook:
    return replace(demo_price_book(), stand_in=True)


@cache
def _read_once(path: Path) -> PriceBook:
    return read_price_book(path)


def _read_as_it_stands(path: Path) -> PriceBook:
    """Read a book once for each state of its file, which a new version is put in the place of."""
    try:
        held = path.stat()
    except OSError:
        return read_price_book(path)
    return _read_state(path, held.st_mtime_ns, held.st_size, held.st_ino)


@lru_cache(maxsize=_STATES)
def _read_state(path: Path, *_state: int) -> PriceBook:
    return read_price_book(path)


@cache
def _read_policy_once(path: Path) -> SupplyPolicy:
    return read_supply_policy(path)


@cache
def _read_availability_once(path: Path) -> Availability:
    return read_availability(path)
