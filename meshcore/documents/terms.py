"""A mill's terms and letterhead, as data."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

from meshcore.reading.settings_files import read_toml

#: Languages that documents are written in (ISO 639-1).
LANGUAGES: tuple[str, ...] = ("en", "de", "fr", "es")
#: Sizes of paper, as Typst names them.
PAPERS: tuple[str, ...] = ("a4", "us-letter")
#: Texts of a mill that a document may carry, in the order in which they are printed.
TEXTS: tuple[str, ...] = ("payment", "delivery", "lead_time", "tax_text", "certificates")
_LONGEST_VALIDITY_DAYS = 3650
_LONGEST_LEAD_DAYS = 3650
_MOST_TAX_PCT = 100.0


class TermsError(ValueError):
    """Terms that cannot be read; the message names each entry and what would mend it."""


@dataclass(frozen=True, slots=True)
class Tax:
    """A tax on the sum of a document: its name by language, and its rate [%]."""

    name: Mapping[str, str]
    rate_pct: float


@dataclass(frozen=True, slots=True)
class Terms:
    """What a mill prints on its documents, and on what terms it sells.

    Parameters
    ----------
    language, paper
        One of ``LANGUAGES``, and of ``PAPERS``.
    validity_days
        How long a quotation holds.
    drawings
        Whether the cloth of each line is drawn.
    export
        Whether masses, packages, origin and customs tariff headings are told.
    mill, lines, contact
        Name, address and further lines of the letterhead.
    origin
        Country of origin, where it is told.
    kg_per_package
        Mass of the packing of one package [kg].
    taxes
        What is added to the sum.
    texts
        ``payment``, ``delivery``, ``lead_time``, ``tax_text``, ``certificates``, ``excluded`` and
        ``standard`` (what the cloth is woven to), each by language.
    lead_time_days
        The lead time as a number, against which a wished date is held; 0 where none is told.
    """

    language: str
    paper: str
    validity_days: int
    drawings: bool
    export: bool
    mill: str
    lines: tuple[str, ...]
    contact: tuple[str, ...]
    origin: str
    kg_per_package: float
    taxes: tuple[Tax, ...]
    texts: Mapping[str, Mapping[str, str]]
    lead_time_days: int = 0

    def text(self, name: str, language: str) -> str:
        """Return a text in a language; empty where there is none."""
        return said(self.texts.get(name, {}), language)


def said(texts: Mapping[str, str], language: str) -> str:
    """Return the text of a language, or else the one that stands for all.

    Examples
    --------
    >>> said({"": "30 days"}, "de"), said({"en": "tax", "de": "Steuer"}, "de")
    ('30 days', 'Steuer')
    """
    return texts.get(language) or texts.get("") or texts.get("en", "")


def read_terms(path: str | Path) -> Terms:
    """Read a mill's terms from a TOML file.

    Raises
    ------
    TermsError
        If the file cannot be read, or an entry makes no sense.
    """
    return parse_terms(read_toml(Path(path), str(path), TermsError), str(path))


@cache
def default_terms() -> Terms:
    """Return the terms that stand in where a mill has given none.

    Examples
    --------
    >>> default_terms().validity_days, default_terms().taxes
    (30, ())
    """
    text = resources.files("meshcore.documents").joinpath("default_terms.toml").read_text("utf-8")
    return parse_terms(tomllib.loads(text), "default_terms.toml")


def parse_terms(data: Mapping[str, Any], where: str) -> Terms:
    """Build terms from parsed TOML; all that is wrong is said at once.

    Raises
    ------
    TermsError
        If an entry makes no sense.

    Examples
    --------
    >>> parse_terms({"language": "nl", "validity_days": -1}, "mine.toml")
    Traceback (most recent call last):
    meshcore.documents.terms.TermsError: mine.toml: language: read 'nl'; one of en, de, fr, es is \
