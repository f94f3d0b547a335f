"""Sizes in a running text: what each belongs to, by its words, its unit and its place."""

from __future__ import annotations

import re
from collections.abc import Mapping

from meshcore.reading.ordered import read_ordered
from meshcore.reading.scanning import Scan
from meshcore.reading.texts import tidy
from meshcore.reading.vocabulary import fold, words

#: Units as they stand behind a number, longest first.
UNIT = (
    r"(?:(?:mm|cm|µm|um|microns?|mic|µ|inch(?:es)?|ins|in|zoll|feet|foot|ft|yds?|yards?|"
    r"lfm|lm|ml|mtrs?|metres?|meters?|m|swg|awg|bwg|thou|mils?|gauge|ga)\.?(?!(?!x\d)[\w²³/])|"
    r"''|[\"″'′])"
)
#: A number; a fraction only before inches, as "8/2" is an aperture and a wire.
NUMBER = (
    r"(?:(?:\d+[\s\-]+)?\d+/\d+(?=\s*(?:\"|''|″|in\b|ins\b|inch|zoll))|\d+(?:[.,]\d+)*|[.,]\d+)"
)
SIZE = rf"(?:\d+'\s*-?\s*\d+(?:[./]\d+)?\"|(?:ø\s*)?{NUMBER}\s*(?:{UNIT})?(?:\s*\([^)]*mm\))?)"
_BY = r"\s*(?:x|×|\bby\b|\*)\s*"
PAIR_ONLY = re.compile(rf"({SIZE}){_BY}({SIZE})")
_PAIR = re.compile(rf"(?<![\w.,/])({SIZE}){_BY}({SIZE})(?!{_BY}\d)(?![\w/])")
_MESH_PAIR = re.compile(
    rf"(?<![\w.,])(?P<w>{NUMBER})(?:\s*[x×]\s*(?P<again>{NUMBER}))?\s*(?P<unit>mm|µm)?\s*/\s*(?:ø\s*)?"
    rf"(?P<d>{NUMBER})\s*(?P<end>mm|µm)?(?![\w/])(?!\s*[x×])"
)
_TRIPLE = re.compile(rf"(?<![\w.,])({SIZE}){_BY}({SIZE}){_BY}({SIZE})(?![\w/])")
_WIDTH_PAIR = re.compile(rf"(?<![\w.,])({NUMBER}/{NUMBER})\s*({UNIT})?{_BY}({SIZE})(?!\w)")
_SHORT_INCHES = re.compile(r"^0?\.\d+$")
#: Words of one meaning in the trade and another outside it.
EVERYDAY = frozenset(
    {"form", "cut", "clean", "press", "cutting", "slit", "slitting", "bend", "seam", "3.1", "weld",
     "rush", "folded", "cut to size"}
)  # fmt: skip
#: Words that name a size → its field; those that stand before it as a rule, and those behind.
_BEFORE: Mapping[str, str] = {
    "lichte maschenweite": "aperture", "maschenweite": "aperture", "mw": "aperture",
    "luz de malla": "aperture", "luz": "aperture", "abertura": "aperture",
    "ouverture de maille": "aperture", "ouverture": "aperture", "vide de maille": "aperture",
    "maille": "aperture", "w": "aperture", "drahtdurchmesser": "wire_diameter",
    "drahtstärke": "wire_diameter", "draht": "wire_diameter", "fil": "wire_diameter",
    "alambre": "wire_diameter", "hilo": "wire_diameter", "d": "wire_diameter",
    "teilung": "pitch", "paso": "pitch", "pas": "pitch", "pitch": "pitch", "breite": "width",
    "laize": "width", "largeur": "width", "ancho": "width", "länge": "length",
    "longueur": "length", "largo": "length", "cut to": "length", "width": "width",
    "length": "length", "rollen à": "length", "rolls of": "length", "rolls @": "length",
    "rouleaux de": "length", "rollos de": "length", "tiras de": "width", "bandes de": "width",
}  # fmt: skip
_BEHIND: Mapping[str, str] = {
    "sq. opening": "aperture", "sq opening": "aperture", "clear opening": "aperture",
    "opening": "aperture", "opg": "aperture", "aperture": "aperture", "apt.": "aperture",
    "apt": "aperture", "ap.": "aperture", "clear": "aperture", "wire": "wire_diameter",
    "dia. wire": "wire_diameter", "wire dia": "wire_diameter", "dia.": "wire_diameter",
    "centres": "pitch", "centers": "pitch", "ctrs": "pitch", "wide": "width", "breit": "width",
    "de ancho": "width", "de large": "width", "long": "length", "lang": "length",
    "de largo": "length", "de long": "length", "coils": "length",
}  # fmt: skip
#: Words that stand before or behind, and metric languages' words, whose bare numbers are mm.
_METRIC = frozenset(
    {"mw", "maschenweite", "lichte maschenweite", "luz", "luz de malla", "abertura", "ouverture",
     "ouverture de maille", "w", "d", "draht", "drahtdurchmesser", "fil", "alambre", "hilo",
     "teilung", "pas", "paso", "maille", "vide de maille", "drahtstärke"}
)  # fmt: skip
_PIECE_WORDS = re.compile(
    r"\b(?:sheets?|panels?|pcs|pieces?|zuschnitte?|tafeln?|stk|stück|panneaux?|panneau|pièces?|blanks?|"
    r"piezas?|uds|no\.|off)\b"
)
_SHAPE_TAIL = (
    rf"(?:\s*(?:of\s+|de\s+)?(?:ø|dia\.?|diameter|od|id|r|sw|notch|ausklinkung|encoche|[x×/,]|"
    rf"{SIZE}|°|af\b|a/f\b))+"
)
_FREE_SHAPE = re.compile(
    rf"(?<!\w)(?:r\s*{NUMBER}\s+r\s*{NUMBER}\s+{NUMBER}\s*°|{NUMBER}\s*[x×]\s*{NUMBER}\s+r\s*{NUMBER}(?!\w)|"
    rf"l\s+{NUMBER}\s*[x×]\s*{NUMBER}\s+(?:notch|ausklinkung)\s+{NUMBER}\s*[x×]\s*{NUMBER})"
)
_COUNT_WORDS = (
    r"(?:full rolls?|half rolls?|rolls?|coils|rollen?|rolle|rouleaux?|rouleau|rollos?|sheets?|"
    r"panels?|panneaux|pcs\.?|pieces|pièces|off(?:\s+half rolls|\s+rolls)?|no\.|stk\.?|stück|"
    r"uds\.?|tafeln|zuschnitte|ronden|discs?|disques|discos|rings?|strips|streifen)"
)
_NUMBER_WORD = r"(?:one|two|three|four|five|six|a|ein|eine|un|une|una)"
_QUANTITY = re.compile(
    rf"(?<![\w.,x×/])(?:ca\.?\s*|approx\.?\s*|about\s*)?(?:\d+\s*(?:-|to|–)\s*)?"
    rf"(?:\d+(?:[.,]\d+)*|{_NUMBER_WORD})(?:\s*x)?(?:\s+dozen)?\s+{_COUNT_WORDS}(?![\w'])"
)
_QTY = re.compile(r"\b(?:qty|quantity|menge|anzahl)\.?\s*:?\s*(\d+(?:[.,]\d+)*)\b")
_IN_BRACKETS = re.compile(r"\(\s*(\d+)\s*\)")
#: Longest side of a piece, and shortest length of a roll, by which an unnamed pair is told [m].
_LONGEST_PIECE, _SHORTEST_ROLL = 3.0, 10.0
#: A bare number of this or more is millimetres of width: in inches it would be 2.5 m [-].
_BARE_MM = 100
#: A bare width of this or more, named as one, is millimetres [-].
_BROAD_MM = 300
_TO_METRES = {"mm": 1e-3, "cm": 1e-2, "m": 1.0, "lfm": 1.0, "lm": 1.0, "ml": 1.0, '"': 0.0254,
              "in": 0.0254, "'": 0.3048, "ft": 0.3048, "yd": 0.9144}  # fmt: skip


