"""Sizes in a running text: what each belongs to, by its words, its unit and its place."""

from __future__ import annotations

import re
from functools import lru_cache

from meshcore.reading.running_text.scanning import Scan
from meshcore.reading.running_text.size_texts import (
    BARE_MM,
    BY,
    NUMBER,
    SIZE,
    UNIT,
    form_of_pair,
    pair_units,
    rough_metres,
    rough_value,
)
from meshcore.reading.vocabulary import fold, follows_words, phrases, words

_PAIR = re.compile(rf"(?<![\w.,/])({SIZE}){BY}({SIZE})(?!{BY}\d)(?![\w/])")
_MESH_PAIR = re.compile(
    rf"(?<![\w.,])(?P<w>{NUMBER})(?:\s*[x×]\s*(?P<again>{NUMBER}))?\s*(?P<unit>mm|µm)?\s*/\s*(?:ø\s*)?"
    rf"(?P<d>{NUMBER})\s*(?P<end>mm|µm)?(?![\w/])(?!\s*(?:[x×\"″]|''|in\b|inch|zoll))"
)
_TRIPLE = re.compile(rf"(?<![\w.,])({SIZE}){BY}({SIZE}){BY}({SIZE})(?![\w/])")
_WIDTH_PAIR = re.compile(rf"(?<![\w.,])({NUMBER}/{NUMBER})\s*({UNIT})?{BY}({SIZE})(?!\w)")
_METRIC_UNIT = re.compile(r"\d\s*(mm|µm)$")
_SHORT_INCHES = re.compile(r"^0?\.\d+$")
#: Letters that name a size only where a sign follows: "B=1000 mm", but an "L 300x200".
_WITH_SIGN = frozenset({"b", "l"})
#: English names whose bare numbers are millimetres (ISO 9044 writes w and d).
_METRIC_LETTERS = frozenset({"w", "d"})
#: Fields whose bare numbers are millimetres where a metric language names them.
_METRIC_FIELDS = frozenset({"aperture", "wire_diameter", "pitch"})
_PIECE_WORDS = re.compile(
    r"\b(?:sheets?|panels?|pcs|pieces?|zuschnitte?|tafeln?|stk|stück|panneaux?|panneau|pièces?|blanks?|"
    r"piezas?|uds|no\.|off)\b"
)
#: A bare width of this or more, named as one, is millimetres [-].
_BROAD_MM = 300
#: Two sizes both below this are an aperture and a wire, and no piece [m] (our choice).
_SMALL = 0.02


def take_labelled(scan: Scan) -> None:
    """Take sizes that a word beside them names, from left to right."""
    before = words("described_before")
    labels = {**before, **words("described_behind")}
    finder = _names()
    place = 0
    while found := finder.search(scan.bare(), place):
        place = found.end()
        label = found[0]
        name = labels.get(label, "")
        if not name:
            continue
        ahead = re.compile(rf"\s*(?:[=:]|-?ø|dia\.?|von|de)?\s*({SIZE})").match(
            scan.low, found.end()
        )
        back = re.search(rf"({SIZE})\s*(?:x\s*)?(?:sq\.?|square|ø)?\s*$", scan.low[: found.start()])
        one_letter = len(label) == 1
        if label in _WITH_SIGN and not re.match(r"\s*[=:]", scan.low[found.end() :]):
            continue
        wants_ahead = label in before
        if wants_ahead and not ahead and one_letter:
            continue
        chosen, span = (ahead, None) if wants_ahead else (back, None)
        chosen = chosen or (back if wants_ahead else ahead)
        if not chosen or name in scan.fields or not re.search(r"\d", chosen[1]):
            continue
        span = (chosen.start(1), chosen.end(1))
        text = scan.part(*span)
        broad = name == "width" and text.isdecimal() and int(text) >= _BROAD_MM
        scan.fields[name] = _metric(text) if broad or _is_metric(label, name) else text
        scan.blank(min(span[0], found.start()), max(span[1], found.end()))


