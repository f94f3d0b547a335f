"""A line as it is put together from what the letter states."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from meshcore.reading.letters.alloys import is_finer
from meshcore.reading.letters.facts import CLOTH, FABRIC, Fact

#: Facts of the form: they go together.
FORM = ("form", "shape", "dim", "roll_length", "slit")


@dataclass(slots=True)
class Draft:
    """One line in the making.

    Parameters
    ----------
    facts
        What it states itself, or has carried over.
    label
        Its number or letter in the letter.
    start, end
        Where its own words stand.
    words
        Its own words, by which the letter may name it ("the bottom deck").
    section
        Number of the shared head that it stands under.
    old
        What it said before it was corrected.
    doubts
        Names of facts that are to be asked about, with why.
    speaker
        Who asks for it, in a chat.
    clothed_by
        The line whose cloth it is of.
    """

    facts: list[Fact] = field(default_factory=list)
    label: str = ""
    start: int = 0
    end: int = 0
    words: frozenset[str] = frozenset()
    section: int = 0
    mail: int = 0
    paragraph: int = 0
    gone: bool = False
    notes: list[str] = field(default_factory=list)
    old: list[Fact] = field(default_factory=list)
    doubts: list[tuple[frozenset[str], str]] = field(default_factory=list)
    speaker: str = ""
    clothed_by: Draft | None = None

    def has(self, *names: str) -> bool:
        """Whether any of these is stated."""
        return any(fact.name in names for fact in self.facts)

    def of(self, name: str) -> list[Fact]:
        """Return the facts of one name."""
        return [fact for fact in self.facts if fact.name == name]

    def value(self, name: str) -> str | float | None:
        """Return the value of the last fact of a name."""
        found = self.of(name)
        return found[-1].value if found else None

    def put(self, facts: Iterable[Fact]) -> None:
        """Set facts in the place of what the line said before."""
        new = list(facts)
        before = list(self.facts)
        names = {fact.name for fact in new} - {"services"}
        if (
            "dim" in names
            and any(f.role for f in new if f.name == "dim")
            and self.value("form") != "piece"
        ):
            roles = {f.role for f in new if f.name == "dim"}
            self.facts = [
                f
                for f in self.facts
                if f.name != "dim" or (f.role not in roles and self.place_of(f) not in roles)
            ]
            names.discard("dim")
        if "roll_length" in names and not any(f.name == "dim" for f in new):
            self.facts = [f for f in self.facts if f.name != "dim" or self.place_of(f) != "length"]
        if names & set(CLOTH):
            names |= set(CLOTH) - {"open_area"}
        self.facts = [f for f in self.facts if f.name not in names] + new
        self.old += [f for f in before if f not in self.facts]

    def place_of(self, fact: Fact) -> str:
        """Role of a size by its place: the first of a roll is its width."""
        sizes = self.of("dim")
        return fact.role or ("width" if sizes and sizes[0] is fact else "length")

    def fill(self, facts: Iterable[Fact], origin: str, names: Iterable[str] | None = None) -> None:
        """Take over what the line does not state itself."""
        given = [f for f in facts if names is None or f.name in set(names)]
        self._refine(given)
        mine = {f.name for f in self.facts}
        if "pair" in mine:
            mine |= {"wire_diameter"}
        if mine & set(CLOTH):
            mine |= set(CLOTH)
        form, theirs = self.value("form"), next((f.value for f in given if f.name == "form"), None)
        if theirs == "strip" and form == "roll" and all(f.role == "wound" for f in self.of("form")):
            self.facts = [f for f in self.facts if f.name != "form"]
            mine.discard("form")
            form = None
        if form is not None and theirs is not None and form != theirs:
            mine |= set(FORM)
        roles = {f.role for f in self.of("dim")}
        if roles & _ROUND and not roles & _ROUND & {f.role for f in given if f.name == "dim"}:
            mine |= {"shape", "roll_length"}
            given = [f for f in given if f.name != "dim"]
        if form is None and theirs == "roll" and {"counted", "dim"} <= mine:
            mine |= set(FORM)  # what is counted by the piece is of no roll beside it
        add = [f for f in given if f.name not in mine and f.name != "dim"]
        add += self._missing_sizes([f for f in given if f.name == "dim"], mine)
        self.facts += [replace(f, origin=f.origin or origin) for f in add]

    def _refine(self, given: list[Fact]) -> None:
        """Give up a general name of its alloy for the grade that is stated elsewhere."""
        own, theirs = self.of("alloy"), [f for f in given if f.name == "alloy"]
        if len(own) != 1 or len(theirs) != 1 or own[0].why or theirs[0].why:
            return
        if is_finer(str(theirs[0].value), str(own[0].value)):
            self.facts = [f for f in self.facts if f is not own[0]]
            self.old.append(own[0])

    def _missing_sizes(self, theirs: list[Fact], mine: set[str]) -> list[Fact]:
        if set(FORM) <= mine or not theirs:
            return []
        own = self.of("dim")
        if not own:
            return [
                f
                for f in theirs
                if not (self.has("roll_length") and len(theirs) > 1 and f is theirs[-1])
            ]
        if self.value("form") == "piece":
            roles = [f.role for f in (*own, *theirs)]
            return theirs if sorted(roles) in _TWO_SIDES else []
        have = {self.place_of(f) for f in own} | ({"length"} if self.has("roll_length") else set())
        other = Draft(facts=theirs)
        missing = [
            replace(f, role=other.place_of(f)) for f in theirs if other.place_of(f) not in have
        ]
        for place, one in enumerate(self.facts if missing else ()):
            if one.name == "dim" and not one.role:
                self.facts[place] = replace(one, role=self.place_of(one))
        return missing


#: The sides of a rectangle that are told apart from each other.
_TWO_SIDES = (["length", "width"], ["height", "width"])
#: Sizes that only round pieces have.
_ROUND = frozenset({"diameter", "od", "id"})

#: What "the same cloth" carries over, and "the same size".
SCOPES = {
    "cloth": FABRIC,
    "same size": ("form", "shape", "dim", "roll_length"),
    "same width": ("dim",),
    "same alloy": ("alloy",),
    "same wire": ("wire_diameter",),
    "same opening": ("aperture",),
    "same number": ("quantity",),
}
