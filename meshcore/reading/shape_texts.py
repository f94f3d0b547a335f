"""Pieces as people write them, put into a shape's name and its sizes by name.

Nothing is read here as a number: each size stays the text that it was, and goes to the one reader.
"""

from __future__ import annotations

import re
from functools import lru_cache

from meshcore.reading.numbers.lexing import Token, lex, plain
from meshcore.reading.numbers.phrases import doubt
from meshcore.reading.shape_naming import Found, name_sizes
from meshcore.reading.shape_tidying import tidied
from meshcore.reading.vocabulary import follows_words

_TOPICS = ("shape", "size", "unit_length", "unit_angle", "counted", "limit", "or", "unsure",
           "separator", "not", "approximate")  # fmt: skip
#: A shape and its sizes are a line of text; beyond this they are something else [letters].
LONGEST_SHAPE = 400
#: Bare sizes of which the largest is so great are millimetres: 100 in is longer than any sheet
#: (common practice, no source).
LEAST_BARE_MM = 100.0
_PARTING = frozenset("×/,;-()=:@")
_SAID_BY_ITSELF = frozenset(
    {
        "axes",
        "achsen",
        "ejes",
        "y",
        "et",
        "und",
        "with",
        "mit",
        "con",
        "avec",
        "and",
        "of",
        "de",
        "each",
        "to",
        "the",
    }
)
#: Topics whose words say nothing of a shape.
_ASIDES = ("counted", "approximate")
_LETTERS = frozenset({"l", "w", "b", "h", "d", "r"})


@lru_cache(maxsize=8192)
def written(shape: str, dimensions: str) -> tuple[str, str] | None:
    """Return a shape's name and its sizes by name, where a text says them in the trade's ways.

    Examples
    --------
    >>> written("", "dia 200"), written("", "ring 300/200")
    (('disc', 'diameter 200 mm'), ('ring', 'outer diameter 300 mm, inner diameter 200 mm'))
    >>> written("", "500x300 r10")[0], written("", "R500 r300 60°")[0]
    ('rounded rectangle', 'ring segment')
    >>> written("", "as drawn") is None
    True
    """
    if len(shape) + len(dimensions) > LONGEST_SHAPE:
        return None
    text = tidied(shape, dimensions)
    tokens = lex(text, _TOPICS)
    if doubt(text, tokens, "") is not None:
        return None
    found = _gather(list(tokens))
    if found.unknown or not found.sizes or len(found.counts) > 1:
        return None
    unit = _common_unit(found)
    if unit is None:
        return None
    named = name_sizes(found, unit)
    if named and named[0] in _ROUND and any(_says_rectangle(t) for t in tokens):
        return None
    return named


#: Shapes that no rectangle is; a blank or a sheet may be.
_ROUND = frozenset({"disc", "ring"})


def _says_rectangle(token: Token) -> bool:
    return token.means("shape") == "rectangle" and token.text.startswith(("rect", "recht"))


@lru_cache(maxsize=8192)
def pieces_counted(shape: str, dimensions: str) -> float | None:
    """Return how many pieces a shape's text counts, or None where it counts none, or twice.

    Examples
    --------
    >>> pieces_counted("", "Ø200 mm x 4 off"), pieces_counted("2 discs 200 mm", "")
    (4.0, 2.0)
    >>> pieces_counted("", "4 x Ø200"), pieces_counted("disc", "200 mm")
    (4.0, None)
    """
    if len(shape) + len(dimensions) > LONGEST_SHAPE:
        return None
    found = _gather(list(lex(tidied(shape, dimensions), _TOPICS)))
    if found.unknown:
        return None
    first, *others = found.sizes or [("", "", 0.0, "")]
    named = {label for label, _, _, _ in others}
    is_count = first[0] == "" and named == {"diameter"} and not first[1].endswith("°")
    counts = [*found.counts, *([first[2]] if is_count else [])]
    return counts[0] if len(counts) == 1 else None


