"""What takes back or changes lines already read."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.reading.letters import targets
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.chunks import cut_chunks
from meshcore.reading.letters.contrasts import with_contrasts
from meshcore.reading.letters.correcting import (
    as_another,
    bare_quantity,
    correct_line,
    counts_named,
    last_paragraph,
    meant_lines,
    newest_mail,
    put_in_doubt,
)
from meshcore.reading.letters.counting import count_labels
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import CLOTH, Said
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.opening import opens
from meshcore.reading.letters.passages import Passage
from meshcore.reading.letters.reading import read_passage
from meshcore.reading.letters.withdrawing import labels_to_come, takes_back_words, withdraw_lines


def change(build: Build, passage: Passage, said: Said) -> bool:  # noqa: PLR0911, PLR0912
    """Apply a passage as a withdrawal or a correction; False where it is neither."""
    if said.has("withdraw") and takes_back_words(said):
        return False
    if (
        said.has("withdraw")
        and passage.kind in ("item", "row")
        and not _names(build, passage, said)
    ):
        return True
    if said.has("withdraw") and passage.kind not in ("item", "row"):
        build.absent += labels_to_come(build, said)
    if not build.present:
        return said.has("withdraw")
    if said.has("except"):
        return False
    if (
        passage.kind in ("item", "row")
        and not said.has("withdraw")
        and passage.mail == newest_mail(build)
        and (passage.label or not _names(build, passage, said))
    ):
        return False
    own = passage.kind in ("item", "row") and passage.mail == newest_mail(build)
    refers = own and said.of("quantity") and said.has("same", "cloth")
    if refers and not said.has("correct", "withdraw", "unlike", "instead"):
        return False
    if not (said.cloth() and said.of("quantity")):
        contrasted = with_contrasts(said.items)
        if contrasted != said.items:
            said = read_passage(contrasted)
    if count_labels(build, said) or counts_named(build, said):
        return True
    if _adds(said):
        return False
    if not said.has("withdraw", "correct", "unlike", "instead") and not _names(
        build, passage, said
    ):
        return False
    clauses = _clauses(said.items)
    if len(clauses) > 1 and not passage.label:
        told = [read_passage(clause) for clause in clauses]
        if not any(_changes(build, passage, one) for one in told):
            return False
        before: list[Draft] = []
        for one in told:
            before = _named(build, passage, one) or before
            if not _apply(build, passage, one, before):
                _leave(build, passage, one)
        return True
    return _apply(build, passage, said)


def _adds(said: Said) -> bool:
    """Whether a passage of a correction asks for one more line: "add 10 discs of that"."""
    first = [i for i in said.items if i.kind == "word"][:2]
    return (
        any("also" in i.tags for i in first)
        and any(not f.weak for f in said.of("quantity"))
        and any(f.name in ("form", "shape") for f in said.facts)
        and not said.has("withdraw")
    )


def _names(build: Build, passage: Passage, said: Said) -> bool:
    return bool(_named(build, passage, said))


def _named(build: Build, passage: Passage, said: Said) -> list[Draft]:
    found: list[Draft] = []
    for _, labels, _ in targets.named_labels(said.items, build.lines):
        if passage.label and passage.label in labels:
            continue
        found += targets.by_label(labels, build.lines)
    return found


def _changes(build: Build, passage: Passage, said: Said) -> bool:
    return said.has("withdraw", "correct", "unlike", "instead") or _names(build, passage, said)


def _leave(build: Build, passage: Passage, said: Said) -> None:
    if said.facts:
        for facts, _ in cut_chunks(said):
            rest = [f for f in facts if f.name != "quantity"]
            quantities = [f for f in facts if f.name == "quantity"]
            if opens(build, passage, said, rest, quantities, False):
                build.unread.append((passage.start, passage.end, "stands among changes"))


def _clauses(items: Sequence[Item]) -> list[list[Item]]:
    """Part a sentence of changes at commas and "and", each part with a change or a line of its own."""  # noqa: E501
    parts: list[list[Item]] = [[]]
    for n, item in enumerate(items):
        stop = item.text in ",;!:" or (
            item.text == "." and not (n + 1 < len(items) and items[n + 1].kind == "num")
        )
        if item.text == ":" and n > 1 and "item" in items[n - 2].tags:
            stop = False
        cut = (item.kind == "mark" and stop) or ("and" in item.tags and item.kind == "word")
        between_labels = (
            n
            and n + 1 < len(items)
            and items[n - 1].kind == "num"
            and items[n + 1].kind == "num"
            and not items[n - 1].unit
            and not items[n + 1].unit
        )
        if cut and not between_labels:
            parts.append([])
        else:
            parts[-1].append(item)
    merged: list[list[Item]] = []
    for part in parts:
        tags = {tag for item in part for tag in item.tags}
        own = {"withdraw", "correct", "unlike", "instead"} & tags or (
            any("item" in i.tags for i in part) and len(part) > 1
        )
        if own or not merged:
            merged.append(list(part))
        else:
            merged[-1] += part
    if (
        len(merged) > 1
        and not any({"withdraw", "correct", "unlike"} & i.tags.keys() for i in merged[0])
        and not any("item" in i.tags for i in merged[0])
    ):
        merged[1] = merged[0] + merged[1]
        merged.pop(0)
    return [part for part in merged if part]


def _apply(  # noqa: PLR0911
    build: Build, passage: Passage, said: Said, before: Sequence[Draft] = ()
) -> bool:
    named = _named(build, passage, said)
    if not named and not said.cloth() and said.has("unlike", "correct"):
        named = [line for line in before if not line.gone]
    if said.has("withdraw"):
        return withdraw_lines(build, said, named)
    if (
        passage.kind in ("item", "row")
        and (passage.label or not named)
        and passage.mail == newest_mail(build)
    ):
        return False
    facts = [f for f in said.facts if not (f.name == "quantity" and f.weak)]
    if named and said.has("same") and facts and not said.has("correct"):
        return as_another(build, said, facts)
    if not named and not said.has("correct", "unlike", "instead"):
        return False
    if (
        not named
        and passage.mail == newest_mail(build)
        and passage.paragraph == last_paragraph(build)
        and not said.has("unlike")
        and any(f.name in CLOTH for f in facts)
    ):
        return False
    if not facts and not said.has("unlike") and not bare_quantity(said, build.lines):
        return bool(named)
    lines = named or meant_lines(build, passage, said, facts)
    if not lines:
        put_in_doubt(build, passage, said, facts)
        return False
    for line in lines:
        correct_line(line, said, facts, build.lines)
    return True