def take_shape(scan: Scan) -> None:
    """Take a shape with its sizes: a name before them, or behind a diameter."""
    free = scan.search(_FREE_SHAPE)
    if free:
        scan.put("dimensions", scan.part(*free.span()), free)
        scan.fields["form"] = "piece"
        return
    shapes = words("shape")
    for name in sorted(shapes, key=lambda word: -len(word)):
        if shapes[name] in ("rectangle", "square") and name not in ("rectangle", "rectangles"):
            continue
        if len(name) == 1:
            continue
        found = scan.search_phrase(name)
        if not found:
            continue
        start, end = found.span()
        tail = re.compile(_SHAPE_TAIL).match(scan.low, end)
        lead = re.search(rf"(?:ø\s*)?{NUMBER}\s*{UNIT}\s*$", scan.low[:start])
        behind = _before_cloth(scan.low, tail) if tail else end
        if re.search(r"\d", scan.text[end:behind]):
            end = behind
            sizes_text = scan.text[found.end() : end].strip(" ,")
        elif lead and shapes[name] in ("disc", "square"):
            sizes_text, start = f"diameter {lead[0].strip()}", lead.start()
        else:
            continue
        before = re.search(rf"(?:\d+|{_NUMBER_WORD})(?:\s+dozen)?\s*$", scan.low[:start])
        if before:
            scan.fields["quantity"] = scan.text[before.start() : start].strip()
            start = before.start()
        scan.fields |= {"shape": shapes[name], "dimensions": sizes_text, "form": "piece"}
        scan.blank(start, end)
        return