def shapes_named(text: str) -> tuple[tuple[str, str], ...]:
    """Return the words of a text that name shapes, each with its shape; not single letters.

    Examples
    --------
    >>> shapes_named("200 mm round, 300 mm square")
    (('round', 'disc'), ('square', 'square'))
    """
    tokens = lex(plain(text), ("shape",))
    return tuple((t.text, t.means("shape")) for t in tokens if t.means("shape") and t.text[1:])


def sizes_stated(shape: str, dimensions: str) -> tuple[str, ...]:
    """Return the sizes of a shape's text, each with its unit; none where it is not understood.

    Examples
    --------
    >>> sizes_stated("", "500 x 300 mm"), sizes_stated("disc", "diameter 8 in")
    (('500 mm', '300 mm'), ('8 in',))
    """
    found = _gather(list(lex(tidied(shape, dimensions), _TOPICS)))
    unit = _common_unit(found)
    if found.unknown or unit is None:
        return ()
    return tuple(text if " " in text else f"{text} {unit}" for _, text, _, _ in found.sizes)


def _gather(tokens: list[Token]) -> Found:  # noqa: PLR0912 - one branch for each sort of word
    """Go through a text: names before or after their sizes, and what is counted left out."""
    found = Found()
    label, sign, place = "", "", 0
    tokens = _parted_sizes(tokens)
    names_last = _names_last(tokens)
    while place < len(tokens):
        token = tokens[place]
        place += 1
        if token.kind in ("number", "fraction"):
            if not token.numbers:
                return Found(unknown=token.text)
            unit, place = _unit_at(tokens, place)
            inches, place = _inches_at(tokens, place) if unit == "ft" else ("", place)
            if inches:
                found.sizes.append((label, f"{token.text} ft {inches} in",
                                    token.numbers[0].value, sign))  # fmt: skip
                label, sign = "", ""
                continue
            if token.kind == "fraction" and not token.sure and unit != "in":
                found.sizes += [(label, part, float(part), sign) for part in token.parts[:1]]
                found.sizes.append((label, token.parts[1], float(token.parts[1]), "/"))
                if unit:
                    found.sizes[-1] = (label, f"{token.parts[1]} {unit}", found.sizes[-1][2], "/")
                label, sign = "", ""
                continue
            if sign == "-" and not found.sizes:
                return Found(unknown="-")
            if unit != "°" and not unit and place < len(tokens) and _is_count(tokens, place, label):
                found.shapes += [s for s in (tokens[place].means("shape"),) if s]
                found.counts.append(token.numbers[0].value)
                place += 1
                continue
            after, place = _name_after(tokens, place, label, names_last)
            found.sizes.append((label or after, f"{token.text} {unit}".strip(),
                                token.numbers[0].value, sign))  # fmt: skip
            label, sign = "", ""
        elif token.means("size") and not (token.means("shape") and token.text not in _LETTERS):
            label = _joined(label, token.means("size"))
            found.words.append(token.text)
        elif token.means("unit_length") and found.sizes and " " not in found.sizes[-1][1]:
            last = found.sizes[-1]
            found.sizes[-1] = (last[0], f"{last[1]} {token.means('unit_length')}", *last[2:])
        elif token.means("shape"):
            found.shapes.append(token.means("shape"))
        elif token.text in _PARTING or token.means("separator"):
            sign += "×" if token.means("separator") else token.text
        elif not (token.text in _SAID_BY_ITSELF or any(map(token.means, _ASIDES))):
            return Found(unknown=token.text)
    return _with_last_name(found, label)


def _with_last_name(found: Found, label: str) -> Found:
    """Give a name that ends a text to the size before it: "Ø300 with Ø200 hole"."""
    if not label or (label == "corner" and any(s[0] == "radius" for s in found.sizes)):
        return found
    if label == "diameter" and found.sizes and found.sizes[-1][0] == "hole":
        return found
    if label == "side" and len(found.sizes) == 1 and not found.sizes[0][0]:
        found.sizes[0] = ("side", *found.sizes[0][1:])
        return found
    if (
        label == "hole"
        and "ring" not in found.shapes
        and found.sizes
        and found.sizes[-1][0] == "diameter"
    ):
        found.sizes[-1] = ("hole", *found.sizes[-1][1:])
        return found
    return Found(unknown=label)


