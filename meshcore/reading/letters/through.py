"""A letter read from its first passage to its last."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.accounting import (
    Account,
    find_unread,
    ignore_blanked,
    ignore_said,
)
from meshcore.reading.letters.answers import answer, with_question
from meshcore.reading.letters.asking_back import (
    answer_beside,
    answered_lines,
    is_the_mill,
    quoted_questions,
    what_follows,
)
from meshcore.reading.letters.assemble import take
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.conflicts import ask_conflicts, ask_doubtful, ask_numbered
from meshcore.reading.letters.course import Course, items_of, listed
from meshcore.reading.letters.facts import FABRIC, Said
from meshcore.reading.letters.finish import finish
from meshcore.reading.letters.finished import Finished
from meshcore.reading.letters.found import Found
from meshcore.reading.letters.header import find_header
from meshcore.reading.letters.header_references import without_references
from meshcore.reading.letters.heads import take_head
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.last_look import look_again
from meshcore.reading.letters.lexicon import Lexicon
from meshcore.reading.letters.misplaced import misplaced
from meshcore.reading.letters.never import without_never
from meshcore.reading.letters.ordering import changes_last
from meshcore.reading.letters.passage import Passage
from meshcore.reading.letters.passages import cut_passages
from meshcore.reading.letters.per_set import sets_ordered, times_lines, times_sets
from meshcore.reading.letters.reading import read_passage
from meshcore.reading.letters.refused_work import declined_at_once
from meshcore.reading.letters.remainders import changes_left, taken_back_still
from meshcore.reading.letters.resolve import customs_of
from meshcore.reading.letters.restated import question_of, restate_asked
from meshcore.reading.letters.rows import read_row
from meshcore.reading.letters.settling import settle
from meshcore.reading.letters.several import of_several
from meshcore.reading.letters.stacks import told_by_rows
from meshcore.reading.letters.subjects import by_subject
from meshcore.reading.letters.swapping import swaps
from meshcore.reading.letters.ticked import without_unticked
from meshcore.reading.letters.told_use import note_uses
from meshcore.reading.letters.two_cloths import in_cloths
from meshcore.reading.letters.vague import ask_vague
from meshcore.reading.letters.work_said import answers_itself, asks_itself

#: A letter is read up to so many lines (our choice: a list is read as a list); the rest is said
#: to be unread.
MOST_LINES = 500


def read_through(  # noqa: PLR0912
    plain: str, words: Lexicon, spaced: bool
) -> tuple[list[Finished], Build, Account, dict[str, Found | None]]:
    """Read a letter's plain text to finished lines, and give account of the rest.

    Parameters
    ----------
    plain, words
        The text in plain signs, and the words of its language.
    spaced
        Whether a space may part thousands.
    """
    account = Account(bytearray(len(plain)))
    plain = without_unticked(plain, account.ignore)
    body, passages = cut_passages(plain, words)
    ignore_blanked(account, plain, body, "the head, the quoting or the end of a mail")
    header = find_header(plain, body)
    for found in header.values():
        if found is not None:
            account.take(found.start, found.end)
    kept = without_references(body)
    ignore_blanked(account, body, kept, "a reference")
    body = without_never(kept, account.ignore)
    course = Course(body, words, spaced, plain.isupper(), Build(), account, [], {}, [])
    course.labels = frozenset(one.label for one in passages if one.label)
    course.named = frozenset(one.word for one in passages if one.word)
    passages = listed(course, passages)
    passages = changes_last(passages, course.body, lambda one: read_passage(items_of(course, one)))
    asked = quoted_questions(passages, body)
    course.beside = answered_lines(passages)
    for n, passage in enumerate(passages):
        if len(course.build.lines) >= MOST_LINES:
            end = passages[-1].end
            course.build.unread.append((passage.start, end, f"after {MOST_LINES} lines"))
            break
        if passage.start in asked:
            restate_asked(course, passage)
        if passage.start in asked or (passage.speaker and is_the_mill(passage.speaker, words)):
            course.question = items_of(course, passage) if passage.speaker else []
            account.ignore(passage.start, passage.end, "the mill's own words")
        elif passage.cells:
            _row(course, passage, what_follows(passages, n))
        else:
            _prose(course, passage, asked.get(-passage.start), what_follows(passages, n))
    build = course.build
    for asking, said in course.itself:
        take(build, asking, said)
    settle(build)
    customs = customs_of(course.every)
    done = [finish(line, customs) for line in build.present]
    note_uses(build.present, done, body)
    _ask(build, done)
    taken = {f.start for line in build.lines for f in (*line.facts, *line.old)}
    still = taken_back_still(build, account.read) + misplaced(build, account.read)
    for line, one in zip(build.present, done, strict=True):
        for doubted, open_names, reason in still:
            if doubted is line:
                ask_doubtful(one, open_names, reason)
    left = changes_left(build, account.read, taken)
    for line, one in zip(build.present, done, strict=True):
        for names, why, mail in left:
            if line.mail <= mail:
                ask_doubtful(one, names, why)
    ask_vague(done, [line.start for line in build.present], account.read)
    facts = [f for one in done for _, f in one.evidence]
    build.unread += find_unread(account, plain, build, facts, passages)
    look_again(done, account.read, lambda start, end: not account.is_taken(start, end))
    return done, build, account, header


def _ask(build: Build, done: Sequence[Finished]) -> None:
    """Ask about what lines state against themselves, and what was left in doubt."""
    ask_numbered(done)
    for line, one in zip(build.present, done, strict=True):
        ask_conflicts(one)
        for names, why in (*build.doubtful, *line.doubts):
            ask_doubtful(one, names, why)


def _row(course: Course, passage: Passage, followed: str) -> None:
    said, items = read_row(course.body, passage.cells, course.words, course.above, course.spaced)
    course.every += items
    _note(course, passage, said)
    if said.has("withdraw") or any(f.name == "quantity" and not f.value for f in said.facts):
        course.account.ignore(passage.start, passage.end, "withdrawn")
        return
    open_sizes = not said.of("quantity") and not said.of("dim")
    if followed == "list" and said.cloth() and open_sizes and not course.build.present:
        take_head(course.build, said, followed)
        return
    take(course.build, passage, said)


def _prose(  # noqa: PLR0911, PLR0912
    course: Course, passage: Passage, before: Passage | None, followed: str
) -> None:
    course.above = {}
    items = items_of(course, passage)
    if _take_several(course, passage, items):
        return
    course.every += items
    said = read_passage(items, passage.kind == "item")
    if passage.start in course.alike:
        told_by_rows(said, course.alike[passage.start])
    exchanged = swaps(course.build, passage, said)
    if exchanged is not None:
        said, start, end = exchanged
        items = said.items
        course.account.ignore(start, end, "two lines change places in it")
    times_sets(said, course.build.sets)
    ordered = sets_ordered(items) if said.has("quote") else []
    course.build.sets += ordered
    times_lines(course.build.present, ordered)
    _note(course, passage, said)
    words = course.body[max(passage.start, passage.body) : passage.end]
    itself, course.itself = course.itself, []
    for asking, asked in itself:
        if answers_itself(course.build, asked, said, words):
            return
        take(course.build, asking, asked)
    if declined_at_once(course.build, said, course.body, passage.end):
        return
    question = course.question
    if before is not None:
        question = question_of(course, before)
    if question:
        with_question(question, said)
    if before is None and not question and asks_itself(said, words):
        course.itself = [(passage, said)]
        return
    counts = any(not f.weak for f in said.of("quantity"))
    whole = said.cloth() and (said.of("quantity") or (said.of("wire_diameter") and said.of("dim")))
    if _only_asks(words, passage) and not counts and not whole:
        course.question = []
        course.pending = [f for f in said.facts if f.name in FABRIC]
        return
    if course.pending and counts and not said.cloth() and not said.has("same", "cloth"):
        said.facts = [replace(f, origin="the question before") for f in course.pending] + said.facts
    course.pending = []
    short = not (said.cloth() or said.of("quantity")) or before is not None
    course.question = []
    about = course.restated.get(before.start, []) if before is not None else []
    if question and short and answer(course.build, question, said, about):
        return
    if answer_beside(course.build, course.beside.get(passage.start), said):
        return
    for told in by_subject(passage, said, len(course.build.present)):
        take(course.build, passage, told, followed)
    course.build.answered = []


def _take_several(course: Course, passage: Passage, items: list[Item]) -> bool:
    """Take a passage that gives several lines a value each; False where it speaks of one."""
    known = {line.label for line in course.build.lines if line.label} | course.labels
    parts = of_several(items, known) if not passage.speaker else []
    told = [(label, part, read_passage(part, True)) for label, part in parts]
    told = told or ([] if passage.speaker else in_cloths(items))
    if not told or not all(said.cloth() or said.has("same", "cloth") for _, _, said in told):
        return False
    for label, part, said in told:
        course.every += part
        _note(course, passage, said)
        one = replace(passage, kind="item", label=label or passage.label)
        take(course.build, one, said)
    return True


#: How a question begins that asks the mill for what it knows, and orders nothing.
_ASKS = re.compile(
    r"(?i)^\s*(?:\(?\w{1,3}[.)]\)?\s+)?(?:(?:also|and|und|et|y)[, ]+)?(?:do|does|is|are|when|what|which|how|why|have you|has|did|führen|haben|hat|ist|sind|wann|was|welche"  # noqa: E501
    r"|can you cut|could you cut|can we|can it|can they|could it"
    r"|avez|est-ce|quand|quel|quelle|tienen?|cuándo|qué|cuál)\b"
)


#: How a question begins in a chat, where its mark may be left out.
_ASKS_IN_CHAT = re.compile(
    r"(?i)^\s*(?:do|does|did|are|is|shall|should|will) (?:the|they|we|it|these|those)\b"
)


def _only_asks(text: str, passage: Passage) -> bool:
    if passage.speaker and _ASKS_IN_CHAT.match(text):
        return True
    return text.rstrip().endswith("?") and bool(_ASKS.match(text))


def _note(course: Course, passage: Passage, said: Said) -> None:
    labels = {line.label for line in course.build.lines if line.label}
    ignore_said(course.account, passage, said, labels)