def _before_cloth(low: str, tail: re.Match[str]) -> int:
    """End of a shape's sizes; a comma, a mesh count or "w 5" behind them begin the cloth."""
    text = tail[0]
    cut = re.search(r",(?!\d)|\s(?=\S*\s*-?(?:mesh|maschen|mailles))", text)
    end = tail.start() + (cut.start() if cut else len(text))
    rest = re.match(r"\s*-?\s*(?:mesh|maschen|mailles|stk|pcs|off)", low[end:])
    if rest:
        last = re.search(r"\s*\S+\s*$", low[tail.start() : end])
        end = tail.start() + (last.start() if last else 0)
    return end


_STRIP_WORDS = ("slit strip", "slit strips", "strip", "strips", "streifen", "bande", "bandes",
                "tira", "tiras")  # fmt: skip
_ROLL_WORDS = ("full roll", "half roll", "half rolls", "volle rolle", "halbe rolle",
               "rouleau complet", "roll", "rolle", "rouleau", "rollo", "sheets", "sheet", "panels",
               "panel", "zuschnitt")  # fmt: skip


def take_quantity(scan: Scan) -> None:
    """Take how many, and the form that the words name."""
    for phrase in _STRIP_WORDS:
        found = None if "hook strips" in scan.low else scan.search_phrase(phrase)
        if found:
            scan.fields.setdefault("form", "strip")
    for pattern in (_QUANTITY, _QTY, _IN_BRACKETS):
        found = scan.search(pattern)
        if found is None:
            continue
        text = scan.part(*found.span())
        if "quantity" not in scan.fields:
            scan.fields["quantity"] = found[1] if pattern is not _QUANTITY else text
        form = read_ordered(text, "").form
        if form:
            scan.fields.setdefault("form", form)
        keep = re.search(r"(?:rollen|rolls|rouleaux|rollos|tiras|bandes)$", found[0])
        after = re.match(r"\s*(?:à|@|of|de)\s", scan.low[found.end() :])
        scan.blank(found.start(), found.end() - (len(keep[0]) if keep and after else 0))
    for phrase in (*_STRIP_WORDS, *_ROLL_WORDS):
        found = scan.search_phrase(phrase)
        if found and "hook strips" not in scan.low:
            scan.fields.setdefault("form", words("form").get(phrase, ""))
            if not re.match(r"\s+(?:de|à)\s", scan.low[found.end() :]):
                scan.blank(*found.span())


def take_labelled(scan: Scan) -> None:
    """Take sizes that a word beside them names, from left to right."""
    labels = {**_BEFORE, **_BEHIND}
    pattern = "|".join(re.escape(label) for label in sorted(labels, key=lambda word: -len(word)))
    finder = re.compile(rf"(?<![\w.])(?:{pattern})(?![\w])")
    place = 0
    while found := finder.search(scan.low, place):
        place = found.end()
        label = found[0]
        name = labels[label]
        ahead = re.compile(rf"\s*(?:[=:]|-?ø|dia\.?|von|de)?\s*({SIZE})").match(
            scan.low, found.end()
        )
        back = re.search(rf"({SIZE})\s*(?:x\s*)?(?:sq\.?|square|ø)?\s*$", scan.low[: found.start()])
        one_letter = len(label) == 1
        wants_ahead = label in _BEFORE
        if wants_ahead and not ahead and one_letter:
            continue
        chosen, span = (ahead, None) if wants_ahead else (back, None)
        chosen = chosen or (back if wants_ahead else ahead)
        if not chosen or name in scan.fields or not re.search(r"\d", chosen[1]):
            continue
        span = (chosen.start(1), chosen.end(1))
        text = scan.part(*span)
        broad = name == "width" and text.isdecimal() and int(text) >= _BROAD_MM
        scan.fields[name] = _metric(text) if label in _METRIC or broad else text
        scan.blank(min(span[0], found.start()), max(span[1], found.end()))


def _metric(text: str) -> str:
    return f"{text} mm" if text[-1:].isdigit() else text


def take_pairs(scan: Scan) -> None:
    """Take an aperture with its wire ("8/2 mm"), and width with length."""
    cloth_known = {"mesh_count", "aperture", "pitch"} & scan.fields.keys()
    broad = scan.search(_WIDTH_PAIR)
    if broad and float(broad[1].split("/")[0].replace(",", ".")) >= _BARE_MM:
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
            scan.fields["wire_diameter"] = _metric(wire) if int(_value(wire)) < _BARE_MM else wire
        scan.blank(*triple.span())
    while found := scan.search(_PAIR):
        first, second = (scan.part(*found.span(n)) for n in (1, 2))
        _take_pair(scan, found, first, second)


