"""Sizes that stand in a text, each with its unit, its name and what parts it from the last."""

from __future__ import annotations

from dataclasses import dataclass, replace

from meshcore.reading.numbers.lexing import Token
from meshcore.reading.numbers.numerals import Number
from meshcore.reading.numbers.worded import with_number_words
from meshcore.reading.vocabulary import phrases

_INCHES_PER_FOOT = 12


@dataclass(frozen=True, slots=True)
class Measure:
    """One size of a text.

    Parameters
    ----------
    numbers
        Readings of its number; none where the digits make no number.
    unit
        One name of its unit; empty where it has none.
    text
        As it stands.
    before
        Signs between it and the size before: ``"×"``, ``"/"``, ``"("`` and so on.
    labels
        Fields that its name may stand for; empty where it has no name.
    fraction
        Upper and lower number, if it is a fraction that could be two sizes.
    sure
        Whether a fraction can be nothing else.
    counted
        What it counts ("3 rolls"); empty where it counts nothing.
    metric
        Whether its name is a metric one: ``w``, ``d``, ``Ø``.
    """

    numbers: tuple[Number, ...]
    unit: str = ""
    text: str = ""
    before: str = ""
    labels: frozenset[str] = frozenset()
    fraction: tuple[str, str] = ("", "")
    sure: bool = False
    counted: str = ""
    metric: bool = False


@dataclass(frozen=True, slots=True)
class Parsed:
    """The sizes of a text, and what of it cannot be told.

    Parameters
    ----------
    measures
        The sizes.
    unknown, is_unit
        The first word that nothing is known of, and whether it stands as a unit does.
    between
        A name between two sizes that may be either's: "2 mm wire 1 mm".
    """

    measures: tuple[Measure, ...]
    unknown: str = ""
    is_unit: bool = False
    between: str = ""


#: Signs that part two sizes; a colon or an equals sign after a name parts nothing.
_PARTING = frozenset("×/()[]=,;-+@|")
#: Names of sizes of cloth stand before their size or behind it; "wide" and "long" behind it alone.
_OF_CLOTH = frozenset({"aperture", "wire_diameter", "pitch"})
#: Names that metric texts give to sizes (ISO 9044 writes w and d).
_METRIC_NAMES = frozenset({"w", "mw", "d", "ø", "t", "p", "lw", "l.w", "om"})


def parse(tokens: tuple[Token, ...], units: str = "unit_length") -> Parsed:
    """Gather the sizes of a text that was taken apart.

    Parameters
    ----------
    tokens
        From `meshcore.reading.numbers.lexing.lex`.
    units
        Topic of the units that a size may have.
    """
    gathered = _Gathering(with_number_words(tokens, units), units)
    return gathered.run()


