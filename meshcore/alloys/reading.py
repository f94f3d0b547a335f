"""Alloy families read from the TOML files that stand beside a plugin."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from importlib import resources
from importlib.resources.abc import Traversable
from typing import TYPE_CHECKING, Any, cast

from meshcore.alloys.record import Alloy, Rating, RatingLevel
from meshcore.limits import parse_toml

if TYPE_CHECKING:
    from types import ModuleType

#: Keys of a family file; anything else is a slip of the pen and is refused.
_FAMILY_KEYS = frozenset(
    {"family", "words_before", "words_after", "general_names", "shared", "alloy"}
)
_ALLOY_KEYS = frozenset(
    {
        "designation", "uns", "en", "trade_numbers", "aliases", "general_names", "density_kg_m3",
        "composition_pct", "balance", "tensile_mpa", "modulus_gpa", "max_air_temperature_c",
        "magnetic", "finest_wire_mm", "zinc_coating_um", "zinc_class",
        "resists_as", "curie_c", "services", "sources",
    }
)  # fmt: skip
_LEVELS = ("good", "fair", "poor", "no")


def read_families(package: str | ModuleType) -> tuple[Alloy, ...]:
    """Alloys of every family file (``*.toml``) in a package, files in the order of their names.

    Parameters
    ----------
    package
        The plugin's package, usually ``__name__``.

    Raises
    ------
    ValueError
        If a file cannot be read as a family; the message names the file, the alloy and the field.
    """
    folder = resources.files(package)
    files = sorted((f for f in folder.iterdir() if f.name.endswith(".toml")), key=lambda f: f.name)
    return tuple(alloy for file in files for alloy in read_family(file))


def read_family(file: Traversable) -> tuple[Alloy, ...]:
    """Alloys of one family file.

    Parameters
    ----------
    file
        A TOML file with ``family`` (its name), ``[shared]`` (fields that its alloys share unless
        they give their own) and one ``[[alloy]]`` table each. An alloy gives the fields of
        `Alloy` under the same names, and besides: ``balance`` (the element that makes up 100 %)
        and ``trade_numbers``, each of which is known with the family's ``words_before`` and
        ``words_after`` ("SS 316L", "316L stainless"); a number that may also stand alone is given
        among the ``aliases`` besides, for "201" alone may be nickel or steel.

    Raises
    ------
    ValueError
        If the file is not TOML, or a field is missing, unknown or of the wrong shape.
    """
    try:
        content = parse_toml(file.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise ValueError(f"{file.name}: not readable as TOML: {error}") from error
    _refuse_unknown(content, _FAMILY_KEYS, file.name)
    if not content.get("family") or not content.get("alloy"):
        raise ValueError(f"{file.name}: a family file gives `family` and at least one [[alloy]]")
    return tuple(_alloy(content, entry, file.name) for entry in content["alloy"])


def _alloy(family: Mapping[str, Any], entry: Mapping[str, Any], file: str) -> Alloy:
    shared = family.get("shared", {})
    where = f"{file}, alloy {entry.get('designation', '(no designation)')!r}"
    merged = {**shared, **entry}
    for table in ("services", "sources"):
        merged[table] = {**shared.get(table, {}), **entry.get(table, {})}
    _refuse_unknown(merged, _ALLOY_KEYS, where)
    try:
        return Alloy(
            designation=merged["designation"],
            family=family["family"],
            uns=merged.get("uns", ""),
            en=merged.get("en", ""),
            aliases=_aliases(family, merged),
            general_names=(*family.get("general_names", ()), *merged.get("general_names", ())),
            density_kg_m3=float(merged["density_kg_m3"]),
            composition_pct=_composition(merged),
            tensile_mpa=_range(merged["tensile_mpa"]),
            modulus_gpa=float(merged["modulus_gpa"]),
            max_air_temperature_c=float(merged["max_air_temperature_c"]),
            magnetic=bool(merged["magnetic"]),
            finest_wire_mm=float(merged["finest_wire_mm"]),
            services={name: _rating(pair) for name, pair in merged["services"].items()},
            zinc_coating_um=float(merged.get("zinc_coating_um", 0.0)),
            zinc_class=str(merged.get("zinc_class", "")),
            resists_as=str(merged.get("resists_as", "")),
            curie_c=float(merged["curie_c"]) if "curie_c" in merged else None,
            sources=merged["sources"],
        )
    except KeyError as missing:
        raise ValueError(f"{where}: {missing.args[0]} is missing") from missing
    except (TypeError, ValueError) as error:
        raise ValueError(f"{where}: {error}") from error


def _refuse_unknown(table: Mapping[str, Any], known: frozenset[str], where: str) -> None:
    if unknown := sorted(set(table) - known):
        raise ValueError(f"{where}: unknown field {', '.join(unknown)}")


def _aliases(family: Mapping[str, Any], entry: Mapping[str, Any]) -> tuple[str, ...]:
    """Plain aliases, and each trade number with the words that the trade puts about it."""
    names = list(entry.get("aliases", ()))
    for number in entry.get("trade_numbers", ()):
        names.extend(f"{word} {number}" for word in family.get("words_before", ()))
        names.extend(f"{number} {word}" for word in family.get("words_after", ()))
    return tuple(dict.fromkeys(names))


def _composition(entry: Mapping[str, Any]) -> dict[str, tuple[float, float]]:
    """Composition with the balance element's range worked out from the others'."""
    shares = {element: _range(pair) for element, pair in entry["composition_pct"].items()}
    if balance := entry.get("balance"):
        most = 100.0 - sum(least for least, _ in shares.values())
        least = 100.0 - sum(most for _, most in shares.values())
        shares[balance] = (max(least, 0.0), most)
    return shares


def _range(pair: object) -> tuple[float, float]:
    if not isinstance(pair, list) or len(pair) != 2:  # noqa: PLR2004 - least and most
        raise ValueError(f"a range is written [least, most], not {pair!r}")
    return float(pair[0]), float(pair[1])


def _rating(pair: object) -> Rating:
    if not isinstance(pair, list) or len(pair) != 2 or pair[0] not in _LEVELS:  # noqa: PLR2004
        raise ValueError(f"a rating is written [level, reason], level one of {_LEVELS}: {pair!r}")
    return Rating(cast("RatingLevel", pair[0]), str(pair[1]))