def _take_mesh_pair(scan: Scan, pair: re.Match[str]) -> None:
    unit = pair["end"] or pair["unit"] or "mm"
    aperture, wire = pair["w"], pair["d"]
    if _value(aperture) <= _value(wire):
        scan.put("aperture", scan.part(*pair.span()), pair)
        return
    scan.fields["aperture"] = f"{aperture} {pair['unit'] or unit}"
    scan.fields["wire_diameter"] = f"{wire} {unit}"
    scan.blank(*pair.span())


def _take_pair(scan: Scan, found: re.Match[str], first: str, second: str) -> None:
    cloth = {"mesh_count", "aperture", "pitch"} & scan.fields.keys()
    rough = (_metres(first), _metres(second))
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


#: Two sizes both below this are an aperture and a wire, and no piece [m] (our choice).
_SMALL = 0.02


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


def _lone_name(scan: Scan, text: str) -> str:
    known = scan.fields
    size = _metres(text)
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
    if words("weave").get(fold(fields.get("weave", ""))) == "welded" and " x " in _unnamed(fields):
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


def _unnamed(fields: Mapping[str, str]) -> str:
    return fields.get("aperture", "")


def form_of_pair(first: str, second: str) -> str:
    r"""Form of two sizes that no word names: a roll where long, a piece where short, else unsaid.

    Examples
    --------
    >>> form_of_pair("48 in", "100'"), form_of_pair("500 mm", "1 m"), form_of_pair("1 m", "5 m")
    ('roll', 'piece', '')
    """
    each = (_metres(first), _metres(second))
    if each[0] is None or each[1] is None:
        return ""
    if each[1] >= _SHORTEST_ROLL:
        return "roll"
    return "piece" if max(each[0], each[1]) <= _LONGEST_PIECE else ""


def pair_units(first: str, second: str, unit: str) -> tuple[str, str]:
    """Two sizes, each with its unit: a bare one takes the other's where that can be meant.

    Examples
    --------
    >>> pair_units("1220", "30 m", ""), pair_units("1", "25 m", ""), pair_units("48", "72 in", "")
    (('1220 mm', '30 m'), ('1 m', '25 m'), ('48 in', '72 in'))
    >>> pair_units("1000", "2000", ""), pair_units("48", "100", "")
    (('1000 mm', '2000 mm'), ('48', '100'))
    """
    a, b = tidy(first), tidy(second)
    bare = [text[-1:].isdigit() for text in (a, b)]
    if unit:
        return (f"{a} {unit}" if bare[0] else a), (f"{b} {unit}" if bare[1] else b)
    if bare == [True, True]:
        both = _value(a) >= _BARE_MM and _value(b) >= _BARE_MM
        return (f"{a} mm", f"{b} mm") if both else (a, b)
    if bare[0]:
        behind = re.search(rf"{UNIT}$", b.lower())
        word = behind[0] if behind else ""
        own = "mm" if word in ("m", "lfm", "lm") and _value(a) >= _BARE_MM else word
        return f"{a} {own}", b
    if bare[1]:
        behind = re.search(rf"{UNIT}$", a.lower())
        return a, f"{b} {behind[0]}" if behind and behind[0] in ("mm", "in", '"') else b
    return a, b


def _value(text: str) -> float:
    """Size of a number for comparing alone; it is read by the one reader later."""
    digits = re.search(r"\d+(?:[.,]\d+)?|[.,]\d+", text)
    return float(digits[0].replace(",", ".")) if digits else 0.0


def _metres(text: str) -> float | None:
    """Rough size of a text in metres, to tell a wire from a width; None without a unit."""
    if re.match(r"\d+'\s*-?\s*\d", text):
        return 0.3048 * _value(text)
    matched = re.fullmatch(rf"(?:ø\s*)?(.*?\d)\s*({UNIT})", text.strip().lower())
    if not matched:
        return None
    unit = fold(words("unit_length").get(fold(matched[2]), matched[2]))
    factor = _TO_METRES.get(
        unit, 1e-6 if unit in ("μm", "µm") else 2.54e-5 if unit == "thou" else None
    )
    if factor is None:
        return None
    number = matched[1]
    if "/" in number:
        top, bottom = number.rsplit("/", 1)
        return factor * _value(top.split("-")[-1].split(" ")[-1]) / max(_value(bottom), 1e-9)
    grouped = re.fullmatch(r"\d{1,3}[.,]\d{3}", number.strip())
    value = _value(number)
    return factor * (1000 * value if grouped and unit == "mm" and value >= 1 else value)
