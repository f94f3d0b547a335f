"""Services asked for: in a column of names, or in a column each with yes and no."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import TypeAlias

import numpy as np
import pandas as pd

from meshcore import enquiry
from meshcore.arrays import BoolArray, IntArray
from meshcore.messages import Message
from meshcore.reading.columns import cell_texts
from meshcore.reading.tables.cells import Cells, column_under
from meshcore.reading.texts import is_blank, is_unsettled, tidy
from meshcore.reading.vocabulary import fold, follows_words, phrases, words

#: Signs that part services; words that do stand in the word files.
_SIGNS = r"[,;/+\n]"
#: After these a denial does not reach on: "no hem; weld", "no hem but a weld".
_ANEW = frozenset({";", "\n"})
#: Service → lines that ask for it, and service → lines that say it is not wanted.
_Lines: TypeAlias = tuple[dict[str, BoolArray], dict[str, BoolArray]]


def service_names(services: Sequence[enquiry.Service]) -> Mapping[str, str]:
    """Return each folded word for a service that is offered, and the service's name."""
    return _service_names(tuple((s.name, tuple(s.aliases)) for s in services))


@lru_cache(maxsize=16)
def _service_names(services: tuple[tuple[str, tuple[str, ...]], ...]) -> Mapping[str, str]:
    offered = {name for name, _ in services}
    every = {**words("service_kind"), **words("service")}
    known = {word: name for word, name in every.items() if name in offered}
    own = {fold(word): name for name, aliases in services for word in (name, *aliases)}
    return MappingProxyType(known | own)


follows_words(_service_names.cache_clear)


def read_services(cells: Cells, services: Sequence[enquiry.Service]) -> dict[str, BoolArray]:
    """Return service name → lines that ask for it; a service nobody offers is said, not dropped."""
    names = service_names(services)
    asked: dict[str, BoolArray] = {}
    denied: dict[str, BoolArray] = {}
    offered = ", ".join(s.name for s in services)
    if cells.series("services") is not None:
        _read_names(cells, names, (asked, denied), offered)
    for heading in cells.headings.unknown:
        name = service_of(heading, names)
        if name:
            _read_marks(cells, heading, name, names, (asked, denied))
    for name in asked.keys() & denied.keys():
        said = "asked for in one column and not wanted in another; it is in the price. Correct one."
        message = Message("services", name, said, "review", code="services.differ")
        cells.log.add(asked[name] & denied[name], message)
    return asked


def service_of(heading: str, names: Mapping[str, str]) -> str:
    """Service that a heading names, as over a column of yes and no; empty if none.

    Examples
    --------
    >>> service_of("Weld?", {"weld": "weld seam"}), service_of("Buyer", {"weld": "weld seam"})
    ('weld seam', '')
    >>> service_of("Weld required (y/n)", {"weld": "weld seam"})
    'weld seam'
    """
    word = fold(heading.strip(" ?*:"))
    bare = re.sub(r"[()\[\]?*:,]+", " ", word)
    tries = (word, " ".join(bare.split()), _without_asides(bare), word.replace(".:", "."),
             word.replace(". ", " "))  # fmt: skip
    return next((names[one] for one in tries if one in names), "")


def _read_names(cells: Cells, names: Mapping[str, str], lines: _Lines, offered: str) -> None:
    asked, denied = lines
    texts = cells.texts("services")
    positions, unique = pd.factorize(texts)
    for number, cell in enumerate(unique):
        text = tidy(str(cell))
        rows = positions == number
        if fold(text) in words("unsure") or is_unsettled(text):
            mend = "not settled, so no service is in the price. Write what is wanted, or none."
            said = Message("services", text, mend, "review", code="services.unsure")
            cells.log.add(rows, said)
        if is_blank(text) or fold(text) in words("no"):
            continue
        wanted = wanted_services(str(cell), names)
        for name in wanted.asked:
            _ask(asked, name, rows)
        for name in wanted.denied:
            _ask(denied, name, rows)
        _say_kinds(cells, str(cell), rows, names)
        if wanted.unknown:
            part = ", ".join(wanted.unknown)
            mend = f"no such service here, so it is not in the price. Offered: {offered}."
            said = Message("services", part, mend, "review", code="services.unknown")
            cells.log.add(rows, said)
        for part in dict.fromkeys(wanted.unclear):
            left_out = "" if part in wanted.taken else "not "
            mend = f"wanted or not? It is {left_out}in the price. Write only what is wanted."
            said = Message("services", part, mend, "review", code="services.denied_or_asked")
            cells.log.add(rows, said)
        if wanted.denied:
            left = f"not in the price: {', '.join(wanted.denied)}."
            said = Message("services", text, left, "note", code="services.denied")
            cells.log.add(rows, said)


def _say_kinds(cells: Cells, text: str, rows: BoolArray, names: Mapping[str, str]) -> None:
    """Put to review words for one kind of a service that has one rate: PVC, bright annealed."""
    for _, part in _parts(text):
        said_of = _without_asides(fold(_marked(part)[0]))
        word = _KIND.sub("", said_of)
        if word in names and (word in words("service_kind") or word != said_of):
            said = (
                f'one kind of "{names[word]}"; the rate of the book is for all kinds. Check that '
                "it holds for this one."
            )
            message = Message("services", part, said, "review", code="services.kind")
            cells.log.add(rows, message)