@lru_cache(maxsize=1)
def _names() -> re.Pattern[str]:
    every = (*phrases("described_before"), *phrases("described_behind"))
    either = "|".join(re.escape(label) for label in sorted(every, key=len, reverse=True))
    return re.compile(rf"(?<![\w.])(?:{either})(?!\w)")


follows_words(_names.cache_clear)


def _is_metric(label: str, field: str) -> bool:
    """Whether a bare number beside a name is millimetres."""
    english = label in phrases("described_before", "en") or label in phrases(
        "described_behind", "en"
    )
    return field in _METRIC_FIELDS and (not english or label in _METRIC_LETTERS)


def _metric(text: str) -> str:
    return f"{text} mm" if text[-1:].isdigit() else text


def take_pairs(scan: Scan) -> None:
    """Take an aperture with its wire ("8/2 mm"), and width with length."""
    cloth_known = {"mesh_count", "aperture", "pitch"} & scan.fields.keys()
    broad = scan.search(_WIDTH_PAIR)
    if broad and float(broad[1].split("/")[0].replace(",", ".")) >= BARE_MM:
        scan.fields["width"] = f"{broad[1]} {broad[2] or 'mm'}"
        scan.fields["length"] = scan.part(*broad.span(3))
        scan.blank(*broad.span())
    pair = None if cloth_known else scan.search(_MESH_PAIR)
    if pair and "wire_diameter" not in scan.fields:
        _take_mesh_pair(scan, pair)
    triple = scan.search(_TRIPLE)
    if triple and not cloth_known and "aperture" not in scan.fields:
        first, second, wire = (scan.part(*triple.span(n)) for n in (1, 2, 3))
        scan.fields["aperture"] = f"{first} x {second}"
        if "wire_diameter" not in scan.fields:
            thin = rough_value(wire) < BARE_MM
            scan.fields["wire_diameter"] = _metric(wire) if thin else wire
        scan.blank(*triple.span())
    elif triple and "mesh_count" in scan.fields and "wire_diameter" not in scan.fields:
        _take_wire_and_roll(scan, triple)
    while found := scan.search(_PAIR):
        first, second = (scan.part(*found.span(n)) for n in (1, 2))
        _take_pair(scan, found, first, second)


def _take_wire_and_roll(scan: Scan, triple: re.Match[str]) -> None:
    """Take a wire, a width and a length with signs between, as they stand behind a count."""
    wire, width, length = (scan.part(*triple.span(n)) for n in (1, 2, 3))
    sizes = [rough_metres(text) for text in (wire, width)]
    if sizes[0] is None or sizes[1] is None or not sizes[0] < _SMALL <= sizes[1]:
        return
    scan.fields["wire_diameter"] = wire
    scan.fields["width"], scan.fields["length"] = pair_units(width, length, "")
    scan.blank(*triple.span())


def _take_mesh_pair(scan: Scan, pair: re.Match[str]) -> None:
    unit = pair["end"] or pair["unit"] or "mm"
    aperture, wire = pair["w"], pair["d"]
    if rough_value(aperture) <= rough_value(wire):
        scan.put("aperture", scan.part(*pair.span()), pair)
        return
    scan.fields["aperture"] = f"{aperture} {pair['unit'] or unit}"
    scan.fields["wire_diameter"] = f"{wire} {unit}"
    scan.blank(*pair.span())


