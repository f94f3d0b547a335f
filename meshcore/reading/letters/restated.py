"""Lines that a question of the mill says over again."""

from __future__ import annotations

from dataclasses import replace

from meshcore.reading.letters.asking_back import restated_goods, restated_line
from meshcore.reading.letters.assemble import take
from meshcore.reading.letters.course import Course
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.items import cut_items
from meshcore.reading.letters.passage import Passage
from meshcore.reading.letters.reading import read_passage


def restate_asked(course: Course, passage: Passage) -> None:
    """Take the line that a question of the mill says over again, where the letter has it nowhere."""  # noqa: E501
    low = passage.start
    found = restated_line(course.body[low : passage.end])
    if found is None:
        _restate_goods(course, passage)
        return
    if any(line.label == found[0] for line in course.build.lines):
        return
    start, end = low + found[1], low + found[2]
    items = cut_items(course.body, course.words, start, end, course.spaced, course.capitals)
    said = read_passage(items, True)
    if said.of("quantity") and (said.cloth() or said.of("dim")):
        course.every += items
        one = replace(passage, kind="item", label=found[0], start=start, end=end, body=start)
        take(course.build, one, said)


def _restate_goods(course: Course, passage: Passage) -> None:
    """Take goods that a question of the mill says over again, where no older mail asks for them."""
    low = passage.start
    found = restated_goods(course.body[low : passage.end])
    older = [line for line in course.build.present if line.mail < passage.mail]
    if found is None or older:
        return
    start, end = low + found[0], low + found[1]
    items = cut_items(course.body, course.words, start, end, course.spaced, course.capitals)
    said = read_passage(items, True)
    formed = any(f.name in ("form", "shape") for f in said.facts)
    if not formed or not any(not f.weak for f in said.of("quantity")):
        return
    if not (said.cloth() or said.of("dim")):
        return
    course.every += items
    before = len(course.build.lines)
    one = replace(passage, kind="item", label="", start=start, end=end, body=start)
    take(course.build, one, said)
    course.restated[passage.start] = course.build.lines[before:]


def question_of(course: Course, before: Passage) -> list[Item]:
    """Words of a question, without the line that it says over again."""
    text = course.body[before.start : before.end]
    line = restated_line(text)
    found = line[1:] if line is not None else restated_goods(text)
    items = cut_items(course.body, course.words, before.start, before.end)
    if found is None or (line is None and before.start not in course.restated):
        return items
    start, end = before.start + found[0], before.start + found[1]
    return [i for i in items if not start <= i.start < end]