def _joined(label: str, name: str) -> str:
    """Two names together: a corner's radius, a hole's diameter."""
    pair = {label, name}
    if pair == {"corner", "radius"}:
        return "radius"
    if "hole" in pair and "diameter" in pair:
        return "hole"
    if "hole" in pair and label:
        return "hole and another"  # which no shape has
    return name if not label or name != "diameter" else label


def _unit_at(tokens: list[Token], place: int) -> tuple[str, int]:
    if place < len(tokens):
        token = tokens[place]
        unit = token.means("unit_length")
        if unit:
            return unit, place + 1
        if token.means("unit_angle") and not token.means("size"):
            return "°", place + 1
    return "", place


def _inches_at(tokens: list[Token], place: int) -> tuple[str, int]:
    """Inches that follow feet: 2'-6"; empty where none do."""
    step = place + (place < len(tokens) and tokens[place].text == "-")
    if step + 1 >= len(tokens) or tokens[step].kind not in ("number", "fraction"):
        return "", place
    if tokens[step + 1].means("unit_length") != "in":
        return "", place
    return tokens[step].text, step + 2


#: Three numbers that stand as one of thousands: the sides of a triangle, "300 400 500".
_THREE = re.compile(r"\d{1,3}([ ,])\d{3}\1\d{3}|\d{1,4}(?:,\d{1,3}){2}")
_OF_THREE = frozenset({"triangle", "rounded rectangle"})


def _parted_sizes(tokens: list[Token]) -> list[Token]:
    """Part a number into the three sizes that its shape has: "triangle 300,400,500"."""
    numbers = [n for n, t in enumerate(tokens) if t.kind == "number"]
    of_three = any(t.means("shape") in _OF_THREE for t in tokens)
    if len(numbers) != 1 or not of_three or not _THREE.fullmatch(tokens[numbers[0]].text):
        return tokens
    place = numbers[0]
    parts = [lex(part, ())[0] for part in re.split("[ ,]", tokens[place].text)]
    return [*tokens[:place], *parts, *tokens[place + 1 :]]


def _is_count(tokens: list[Token], place: int, label: str) -> bool:
    """Whether a number counts pieces: "4 off", "4 × Ø200" is settled by the sizes."""
    token = tokens[place]
    more = any(t.kind == "number" for t in tokens[place:])
    return not label and bool(token.means("counted")) and (more or not token.means("shape"))


def _names_last(tokens: list[Token]) -> bool:
    """Whether each size has its name after it: "300 od 200 id"."""
    kinds = ["n" if t.kind == "number" else "s" for t in tokens if t.kind == "number"
             or (t.means("size") and (not t.means("shape") or t.text in _LETTERS))]  # fmt: skip
    return "".join(kinds) == "ns" * (len(kinds) // 2)


def _name_after(tokens: list[Token], place: int, label: str, names_last: bool) -> tuple[str, int]:
    """Name of a size that stands after it: "200 dia", "100 AF"."""
    if label or place >= len(tokens):
        return "", place
    token = tokens[place]
    later = [t for t in tokens[place + 1 :] if t.text not in ("=", ":") and not t.means("size")]
    names_next = bool(later) and later[0].kind in ("number", "fraction")
    is_name = token.means("size") and (not token.means("shape") or token.text in _LETTERS)
    if is_name and (names_last or not names_next):
        return token.means("size"), place + 1
    return "", place


def _common_unit(found: Found) -> str | None:
    """Return the unit of the sizes that have none; None where it is not to be told."""
    lengths = [s for s in found.sizes if not s[1].endswith("°")]
    units = [text.rsplit(" ", 1)[1] for _, text, _, _ in lengths if " " in text]
    bare = [value for _, text, value, _ in lengths if " " not in text]
    if not bare:
        return ""
    if len(set(units)) == 1 and " " in lengths[-1][1]:
        return units[0]
    if not units and max(bare) >= LEAST_BARE_MM:
        return "mm"
    return units[0] if len(set(units)) == 1 else None


follows_words(written.cache_clear)
follows_words(pieces_counted.cache_clear)