due. validity_days: read -1; a whole number from 0 to 3650 is due.
    """
    wrong: list[str] = []
    mill, packing = _table(data, "mill", wrong), _table(data, "packing", wrong)
    texts = _table(data, "text", wrong)
    terms = Terms(
        language=_one_of(data, "language", LANGUAGES, wrong),
        paper=_one_of(data, "paper", PAPERS, wrong),
        validity_days=int(_number(data, "validity_days", 30, _LONGEST_VALIDITY_DAYS, wrong, True)),
        drawings=_flag(data, "drawings", wrong),
        export=_flag(data, "export", wrong),
        mill=_text(mill, "name", wrong),
        lines=_lines(mill, "lines", wrong),
        contact=_lines(mill, "contact", wrong),
        origin=_text(mill, "origin", wrong),
        kg_per_package=_number(packing, "kg_per_package", 0.0, 1e6, wrong, False),
        taxes=_taxes(data.get("tax", []), wrong),
        texts={name: _by_language(text, f"text.{name}", wrong) for name, text in texts.items()},
        lead_time_days=int(_number(data, "lead_time_days", 0, _LONGEST_LEAD_DAYS, wrong, True)),
    )
    for table, found in (("", data), ("mill", mill), ("packing", packing), ("text", texts)):
        wrong += _unknown(table, found)
    wrong += _unnamed(terms.taxes, terms.language)
    if wrong:
        raise TermsError(f"{where}: " + " ".join(wrong))
    return terms


#: Entries of each table of a terms file; the first is the file itself.
_KNOWN: Mapping[str, tuple[str, ...]] = {
    "": ("language", "paper", "validity_days", "lead_time_days", "drawings", "export", "mill",
         "tax", "packing", "text"),
    "mill": ("name", "lines", "contact", "origin"),
    "tax": ("name", "rate_pct"),
    "packing": ("kg_per_package",),
    "text": (*TEXTS, "excluded", "standard"),
}  # fmt: skip


def _unknown(table: str, found: Mapping[str, Any]) -> list[str]:
    """Say which entries of a table are none: one that is spelt wrong would be lost in silence."""
    known = _KNOWN[table]
    where = f"{table}." if table else ""
    texts: list[str] = []
    for name in found:
        if name not in known:
            close = get_close_matches(name, known, 1)
            perhaps = f" Perhaps {where}{close[0]}?" if close else ""
            texts.append(
                f"{where}{name}: is no entry of the terms; there are {', '.join(known)}.{perhaps}"
            )
    return texts


def _unnamed(taxes: Sequence[Tax], language: str) -> list[str]:
    return [
        f"tax.name: a tax of {tax.rate_pct:g} % has no name in {language}. Write one, as "
        'name = "VAT", or one for each language.'
        for tax in taxes
        if not said(tax.name, language).strip()
    ]


def check_language(terms: Terms, language: str) -> None:
    """Say where a tax has no name in the language of a document.

    Raises
    ------
    TermsError
        If one has none.
    """
    if wrong := _unnamed(terms.taxes, language):
        raise TermsError(" ".join(wrong))


def _table(data: Mapping[str, Any], name: str, wrong: list[str]) -> Mapping[str, Any]:
    found = data.get(name, {})
    if isinstance(found, dict):
        return found
    wrong.append(f"{name}: read {found!r}; a table is due.")
    return {}


def _one_of(data: Mapping[str, Any], key: str, all_: tuple[str, ...], wrong: list[str]) -> str:
    found = data.get(key, all_[0])
    if found in all_:
        return str(found)
    wrong.append(f"{key}: read {found!r}; one of {', '.join(all_)} is due.")
    return all_[0]


def _number(
    data: Mapping[str, Any], key: str, usual: float, most: float, wrong: list[str], whole: bool
) -> float:
    found = data.get(key, usual)
    is_number = isinstance(found, int) or (isinstance(found, float) and not whole)
    if is_number and not isinstance(found, bool) and 0 <= found <= most:
        return float(found)
    kind = "whole number" if whole else "number"
    wrong.append(f"{key}: read {found!r}; a {kind} from 0 to {most:g} is due.")
    return usual


def _flag(data: Mapping[str, Any], key: str, wrong: list[str]) -> bool:
    found = data.get(key, False)
    if isinstance(found, bool):
        return found
    wrong.append(f"{key}: read {found!r}; true or false is due.")
    return False


def _text(data: Mapping[str, Any], key: str, wrong: list[str]) -> str:
    found = data.get(key, "")
    if isinstance(found, str):
        return found
    wrong.append(f"{key}: read {found!r}; a text is due.")
    return ""


def _lines(data: Mapping[str, Any], key: str, wrong: list[str]) -> tuple[str, ...]:
    found = data.get(key, [])
    if isinstance(found, list) and all(isinstance(line, str) for line in found):
        return tuple(found)
    wrong.append(f'{key}: read {found!r}; a list of texts such as ["High Street 1"] is due.')
    return ()


def _by_language(found: object, where: str, wrong: list[str]) -> Mapping[str, str]:
    if isinstance(found, str):
        return {"": found}
    if isinstance(found, dict) and all(
        name in LANGUAGES and isinstance(text, str) for name, text in found.items()
    ):
        return found
    wrong.append(f"{where}: read {found!r}; a text is due, or one for each of the languages.")
    return {}


def _taxes(found: object, wrong: list[str]) -> tuple[Tax, ...]:
    if not isinstance(found, list) or not all(isinstance(one, dict) for one in found):
        wrong.append(f"tax: read {found!r}; a list of taxes with name and rate_pct is due.")
        return ()
    for one in found:
        wrong += _unknown("tax", one)
        if "rate_pct" not in one:
            wrong.append("tax.rate_pct: is missing; a rate in percent is due, as rate_pct = 20.0.")
    return tuple(
        Tax(
            _by_language(one.get("name", ""), "tax.name", wrong),
            _number(one, "rate_pct", 0.0, _MOST_TAX_PCT, wrong, False),
        )
        for one in found
    )
