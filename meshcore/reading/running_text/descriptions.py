"""One cell that describes a whole line, parted into the texts of its fields.

Nothing is read here as a number: each field's text goes to the one reader, as if it had been typed
in its own column. What is not understood is left over, and named.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from meshcore.messages import Message
from meshcore.reading.running_text import size_texts as sizes
from meshcore.reading.running_text.described_pieces import take_quantity, take_shape
from meshcore.reading.running_text.described_services import take_services
from meshcore.reading.running_text.described_sizes import (
    settle,
    take_labelled,
    take_lone,
    take_opening,
    take_pairs,
)
from meshcore.reading.running_text.scanning import Scan
from meshcore.reading.sizes.rolls import ROLL_LENGTHS
from meshcore.reading.sizes.totals import agrees, find_total
from meshcore.reading.texts import Hints, read_text, tidy
from meshcore.reading.unit_words import unit_factor
from meshcore.reading.vocabulary import fold, words

_N, _SIZE = sizes.NUMBER, sizes.SIZE
#: Line numbers, weeks and tolerances: no sizes of the cloth.
_LABELS = re.compile(
    r"^(?:item|pos|position|po line|line|lfd\.? ?nr|ligne|poste)\.?\s*\d+\s*[:,.)\-]*\s*"
)
_WEEK = re.compile(r"\b(?:deliver[a-z]*\s+)?(?:wk|week|kw|semaine)\.?\s*\d+\b")
_TOLERANCE = re.compile(rf"(?:±|\+\s?/\s?-|\+{_N}\s*/\s*-)\s*{_N}\s*(?:{sizes.UNIT}|%)?")
_COATING = re.compile(rf"{_N}\s*g/m(?:²|2)")
_AREA_OR_MASS = re.compile(
    rf"{_N}\s*(?:m²|m2|sqm|qm|sq ?m|sq\.? ?ft|ft²|ft2|kgs?|lbs?|tonnes?|t)(?![\w²])"
)
_PER = r"(?:/|per|pro|je|por|par|x)\s*(?:lin(?:ear|eal)?\.?\s*)?"
_COUNT = re.compile(
    rf"(?:no\.?\s*)?(?P<n>{_N}(?:\s*(?:x|×|or|to|-)\s*{_N})?)\s*-?\s*"
    rf"(?:(?P<noun>mesh(?:es)?|maschen|mailles?|hilos|mallas)\s*(?:{_PER}(?P<per>cm|mm|in(?:ch)?|zoll|"
    rf"pouce|pulgada|\"))?|#)(?![\w²])"
)
_COUNT_M = re.compile(rf"^[\s¦]*(?P<n>{_N})M(?=[\s,]|x)")
_HASH = re.compile(rf"#\s*(?P<n>{_N})")
_AFTER_MESH = re.compile(
    rf"\b(?:mesh|malla)\s*:?\s+(?P<n>{_N}(?:\s*[x×]\s*{_N})?)(?!\d)"
    rf"(?:\s*{_PER}(?P<per>pulgada|cm|in(?:ch)?))?(?!\s*(?:{sizes.UNIT}))"
)
_PLAIN_COUNT_UNITS = {"zoll": "in", "pouce": "in", "pulgada": "in", "inch": "in", '"': "in"}
_OPEN = re.compile(
    rf"(?P<n>{_N})\s*%\s*(?:oa|o\.a\.|open(?:\s+area)?|freie\s+siebfläche|offene\s+siebfläche|"
    r"freie\s+fläche|surface\s+libre|área\s+libre|area\s+libre)\b"
)
#: What the name of an alloy does not hold, and words that are also a symbol or a name of one.
_NO_ALLOY = re.compile(r"[,;]\s|^\w$|^\d+,\d+$|[()]")
_WIRE_WORDS = frozenset({"draht", "wire", "fil", "alambre", "hilo", "mesh"})
#: Words that say nothing of the order (common practice, no source).
_FILLERS = frozenset(
    {"a", "about", "aisi", "an", "and", "aus", "avec", "ca", "cloth", "con", "conveyor", "de",
     "deliver", "der", "dia", "die", "din", "draht", "drahtgewebe", "das", "des", "du", "each",
     "en", "et", "fil", "for", "from", "für", "gewebe", "grillage", "hilo", "alambre", "im", "in",
     "insect", "la", "le", "les", "like", "m", "malla", "mallas", "mesh", "metálica", "metalica",
     "metallique", "mit", "no", "of", "off", "our", "per", "piece", "pieces", "please", "pour",
     "quality", "screen", "sieve", "sq", "square", "ss", "stainless", "steel", "tela", "the", "to",
     "toile", "toiles", "und", "uns", "von", "w.nr", "weave", "werkstoff", "wire", "wires", "with",
     "woven", "x", "y", "zu", "à"}
)  # fmt: skip


#: A description is a line or two; beyond this it is a letter [letters], and as much is shown.
_LONGEST, _SHOWN = 600, 100


@dataclass(frozen=True, slots=True)
class Described:
    """A description in parts.

    Parameters
    ----------
    fields
        Enquiry column → what the description says of it, as text.
    unread
        What is left over.
    """

    fields: Mapping[str, str]
    unread: tuple[str, ...]


def describe(text: str, names_alloy: Callable[[str], bool]) -> Described:
    r"""Part a description into fields.

    Parameters
    ----------
    text
        As typed.
    names_alloy
        Whether a few words are the name of an alloy.

    Examples
    --------
    >>> found = describe('10M x .025" 304 SS 48" x 100\'', lambda name: name in ("304", "304 SS"))
    >>> found.fields["mesh_count"], found.fields["wire_diameter"], found.fields["alloy"]
    ('10 mesh', '.025"', '304 SS')
    >>> found.fields["width"], found.fields["length"], found.unread
    ('48"', "100'", ())
    """
    if len(text) > _LONGEST:
        return Described({}, (f"{text[:_SHOWN]}… ({len(text):,} letters, too long to read)",))
    scan = Scan(tidy(text))
    scan.take(_LABELS)
    start, end, total = find_total(scan.low)
    if total:
        scan.blank(start, end)
    for pattern in (_WEEK, _TOLERANCE):
        scan.lift(pattern)
    coating = _take_coating(scan)
    if gauge := scan.search(_STEEL_GAUGE):
        scan.put("wire_diameter", scan.part(*gauge.span()), gauge)
    _take_alloy(scan, names_alloy)
    if coating and "alloy" in scan.fields:
        scan.fields["alloy"] += f" {coating}"
    elif coating:
        scan.unread.append(coating)
    take_shape(scan)
    take_services(scan)
    _take_weave(scan)
    _take_count(scan)
    found = scan.search(_OPEN)
    if found:
        scan.put("open_area", f"{found['n']} %", found)
    amount = scan.search(_AREA_OR_MASS)
    if amount:
        scan.put("quantity", amount[0], amount)
    take_quantity(scan)
    take_labelled(scan)
    take_pairs(scan)
    take_lone(scan)
    take_opening(scan)
    settle(scan)
    if total and not _is_total(total, scan.fields):
        scan.unread.append(f"{total} in all")
    return Described(dict(scan.fields), (*scan.unread, *_left(scan)))


#: A wire by the gauge that has an alloy's name in its own: taken before the alloy is looked for.
_STEEL_GAUGE = re.compile(
    r"(?<![\w.,/])(?:no\.?\s*|#)?\d{1,2}\s+(?:u\.?s\.?\s+)?steel(?:\s+wire)?\s+gauge(?!\w)"
)


def _is_total(total: str, fields: Mapping[str, str]) -> bool:
    """Whether a total length is that of the pieces and lengths that are described."""
    hints = Hints(form=fields.get("form", ""))
    whole = read_text(total, "length", "", hints=hints)
    each = read_text(fields.get("length", ""), "length", "length", hints=hints)
    many = read_text(fields.get("quantity", ""), "number", "quantity")
    if isinstance(whole, Message) or isinstance(each, Message) or isinstance(many, Message):
        return False
    return agrees(whole.value, many.value * each.value)


def is_pair(text: str) -> bool:
    """Whether a text is two sizes and nothing else.

    Examples
    --------
    >>> is_pair("500 x 300 mm"), is_pair("1220 mm")
    (True, False)
    """
    pair = sizes.PAIR_ONLY.fullmatch(tidy(text).lower())
    if pair is None:
        return False
    first, second = (part.strip() for part in pair.groups())
    return not (_counts(first, second) or _counts(second, first))


#: A bare whole number beside a size is no size of a roll where it would be less [m]: "2 x 610 mm".
_NARROWEST_M = 0.05


def _counts(number: str, size: str) -> bool:
    """Whether a bare whole number beside a size can only say how many."""
    unit = re.search(rf"{sizes.UNIT}$", size)
    factor = unit_factor(unit[0], "length") if unit else None
    return number.isdecimal() and factor is not None and int(number) * factor < _NARROWEST_M


def read_size_cell(text: str, form: str, unit: str) -> dict[str, str]:
    """Read a cell of sizes of whatever form: width and length, or shape and dimensions.

    Examples
    --------
    >>> read_size_cell("1.22 m x 30 m", "", "")
    {'form': 'roll', 'width': '1.22 m', 'length': '30 m'}
    >>> read_size_cell("500 x 300 mm", "piece", "")
    {'shape': 'rectangle', 'dimensions': '500 x 300 mm'}
    >>> read_size_cell("Ø200", "piece", "mm")
    {'dimensions': 'Ø200 mm'}
    """
    plain = tidy(text)
    pair = sizes.PAIR_ONLY.fullmatch(plain.lower())
    if pair is None:
        bare = bool(unit) and re.search(r"\d\s*$", plain) is not None
        whole = f"{plain} {unit}" if bare else plain
        if form in ("roll", "strip", *ROLL_LENGTHS):
            return {"width": whole}
        return {"dimensions": whole} if form else {"form": "piece", "dimensions": whole}
    first, second = sizes.pair_units(plain[slice(*pair.span(1))], plain[slice(*pair.span(2))], unit)
    kind = form or sizes.form_of_pair(first, second)
    if kind == "piece":
        whole = f"{plain} {unit}" if unit and plain[-1:].isdigit() else plain
        return {"shape": "rectangle", "dimensions": whole}
    found = {"form": kind} if kind and not form else {}
    return {**found, "width": first, "length": second}


def _take_coating(scan: Scan) -> str:
    """Take the mass of a coating, which belongs to the alloy; empty where there is none."""
    found = scan.search(_COATING)
    if not found:
        return ""
    scan.blank(*found.span(), sign=" ")
    return scan.text[slice(*found.span())].strip()


def _take_alloy(scan: Scan, names_alloy: Callable[[str], bool]) -> None:
    """Take the longest name of an alloy; a number with a unit behind it is none."""
    tokens = list(re.finditer(r"[\w./&\-]*\w", scan.text))
    for length in (4, 3, 2, 1):
        for start in range(len(tokens) - length + 1):
            span = (tokens[start].start(), tokens[start + length - 1].end())
            part = scan.text[slice(*span)]
            if not scan.is_free(*span) or _NO_ALLOY.search(part) or fold(part) in _WIRE_WORDS:
                continue
            if names_alloy(part) and (denial := scan.denial_before(span[0])):
                scan.leave(span[0] - denial, span[1])
            elif names_alloy(part) and not _is_a_size(scan, *span):
                scan.fields["alloy"] = part
                scan.blank(*span)
                return


def _is_a_size(scan: Scan, start: int, end: int) -> bool:
    """Whether a bare number stands where a size does: before a unit, or at a sign of "by"."""
    if not scan.text[start:end].isdecimal():
        return False
    after = scan.low[end:].lstrip()
    before = scan.low[:start].rstrip()
    unit = re.match(
        rf"(?:{sizes.UNIT}|mesh|maschen|mailles|#|wide|long|[x×/]\s*\d|pcs|off|stk|%)", after
    )
    return bool(unit) or bool(re.search(r"(?:[x×/=ø]|\bqty)$", before))


def _take_weave(scan: Scan) -> None:
    topics = {**words("weave_unclear"), **words("other_goods"), **words("weave")}
    order = sorted(topics, key=lambda word: -len(word))
    for phrase in order:
        short = phrase in sizes.EVERYDAY or phrase in ("sq", "square", "square mesh", "crimp")
        if short or phrase in (
            "ft",
            "ic",
            "lc",
            "lb",
            "kb",
            "ll",
            "hex",
            "double",
            "lock",
            "toile",
        ):
            continue
        found = scan.search_phrase(phrase)
        if found and (denial := scan.denial_before(found.start())):
            scan.leave(found.start() - denial, found.end())
        elif found and "weave" not in scan.fields:
            scan.put("weave", scan.part(*found.span()), found)


def _take_count(scan: Scan) -> None:
    for pattern in (_COUNT, _HASH, _AFTER_MESH):
        found = scan.search(pattern)
        if found:
            per = found.groupdict().get("per")
            unit = f" / {_PLAIN_COUNT_UNITS.get(per, per)}" if per else " mesh"
            scan.put("mesh_count", f"{found['n'].strip()}{unit}", found)
            return
    found = _COUNT_M.search(scan.left())
    if found:
        scan.put("mesh_count", f"{found['n']} mesh", found)


def _left(scan: Scan) -> list[str]:
    """Parts that were not taken and say something."""
    rest = []
    for part in re.split(r"[¦,;:]+", scan.left()):
        kept = [
            w for w in part.split()
            if fold(w.strip("().-=/")) not in _FILLERS and w.casefold() != "w/"
        ]  # fmt: skip
        text = " ".join(kept).strip(" .-–()/=@&+")
        if re.search(r"\w", text):
            rest.append(text)
    return rest