def hold_against_forms(cells: Cells, asked: Mapping[str, BoolArray], forms: IntArray) -> None:
    """Put to review services that are of another form than the line's: pieces are not slit."""
    for name, allowed in words("service_form").items():  # "slit" → "roll, strip"
        rows = asked.get(name)
        others = [n for n, form in enumerate(enquiry.FORMS) if form not in allowed.split(", ")]
        if rows is None:
            continue
        said = (
            f'"{name}" is done to {allowed.replace(", ", " or ")}, and this is neither. Check it.'
        )
        message = Message("services", name, said, "review", code="services.other_form")
        cells.log.add(rows & np.isin(forms, others), message)


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a text says of services.

    Parameters
    ----------
    asked, denied
        Names of services that are wanted, and of those that are said not to be.
    unclear
        Parts that name a service, but not surely whether it is wanted.
    unknown
        Parts that name none that is offered.
    taken
        Those of the unclear that are in the price: in "no weld, cert" the certificate is wanted,
        as far as can be told.
    """

    asked: tuple[str, ...]
    denied: tuple[str, ...]
    unclear: tuple[str, ...]
    unknown: tuple[str, ...]
    taken: tuple[str, ...] = ()


def wanted_services(text: str, names: Mapping[str, str]) -> Wanted:
    """Read which services a text asks for, and which it says are not wanted.

    What follows on a denial may be denied too ("no hem and weld"), so it is unclear; after a
    semicolon or a "but" it is asked for. After a comma it most likely is, as in "no weld, cert": it
    is taken, and unclear as well.

    Examples
    --------
    >>> names = {"hem": "edge finish", "weld": "weld seam"}
    >>> wanted = wanted_services("hem only, no weld", names)
    >>> wanted.asked, wanted.denied, wanted.unclear, wanted.unknown
    (('edge finish',), ('weld seam',), (), ())
    >>> wanted_services("without hem and weld", names).unclear
    ('weld',)
    """
    whole = names.get(fold(text))
    if whole is not None:
        return Wanted((whole,), (), (), ())
    asked: dict[str, str] = {}
    denied: dict[str, str] = {}
    unclear: list[str] = []
    unknown: list[str] = []
    taken: list[str] = []
    denying = False
    for sign, part in _parts(text):
        denying = denying and not (sign in _ANEW or sign in words("but"))
        word, said = _marked(_without_asides(fold(part)))
        name, refused = names.get(word) or names.get(_KIND.sub("", word)), _denied(word, names)
        if name is not None and said is False:
            denied[name] = part
        elif name is None and refused:
            denied[refused] = part
        elif name is None:
            unknown.append(part)
        elif denying and said is None:
            unclear.append(part)
            if sign == ",":
                taken.append(part)
                asked[name] = part
        else:
            asked[name] = part
        denying = denying or bool(refused and name is None)
    both = [name for name in asked if name in denied]
    return Wanted(
        tuple(name for name in asked if name not in both),
        tuple(name for name in denied if name not in both),
        (*unclear, *(asked[name] for name in both)),
        tuple(unknown),
        tuple(taken),
    )


#: How a service is to be done, behind its name: "anneal at 1050 °C".
_KIND = re.compile(r"\s+(?:at|bei|à|a)\s+\d.*$")


def _parts(text: str) -> Iterator[tuple[str, str]]:
    """Parts of a text, each with the sign or word that stands before it."""
    between = "|".join(rf"(?<!\w){re.escape(w)}(?!\w)" for w in (*phrases("and"), *phrases("but")))
    sign = ""
    for number, piece in enumerate(re.split(f"({_SIGNS}|{between})", text.casefold())):
        if number % 2:
            sign = piece
        elif piece.strip():
            yield sign, tidy(piece)


def _marked(part: str) -> tuple[str, bool | None]:
    """Part "weld: yes" into the service and whether it is wanted; None where that is not said."""
    name, colon, mark = (one.strip() for one in part.replace("=", ":").strip("! ").partition(":"))
    if colon and mark in words("yes"):
        return name, True
    return (name, False) if colon and mark in words("no") else (part, None)


def _without_asides(word: str) -> str:
    """Leave out words beside a service that change nothing in which it is."""
    kept = [one for one in word.split() if one not in words("service_aside")]
    return " ".join(kept)


def _denied(word: str, names: Mapping[str, str]) -> str:
    """Name of a service that a part says is not wanted; empty if it says so of none."""
    offered = set(names.values())
    for before in phrases("denial"):
        if word.startswith(f"{before} "):
            return names.get(word.removeprefix(f"{before} "), "")
    for behind in phrases("denied_behind"):
        if word.endswith(f" {behind}"):
            return names.get(word.removesuffix(f" {behind}").rstrip(" :"), "")
    named = words("service_denied").get(word, "")
    return named if named in offered else ""


#: Marks that choose in one form and strike out in another.
_CROSSES = frozenset({"✗", "✘", "☒", "╳"})


def _read_marks(
    cells: Cells, heading: str, name: str, names: Mapping[str, str], lines: _Lines
) -> None:
    """Read a column that is named after a service: yes, no, or what is to be asked."""
    asked, denied = lines
    texts = cell_texts(column_under(cells.table, heading))
    positions, unique = pd.factorize(texts)
    for number, cell in enumerate(unique):
        word = fold(str(cell))
        rows = positions == number
        if word in words("yes") or word == fold(heading) or names.get(word) == name:
            _ask(asked, name, rows)
        elif word in words("no"):
            _ask(denied, name, rows)
        elif word:
            crossed = word in _CROSSES
            what = "a cross may mean yes or no" if crossed else "neither yes nor no"
            mend = f'{what}, so "{name}" is not in the price. Write yes or no.'
            said = Message(
                "services", f"{heading}: {cell}", mend, "review", code="services.unclear"
            )
            cells.log.add(rows, said)


def _ask(asked: dict[str, BoolArray], name: str, rows: BoolArray) -> None:
    asked.setdefault(name, np.zeros(len(rows), dtype=np.bool_))[rows] = True
