"""What takes back or changes lines already read."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.reading.letters import targets
from meshcore.reading.letters.aims import aim_of
from meshcore.reading.letters.amending import amend, amend_lines
from meshcore.reading.letters.amending_all import amend_all
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.chunks import cut_chunks
from meshcore.reading.letters.clause_kinds import adds, headed_out, is_further, of_other_form
from meshcore.reading.letters.clauses import cut_clauses
from meshcore.reading.letters.contrasts import with_contrasts
from meshcore.reading.letters.copying import as_placed, keep_only, keep_placed
from meshcore.reading.letters.correcting import (
    as_another,
    bare_quantity,
    correct_line,
    counts_named,
    doubt_some,
    last_paragraph,
    meant_lines,
    newest_mail,
    own_lines,
    put_in_doubt,
)
from meshcore.reading.letters.counting import count_labels, count_named
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import CLOTH, FABRIC, Said
from meshcore.reading.letters.following import (
    adds_to_line,
    cloths_of,
    doubt_followers,
    follow,
    told_of_others,
)
from meshcore.reading.letters.opening import opens
from meshcore.reading.letters.passage import Passage
from meshcore.reading.letters.pointed_at import says_how, sets_counts, speaks_of_lines
from meshcore.reading.letters.reading import read_passage
from meshcore.reading.letters.recounting import point
from meshcore.reading.letters.said_again import (
    apply_again,
    restore,
    retract,
    said_again,
    with_old,
)
from meshcore.reading.letters.said_of_lines import answers_above, of_own, restates
from meshcore.reading.letters.withdrawing import labels_to_come, takes_back_words, withdraw_lines


def change(build: Build, passage: Passage, said: Said) -> bool:
    """Apply a passage as a withdrawal or a correction; False where it is neither."""
    if build.present and adds_to_line(build, said):
        return True
    alone, others = told_of_others(build, said)
    before = cloths_of(build)
    done = _change(build, passage, alone)
    if done and others:
        follow(others, alone)
    elif done:
        doubt_followers(build, said, before)
    return done


def _change(  # noqa: PLR0911, PLR0912, PLR0915
    build: Build, passage: Passage, said: Said
) -> bool:
    if said.has("withdraw") and takes_back_words(said):
        return False
    if said.has_any("retract") and not said.facts:
        return retract(build, passage, said)
    relabelled = with_old(said) if passage.label else said
    again = said_again(build, passage, relabelled)
    if again:
        return apply_again(build, relabelled, again)
    listed = passage.kind in ("item", "row") or headed_out(said)
    if said.has("withdraw") and listed and not _names(build, passage, said):
        return True
    if said.has("withdraw") and passage.kind not in ("item", "row"):
        build.absent += labels_to_come(build, said)
    if said.has_any("restore"):
        restore(build, passage, said)
    if not build.present:
        return said.has("withdraw")
    if keep_placed(build, said) or doubt_some(build, passage, said):
        return True
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
    if is_further(said):
        return False
    if of_own(build, passage, said):
        return True
    if not (said.cloth() and said.of("quantity")):
        contrasted = with_contrasts(said.items)
        if contrasted != said.items:
            said = read_passage(contrasted)
    if count_labels(build, said) or count_named(build, said) or counts_named(build, said):
        return True
    if adds(said) or of_other_form(build, said):
        return False
    if restates(build, passage, said):
        return True
    if says_how(build, passage, said):
        return True
    if said.apart and sets_counts(build, passage, said):
        return True
    if speaks_of_lines(build, passage, said) and amend(build, passage, said):
        return True
    if answers_above(build, passage, said):
        return True
    marked = said.has("withdraw", "correct", "unlike", "instead") or said.has_any("restore")
    later = passage.mail > newest_mail(build)
    if (marked or later) and len(cut_clauses(said.items, build)) < 2 and amend_all(build, said):  # noqa: PLR2004
        return True
    if not marked and not _names(build, passage, said):
        return False
    clauses = cut_clauses(said.items, build)
    if len(clauses) > 1 and not passage.label:
        told = [read_passage(clause) for clause in clauses]
        if not any(_changes(build, passage, one) for one in told):
            return False
        before: list[Draft] = []
        for one in told:
            if keep_only(build, one) or as_placed(build, one) or amend_all(build, one):
                continue
            if adds(one) or of_other_form(build, one):
                _leave(build, passage, one)
                continue
            named = list(aim_of(one, build.present, build.lines, passage.label).lines)
            if not named and one.has("unlike") and not one.has("withdraw"):
                named = meant_lines(build, passage, one, one.facts)
            done = _amends(build, passage, one) or _amends_more(build, one, before)
            before = named or before
            point(build, before)
            if not (done or _apply(build, passage, one, before)):
                _leave(build, passage, one)
        return True
    if keep_only(build, said) or as_placed(build, said):
        return True
    point(build, list(aim_of(said, build.present, build.lines, passage.label).lines))
    return _amends(build, passage, said) or _apply(build, passage, said)


def _amends_more(build: Build, said: Said, before: Sequence[Draft]) -> bool:
    """Apply a clause that points at no line to those before, or to all: "all in 304"."""
    if said.has("withdraw") or aim_of(said, build.present, build.lines).lines:
        return False
    facts = [f for f in said.facts if not (f.name == "quantity" and f.weak)]
    if said.has("all") and facts and not any(f.name in ("quantity", "dim") for f in facts):
        forms = [f for f in facts if f.name in ("form", "shape")]
        return amend_lines(build, said, targets.by_facts(forms, build.present) or build.present)
    lines = [line for line in before if not line.gone]
    if targets.by_order(said, build.present):
        return False
    if said.has("correct") and facts and {f.name for f in facts} <= set(FABRIC):
        ids = {id(line) for line in lines}
        lines += [one for one in build.present if id(one.clothed_by) in ids]
        return bool(lines) and amend_lines(build, said, lines)
    told = said.has("unlike") or (said.has("quote") and not said.facts)
    return told and bool(lines) and amend_lines(build, said, lines)


def _amends(build: Build, passage: Passage, said: Said) -> bool:
    """Apply a clause to lines that it points at, where it is no reference to another line."""
    if adds(said) or said.has("same", "cloth"):
        return False
    if passage.label and passage.mail == newest_mail(build):
        return False
    return amend(build, passage, said)


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
    """Keep a clause among changes that asks for a line of its own, or say that it is unread."""
    counted = any(not f.weak for f in said.of("quantity"))
    formed = any(f.name in ("form", "shape") for f in said.facts)
    sized = said.cloth() or bool(said.of("dim")) or said.has("same", "cloth")
    changes = said.has("withdraw", "correct", "unlike", "instead")
    named = any(targets.by_label(one, build.lines) for _, one, _ in _labels(build, said))
    if counted and formed and (sized or named) and not changes:
        build.left.append(said)
        return
    build.open_clause = build.open_clause or bool(said.facts)
    for facts, _ in cut_chunks(said) if said.facts else []:
        rest = [f for f in facts if f.name != "quantity"]
        quantities = [f for f in facts if f.name == "quantity"]
        if opens(build, passage, said, rest, quantities, False):
            build.unread.append((passage.start, passage.end, "stands among changes"))


def _labels(build: Build, said: Said) -> list[tuple[int, list[str], int]]:
    return targets.named_labels(said.items, build.lines)


def _apply(  # noqa: PLR0911
    build: Build, passage: Passage, said: Said, before: Sequence[Draft] = ()
) -> bool:
    named = _named(build, passage, said)
    if not named and not said.cloth() and said.has("unlike", "correct"):
        named = [line for line in before if not line.gone]
    if said.has("withdraw"):
        own = own_lines(build, passage, said)
        return withdraw_lines(build, said, named or own, passage.mail)
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
