"""What is asked of a cloth: the use, its figures and the alloy, as read from what was typed."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from meshcore.alloys.record import Alloy
from meshcore.alloys.records.registry import Registry, installed_registry, may_mean, resolve
from meshcore.messages import Message, Severity
from meshcore.reading.texts import is_blank
from meshcore.reading.vocabulary import fold, words
from meshcore.uses.catalogue import STATEMENTS, read_use
from meshcore.uses.doubting import doubts, sieves_taken
from meshcore.uses.figures import Figure, Value, read_figures
from meshcore.uses.sentences.reading import Said, read_sentence
from meshcore.uses.statement import Metal, Statement, number, rusts

_MPA = 1e6
_MISSING = "use.figure_missing"


@dataclass(frozen=True, slots=True)
class AskedUse:
    """A use as read.

    Parameters
    ----------
    statement, figures
        The use, and its figures.
    alloy, metal
        The wire's alloy, and what the use needs to know of it.
    alloy_reason
        Why this alloy, where none was named; empty where one was.
    told
        Notes: what of a sentence is not used, and what was taken of it.
    complete
        Whether every figure that is needed is given.
    weaves, no_weaves
        Weaves that a sentence names, and those that it says it is not.
    """

    statement: Statement
    figures: Mapping[str, Value]
    alloy: str
    metal: Metal
    alloy_reason: str = ""
    told: tuple[Message, ...] = ()
    complete: bool = True
    weaves: tuple[str, ...] = ()
    no_weaves: tuple[str, ...] = ()


def read_asked(
    use: str, texts: Mapping[str, str], alloy: str, cloth_given: bool = False
) -> AskedUse | tuple[Message, ...]:
    """Read a use, its figures and the alloy; or say what cannot be.

    Of a cloth that is given, some uses need no figure; see `Statement.tells_alone`.
    """
    statement = read_use(use)
    if isinstance(statement, Message):
        return (statement,)
    # The bare name of a use says nothing else: "insects" are not flies.
    said = Said({}, "", ()) if fold(use) in STATEMENTS else read_sentence(statement, use)
    values, wrong = read_figures(statement.figures, {**said.figures, **texts})
    lacking = any(one.code == _MISSING for one in wrong)
    if cloth_given and statement.tells_alone:
        wrong = tuple(one for one in wrong if one.code != _MISSING)
        left_out: dict[str, Value] = {one.name: math.nan for one in statement.figures}
        values = left_out | values
    named = alloy or said.alloy
    foreign = tuple(_foreign(statement, said, texts, values))
    unheld = tuple(one for one in foreign if one.severity == "refused")
    wrong = (*said.refused, *unheld, *wrong)
    wrong = wrong or _unused(values) or _denied_default(statement, said, texts)
    if wrong:
        return (*wrong, *said.told)
    usual, why = statement.alloy_for(values)
    registry = installed_registry()
    found = resolve(registry, named or usual)
    general: tuple[Message, ...] = ()
    if isinstance(found, Message) and not alloy:
        found, general = _of_general(statement, usual, found, registry)
    if isinstance(found, Message):
        return (found, *said.told)
    if not named and found in [resolve(registry, text) for text in said.denied]:
        mend = f"{usual} is usual, and it is not wanted. Name the alloy."
        return (Message("alloy", usual, mend, code="use.alloy_denied"), *said.told)
    one = registry.alloys[found]
    return AskedUse(statement, values, one.designation, metal_of(one), "" if named else why,
                    (*said.told, *_of_figures(statement, values, {**said.figures, **texts}),
                     *_ill_suited(statement, values, one, bool(named)), *general, *foreign),
                    not lacking, said.weaves, _weaves_of(said.denied))  # fmt: skip


def _weaves_of(denied: tuple[str, ...]) -> tuple[str, ...]:
    named = (words("weave").get(fold(text), "") for text in denied)
    return tuple(dict.fromkeys(name for name in named if name))


def _of_general(
    statement: Statement, usual: str, asked: Message, registry: Registry
) -> tuple[int | Message, tuple[Message, ...]]:
    """Take, of a name that several alloys share, the one that is usual for the use, and say so."""
    shared = may_mean(registry, asked.read)
    for name in (usual, *statement.alloys):
        found = resolve(registry, name)
        if isinstance(found, int) and found in shared:
            text = f"said of several alloys: {name} is taken, as is usual here. Name the grade."
            return found, (Message("alloy", asked.read, text, "review", code="use.alloy_general"),)
    return asked, ()


def _foreign(
    statement: Statement, said: Said, texts: Mapping[str, str], values: Mapping[str, Value]
) -> Iterator[Message]:
    """Say which words are of a figure and none of its choices: refused where they decide."""
    for one in statement.figures:
        word = said.foreign.get(one.name, "")
        if not word or not is_blank(str(texts.get(one.name, ""))):
            continue
        decides = "speed" in values and not math.isnan(number(values, "speed"))
        what = (
            "for which alone this is computed. Name the nearest of them, or leave the speed out."
            if decides
            else "and not used: nothing hangs on it without a speed, but the alloy: check that."
        )
        text = f"not one of {', '.join(one.choices)}, {what}"
        severity: Severity = "refused" if decides else "review"
        yield Message(one.name, word, text, severity, code="use.foreign_choice")


def _of_figures(
    statement: Statement, values: Mapping[str, Value], texts: Mapping[str, str]
) -> tuple[Message, ...]:
    return (
        *sieves_taken(statement.figures, values, texts),
        *doubts(statement.figures, values, texts),
    )


def _denied_default(
    statement: Statement, said: Said, texts: Mapping[str, str]
) -> tuple[Message, ...]:
    """Ask for figures that are denied to be what is taken where nothing is said."""
    denied = {_close(text) for text in said.denied}
    return tuple(
        Message(one.name, one.default, _asked_again(one), code="use.default_denied")
        for one in statement.figures
        if _close(one.default) in denied
        and one.name not in said.figures
        and is_blank(str(texts.get(one.name, "")))
    )


def _asked_again(one: Figure) -> str:
    others = ", ".join(choice for choice in one.choices if choice != one.default)
    mend = f"Write one of: {others}." if others else f'Write it as "{one.example}".'
    return f"taken where nothing is said, and the sentence says that it is not this. {mend}"


def _close(text: str) -> str:
    return fold(text).replace(" ", "")


def _ill_suited(
    statement: Statement, values: Mapping[str, Value], alloy: Alloy, named: bool
) -> tuple[Message, ...]:
    """Doubt an alloy that was named and that rusts where the use is wet."""
    if not (named and statement.is_wet(values) and rusts(alloy.family)):
        return ()
    usual, why = statement.alloy_for(values)
    text = f"it rusts where this is wet. {usual} is usual: {why}. Check the service."
    return (Message("alloy", alloy.designation, text, "review", code="use.alloy_rusts"),)


def _unused(values: Mapping[str, Value]) -> tuple[Message, ...]:
    """Name figures that were given and say nothing without another."""

    def given(name: str) -> bool:
        return name in values and not math.isnan(number(values, name))

    return tuple(
        Message(lacking, "", f"{what} says nothing without it. {mend}", code="use.figure_unused")
        for name, lacking, what, mend in _NOTHING_WITHOUT
        if given(name) and not given(lacking)
    )


#: Figure → what it says nothing without, and how that is mended.
_NOTHING_WITHOUT = (
    ("most_drop", "speed", "a pressure drop at most", 'Write it as "2 m/s".'),
    ("load", "factor", "a load to carry", "Write how many times the load the cloth is to break at, "
     'from the code or the engineer who answers for it, as "5"; or state a breaking load.'),
    ("factor", "load", "a factor", 'Write the load to carry, as "4 kN/m".'),
)  # fmt: skip


def metal_of(alloy: Alloy) -> Metal:
    """Return what a use needs to know of an alloy."""
    low, high = alloy.tensile_mpa
    return Metal((low * _MPA, high * _MPA), alloy.density_kg_m3, alloy.family)
