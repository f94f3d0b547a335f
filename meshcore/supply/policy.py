"""Supply policy: what a mill stocks, and how far a delivery may be off, as data."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

from meshcore.reading.entries import Entries
from meshcore.reading.settings_files import read_toml
from meshcore.rounding import SLACK
from meshcore.supply.offcuts import KeepTerms
from meshcore.supply.on_hand import StockCloth, read_on_hand
from meshcore.supply.weighed import WeighedSample, read_weighed

#: Time that a list may take to be planned unasked, where a policy does not say [s].
PLANNING_S = 1.0


class SupplyPolicyError(ValueError):
    """A supply policy that cannot be read; the message names each entry and what would mend it."""


@dataclass(frozen=True, slots=True)
class Tolerance:
    """How far length and width delivered may be off, as shares of nominal [-]."""

    length_under: float
    length_over: float
    width_under: float
    width_over: float


@dataclass(frozen=True, slots=True)
class SupplyPolicy:
    """What a mill supplies.

    Parameters
    ----------
    name, date, note
        Which policy this is, when it was set, and where it comes from.
    widths_m
        Stock widths [m], ascending.
    full_length_m
        Length of a full roll [m].
    half_lengths_m
        Lengths sold as a half roll [m], the usual one first.
    part_rolls
        Whether other lengths are supplied.
    part_roll_charge_m
        What a part roll costs beyond its cloth, as a length of cloth [m]: it decides whether a
        half roll is the cheaper way to a length. What is charged stands in the price book.
    rolls, strips, pieces
        Delivery tolerance of each form.
    join_beyond_roll
        Whether a strip longer than a full roll may be joined from two.
    edge_trim_m
        Cloth lost at each edge before it is slit or cut [m].
    kerf_m
        Width lost by each slit [m].
    spacing_m
        Least distance between pieces cut from one cloth [m].
    keep
        Offcuts that the mill takes back to stock, and what it credits; None where it takes none.
    on_hand
        Cloth on hand, each in a stock width.
    weighed
        Samples that were weighed, by which the mass of each weave is put right.
    planning_s
        Time that the cutting of a list may take to plan without being asked for [s], as reckoned
        beforehand from what is to be cut (`meshcore.supply.unasked`), never by a clock; 0 for none.
    """

    name: str
    date: date
    note: str
    widths_m: tuple[float, ...]
    full_length_m: float
    half_lengths_m: tuple[float, ...]
    part_rolls: bool
    part_roll_charge_m: float
    rolls: Tolerance
    strips: Tolerance
    pieces: Tolerance
    join_beyond_roll: bool
    edge_trim_m: float
    kerf_m: float
    spacing_m: float
    keep: KeepTerms | None
    on_hand: tuple[StockCloth, ...] = ()
    weighed: tuple[WeighedSample, ...] = ()
    planning_s: float = PLANNING_S


def read_supply_policy(path: str | Path) -> SupplyPolicy:
    """Read a supply policy from a TOML file.

    Raises
    ------
    SupplyPolicyError
        If the file cannot be read, or an entry is missing or makes no sense.
    """
    return parse_supply_policy(read_toml(Path(path), str(path), SupplyPolicyError), str(path))


@cache
def default_supply_policy() -> SupplyPolicy:
    """Return the customary policy that stands in where a mill has given none.

    Examples
    --------
    >>> policy = default_supply_policy()
    >>> policy.full_length_m, len(policy.widths_m)
    (30.48, 4)
    """
    text = resources.files("meshcore.supply").joinpath("default_policy.toml").read_text("utf-8")
    return parse_supply_policy(tomllib.loads(text), "default_policy.toml")


def parse_supply_policy(data: Mapping[str, Any], where: str) -> SupplyPolicy:
    """Build a policy from parsed TOML; all that is wrong is said at once.

    Raises
    ------
    SupplyPolicyError
        If an entry is missing or makes no sense.
    """
    entries = Entries(data)
    policy = SupplyPolicy(
        name=entries.plain("policy", "name", str, ""),
        date=entries.plain("policy", "date", date, date.min),
        note=entries.plain("policy", "note", str, ""),
        widths_m=tuple(sorted(entries.sizes("rolls", "widths"))),
        full_length_m=entries.size("rolls", "full_length"),
        half_lengths_m=tuple(entries.sizes("rolls", "half_lengths")),
        part_rolls=entries.plain("rolls", "part_rolls", bool, True),
        part_roll_charge_m=entries.size("rolls", "part_roll_charge"),
        rolls=_tolerance(entries, "rolls"),
        strips=_tolerance(entries, "strips"),
        pieces=_tolerance(entries, "pieces"),
        join_beyond_roll=entries.plain("strips", "join_beyond_roll", bool, False),
        edge_trim_m=entries.size("cutting", "edge_trim"),
        kerf_m=entries.size("cutting", "kerf"),
        spacing_m=entries.size("cutting", "spacing"),
        keep=_keep(entries) if "offcuts" in data else None,
        on_hand=read_on_hand(data, entries),
        weighed=read_weighed(data, entries),
        planning_s=_planning(entries),
    )
    for one in policy.on_hand:
        if not any(math.isclose(one.width_m, w, rel_tol=SLACK) for w in policy.widths_m):
            entries.wrong.append(
                f"stock: {one.width_m * 1e3:g} mm is none of the widths of [rolls]. Enter it there."
            )
    if not policy.widths_m or not all(
        size > 0 for size in (*policy.widths_m, policy.full_length_m)
    ):
        entries.wrong.append("rolls: widths and full_length must be sizes above zero.")
    if entries.wrong:
        raise SupplyPolicyError(f"{where}: " + " ".join(entries.wrong))
    return policy


def _keep(entries: Entries) -> KeepTerms:
    return KeepTerms(
        entries.size("offcuts", "least_width"),
        entries.size("offcuts", "least_length"),
        entries.size("offcuts", "credit", "share"),
    )


def _planning(entries: Entries) -> float:
    given = entries.section("cutting").get("planning_seconds", PLANNING_S)
    if isinstance(given, int | float) and not isinstance(given, bool) and 0 <= given < math.inf:
        return float(given)
    entries.wrong.append(
        f"cutting.planning_seconds: read {given!r}; seconds that a list may take, 0 for none, "
        "are due."
    )
    return PLANNING_S


def _tolerance(entries: Entries, section: str) -> Tolerance:
    return Tolerance(
        *(
            entries.size(section, f"{side}_{way}", "share")
            for side in ("length", "width")
            for way in ("under", "over")
        )
    )


def policy_from_values(values: Mapping[str, Any]) -> SupplyPolicy:
    """Rebuild a policy from plain values, as a saved estimate keeps it.

    Parameters
    ----------
    values
        The fields of the policy; tuples may be lists, and the date may be ISO text.

    Examples
    --------
    >>> import dataclasses, json
    >>> kept = json.dumps(dataclasses.asdict(default_supply_policy()), default=str)
    >>> policy_from_values(json.loads(kept)) == default_supply_policy()
    True
    """
    plain = dict(values)
    for form in ("rolls", "strips", "pieces"):
        plain[form] = Tolerance(**plain[form])
    for name in ("widths_m", "half_lengths_m"):
        plain[name] = tuple(plain[name])
    # What was saved before lists were planned unasked was not planned.
    plain.setdefault("planning_s", 0.0)
    plain["on_hand"] = tuple(StockCloth(**one) for one in plain.get("on_hand", ()))
    plain["weighed"] = tuple(WeighedSample(**one) for one in plain.get("weighed", ()))
    plain["keep"] = KeepTerms(**plain["keep"]) if plain["keep"] else None
    day = plain["date"]
    plain["date"] = day if isinstance(day, date) else date.fromisoformat(str(day))
    return SupplyPolicy(**plain)