def _take_pair(scan: Scan, found: re.Match[str], first: str, second: str) -> None:
    cloth = {"mesh_count", "aperture", "pitch"} & scan.fields.keys()
    unit = _METRIC_UNIT.search(second)
    if not cloth and first[-1:].isdigit() and unit:
        first = f"{first} {unit[1]}"  # "0,5 x 0,25 mm"
    rough = (rough_metres(first), rough_metres(second))
    another = _PAIR.search(scan.low, found.end()) is not None
    if _SHORT_INCHES.match(second) and first.isdecimal():
        scan.fields.setdefault("wire_diameter", second)
    elif not cloth and all(size is not None and size < _SMALL for size in rough):
        scan.fields["aperture"], scan.fields["wire_diameter"] = first, second
        if words("weave").get(fold(scan.fields.get("weave", ""))) == "welded":
            scan.unread.append(f"{scan.fields.pop('aperture')} (opening, or centre to centre?)")
    elif not cloth and first == second and another:
        scan.fields["aperture"] = f"{first} x {second}"
    elif "width" in scan.fields or "dimensions" in scan.fields:
        scan.unread.append(f"{first} x {second}")
    else:
        scan.fields["width"], scan.fields["length"] = pair_units(first, second, "")
    scan.blank(*found.span())


def take_lone(scan: Scan) -> None:
    """Take sizes that no word names: a small one is the wire, a large one width, then length."""
    finder = re.compile(rf"(?<![\w.,/])({SIZE})(?![\w/%°²])")
    place = 0
    while found := finder.search(scan.low, place):
        place = found.end()
        text = scan.part(*found.span(1))
        name = _lone_name(scan, text)
        if name and name not in scan.fields:
            decimal = re.fullmatch(r"\d+,\d+", text) is not None
            scan.fields[name] = _metric(text) if decimal and name == "wire_diameter" else text
            scan.blank(*found.span())


def take_opening(scan: Scan) -> None:
    """Take a small size for the opening where it stands just before its wire."""
    if "wire_diameter" not in scan.fields or {"mesh_count", "aperture", "pitch"} & {*scan.fields}:
        return
    found = scan.search(_BEFORE_A_WIRE)
    size = rough_metres(scan.part(*found.span(1))) if found else None
    if found and size is not None and size < _SMALL:
        scan.put("aperture", scan.part(*found.span(1)), found)


_BEFORE_A_WIRE = re.compile(rf"(?<![\w.,/])({SIZE})\s*[x×/]\s*(?=¦)")


def _lone_name(scan: Scan, text: str) -> str:
    known = scan.fields
    size = rough_metres(text)
    if size is None:
        gauge = re.search(r"(?:swg|awg|bwg|ga|gauge)\b", text.lower())
        decimal = re.fullmatch(r"0?[.,]\d+", text)
        return "wire_diameter" if gauge or decimal else ""
    if size < 0.015:  # noqa: PLR2004 - 15 mm: thicker wire is named
        if "mesh_count" in known or "aperture" in known or "pitch" in known:
            return "wire_diameter"
        return "aperture" if re.search(r"µ|mic", text.lower()) else ""
    cloth = {"mesh_count", "aperture", "pitch", "wire_diameter"} & known.keys()
    if "dimensions" in known or not cloth:
        return ""
    if "width" not in known and size < 5:  # noqa: PLR2004 - 5 m: no cloth is wider
        return "width"
    return "length"


def settle(scan: Scan) -> None:
    """Settle what is a roll and what a piece, from the words and the sizes."""
    fields = scan.fields
    if words("weave").get(fold(fields.get("weave", ""))) == "welded" and " x " in fields.get(
        "aperture", ""
    ):
        scan.unread.append(f"{fields.pop('aperture')} (opening, or centre to centre?)")
    if "width" in fields and "length" in fields and "dimensions" not in fields:
        form = fields.get("form", "") or form_of_pair(fields["width"], fields["length"])
        if form == "piece" or ("form" not in fields and _PIECE_WORDS.search(scan.text.lower())):
            first, second = fields.pop("width"), fields.pop("length")
            fields |= {"form": "piece", "shape": "rectangle", "dimensions": f"{first} x {second}"}
        elif form:
            fields["form"] = form
    for name in ("aperture", "wire_diameter"):
        other = fields.get("wire_diameter" if name == "aperture" else "aperture", "")
        if re.fullmatch(r"\d+[.,]?\d*", fields.get(name, "")) and other.endswith("mm"):
            fields[name] = f"{fields[name]} mm"