@dataclass(slots=True)
class _Gathering:
    """State while the sizes of a text are gathered."""

    tokens: tuple[Token, ...]
    units: str
    place: int = 0

    def run(self) -> Parsed:  # noqa: PLR0912 - one branch for each sort of token
        measures: list[Measure] = []
        names: list[Token] = []
        signs = ""
        unknown, is_unit, between = "", False, ""
        names_first = self._names_first()
        while self.place < len(self.tokens):
            token = self.tokens[self.place]
            if token.kind in ("number", "fraction"):
                measure = replace(self._measure(), before=signs)
                measures.append(_named(measure, names))
                names, signs = [], ""
                continue
            self.place += 1
            if token.kind == "sign" and (token.text in _PARTING or not token.senses):
                sign = token.text
                if sign in _PARTING:
                    signs += sign
                elif sign not in ":.·~|" or (sign == "." and token.touches and self._more()):
                    unknown = unknown or sign
                continue
            late = self._means_unit(token)
            if late and measures and not measures[-1].unit and not signs and not names:
                measures[-1] = replace(measures[-1], unit=late)
                continue
            if token.means("label") and self._token(0) and self.tokens[self.place].text in "=:":
                names.append(token)
                continue
            if token.means("label"):
                backward = measures and not names and not signs and not names_first
                if backward and self._may_name_next(token):
                    between = between or token.text
                if (backward and not measures[-1].labels) or self._names_last(measures):
                    measures[-1] = _named(measures[-1], [token])
                else:
                    names.append(token)
                continue
            if token.means("separator"):
                signs += "×"
                continue
            if not _goes_without_saying(token) and not unknown:
                unknown, is_unit = token.text, self._follows_bare_number(measures, signs)
        named_only = names[0].text if names and not measures else ""
        return Parsed(tuple(measures), unknown or named_only, is_unit, between)

    def _may_name_next(self, token: Token) -> bool:
        """Whether a name just before a number may be that size's, since no later name is."""
        rest = self.tokens[self.place :]
        follows = bool(rest) and rest[0].kind in ("number", "fraction")
        later = any(t.means("label") or t.meanings("label") for t in rest)
        return follows and not later and bool(_OF_CLOTH & set(token.meanings("label")))

    def _follows_bare_number(self, measures: list[Measure], signs: str) -> bool:
        before = self.tokens[self.place - 2] if self.place > 1 else None
        numbered = before is not None and before.kind in ("number", "fraction")
        return numbered and bool(measures) and not signs

    def _names_first(self) -> bool:
        """Whether names stand before their sizes, as in "w 8 d 2"."""
        for token in self.tokens:
            if token.kind in ("number", "fraction"):
                return False
            if token.means("label"):
                return True
        return False

    def _number_follows(self) -> bool:
        return any(t.kind in ("number", "fraction") for t in self.tokens[self.place :])

    def _names_last(self, measures: list[Measure]) -> bool:
        return bool(measures) and not self._number_follows()

    def _more(self) -> bool:
        return self.place < len(self.tokens) and self.tokens[self.place].touches

    def _measure(self) -> Measure:
        token = self.tokens[self.place]
        negative = self._is_negative()
        self.place += 1
        numbers = token.numbers
        if negative:
            numbers = tuple(replace(n, value=-n.value) for n in numbers)
        measure = Measure(numbers, "", token.text, fraction=token.parts, sure=token.sure)
        if self._at("-") and self._unit(1):
            self.place += 1
        unit = self._unit(0)
        if unit:
            word = self.tokens[self.place].text
            self.place += 1
            measure = replace(measure, unit=unit, text=f"{measure.text} {word}")
            return self._compound(measure)
        if counted := self._meaning("counted"):
            self.place += 1
            return replace(measure, counted=counted)
        return measure

    def _is_negative(self) -> bool:
        """Whether a minus before the number is its sign, and no dash between two sizes."""
        before = self.tokens[: self.place]
        if not before or before[-1].text != "-":
            return False
        return len(before) == 1 or before[-2].text in "(=:×"

    def _compound(self, measure: Measure) -> Measure:
        """Read on where feet go with inches, or metres with centimetres: 4' 6", 1 m 22."""
        step = 1 if self._at("-") else 0
        rest = self._token(step)
        if rest is None or measure.fraction != ("", "") or len(measure.numbers) != 1:
            return measure
        whole = measure.numbers[0]
        follower = self._token(step + 1)
        has_inches = follower is not None and self._means_unit(follower) == "in"
        ends = follower is None
        if measure.unit == "ft" and rest.kind in ("number", "fraction") and (has_inches or ends):
            if len(rest.numbers) != 1 or not rest.numbers[0].value < _INCHES_PER_FOOT:
                return replace(measure, numbers=())
            inches = rest.numbers[0]
            is_odd = len(rest.text) > 2 and not rest.text.strip("0")  # noqa: PLR2004 - "00" is usual
            if rest.text.startswith(".") or is_odd:
                return replace(measure, numbers=())  # 4'.5 may be 4.5 ft as well
            total = whole.value * _INCHES_PER_FOOT + inches.value
            self.place += step + (2 if has_inches else 1)
            number = Number(total, inches.half, inches.digit)
            return replace(measure, numbers=(number,), unit="in", sure=True)
        is_rest = rest.kind == "number" and rest.text.isdecimal() and len(rest.text) == 2  # noqa: PLR2004 - centimetres
        if measure.unit == "m" and not step and is_rest and ends and "." not in measure.text:
            self.place += 1
            number = Number(whole.value + rest.numbers[0].value / 100, 0.005, 0.01)
            return replace(measure, numbers=(number,))
        return measure

    def _token(self, ahead: int) -> Token | None:
        place = self.place + ahead
        return self.tokens[place] if place < len(self.tokens) else None

    def _at(self, sign: str) -> bool:
        token = self._token(0)
        return token is not None and token.text == sign

    def _unit(self, ahead: int) -> str:
        token = self._token(ahead)
        return "" if token is None else self._means_unit(token)

    def _means_unit(self, token: Token) -> str:
        return token.means(self.units)

    def _meaning(self, topic: str) -> str:
        token = self._token(0)
        return "" if token is None else token.means(topic)


def _named(measure: Measure, names: list[Token]) -> Measure:
    """Give a size its names; two names together mean what both can mean."""
    if not names:
        return measure
    labels = measure.labels
    for token in names:
        fields = frozenset(token.meanings("label"))
        together = labels & fields
        if {"diameter", "aperture"} <= labels | fields and not together:
            return replace(measure, numbers=())  # "Ø holes" are round, and no mesh has them
        if labels and not together and "diameter" not in labels | fields:
            return replace(measure, numbers=())  # "pitch 5 mm with holes" names two things
        labels = together or (fields if not labels else labels | fields)
        if "diameter" in labels and len(labels) > 1 and not together:
            labels -= {"diameter"}  # of the wire, or of the holes
    english = phrases("label", "en")
    metric = measure.metric or any(
        token.text in _METRIC_NAMES or token.text not in english for token in names
    )
    return replace(measure, labels=labels, metric=metric)


#: Topics whose words change nothing in a size.
_ASIDES = (
    "aside",
    "says_more",
    "approximate",
    "form",
    "counted",
    "per",
    "and",
    "form_unclear",
    "range",
)


def _goes_without_saying(token: Token) -> bool:
    return any(token.means(topic) for topic in _ASIDES)
