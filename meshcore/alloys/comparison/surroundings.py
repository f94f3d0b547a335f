"""Surroundings by name: air, waters, chemicals, gases, ground; and what each is taken to be."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib import resources

import numpy as np

#: What kinds of surroundings there are, each with its own methods.
KINDS: tuple[str, ...] = ("air", "water", "chemical", "ground", "gas", "hot air")


@dataclass(frozen=True, slots=True)
class Environment:
    """Named surroundings: typical values, each of which a service may give better.

    Parameters
    ----------
    about
        What it describes, in words.
    category
        ISO 9223 category; empty where it is no open air.
    distance_to_sea_m, distance_to_salted_road_m
        [m]; infinite where there is none near.
    so2_ug_m3
        Yearly mean of sulphur dioxide [µg/m³].
    indoor
        Internally controlled air.
    in_annex
        Whether EN 1993-1-4 Annex A speaks of such air.
    kind
        One of ``KINDS``.
    rows
        Name in the table of media that speaks of it; its own by default.
    also
        Other names that people write.
    assumed
        Field of a service → the value that it is taken to have here.
    """

    about: str
    category: str
    distance_to_sea_m: float = np.inf
    distance_to_salted_road_m: float = np.inf
    so2_ug_m3: float = 5.0
    indoor: bool = False
    in_annex: bool = True
    kind: str = "air"
    rows: str = ""
    also: tuple[str, ...] = ()
    assumed: Mapping[str, float | str] = field(default_factory=dict)


@cache
def _held() -> Mapping[str, list[dict[str, object]]]:
    file = resources.files(__package__) / "data" / "surroundings.toml"
    return tomllib.loads(file.read_text(encoding="utf-8"))


@cache
def environments() -> Mapping[str, Environment]:
    """Return the named surroundings, in the order of their file."""
    return {str(entry["name"]): _environment(entry) for entry in _held()["surroundings"]}


@cache
def unclear_words() -> Mapping[str, tuple[str, ...]]:
    """Return words that mean more than one of the surroundings, and which they may mean.

    Examples
    --------
    >>> unclear_words()["swimming pool"]
    ('pool hall', 'swimming-pool water')
    """
    return {
        str(word).casefold(): tuple(map(str, entry["means"]))  # type: ignore[call-overload]
        for entry in _held()["unclear"]
        for word in entry["words"]  # type: ignore[attr-defined]
    }


def _environment(entry: Mapping[str, object]) -> Environment:
    held = {key: value for key, value in entry.items() if key != "name"}
    held["also"] = tuple(held.get("also", ()))  # type: ignore[arg-type]
    held.setdefault("category", "")
    if held["kind"] != "air":
        held.setdefault("in_annex", False)
    return Environment(**held)  # type: ignore[arg-type]


#: Name → surroundings.
ENVIRONMENTS: Mapping[str, Environment] = environments()
#: What air is taken to be where only single values are given: the open, with nothing known.
UNNAMED = Environment("", "", np.nan, np.nan, np.nan)
#: Chloride of named waters [mg/l]: sea water of salinity 35 (from memory); drinking water at the
#: limit of the European directive (Mameng and Pettersson, EUROCORR 2011, abstract read).
WATERS_MG_L: Mapping[str, float] = {"drinking water": 250.0, "sea water": 19_400.0}
