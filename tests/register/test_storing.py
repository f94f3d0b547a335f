"""What is filed comes back, nothing is overwritten, and writers do not lose each other's work."""

from __future__ import annotations

import multiprocessing
from datetime import UTC, datetime

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from meshcore.register.connecting import Register
from meshcore.register.entries import children, entry
from meshcore.register.errors import ChangedMeanwhileError, RecordsError
from meshcore.register.indexing import FoundLine, Head
from meshcore.register.opening import open_register
from meshcore.register.storing import add, mark_as, revise

HEAD = Head(day="2026-11-25", sender="Corrie Top Observatory", reference="CTO/2026/51",
            title="panels", currency="EUR", digits=2, total_minor=123456)  # fmt: skip


def test_what_is_filed_comes_back(register: Register) -> None:
    made = add(register, "quotation", HEAD, {"price": 1, "text": "a\0b \ud800 µ"}, who="Ada")
    assert made.number == "Q2026-000001"
    again = entry(register, "quotation", made.number)
    assert again == made
    assert (again.head, again.state, again.version) == (HEAD, "draft", 1)
    assert again.body == {"price": 1, "text": "a\0b \ud800 µ"}
    [change] = again.changes
    assert (change.who, change.what) == ("Ada", "saved")
    assert abs((datetime.now(UTC) - change.at).total_seconds()) < 60


def test_numbers_follow_one_another_within_a_year_and_a_kind(register: Register) -> None:
    numbers = [add(register, "quotation", HEAD, {}).number for _ in range(3)]
    numbers += [add(register, "order", HEAD, {}).number]
    numbers += [add(register, "quotation", Head(day="2027-01-02"), {}).number]
    assert numbers == [
        "Q2026-000001", "Q2026-000002", "Q2026-000003", "A2026-000001", "Q2027-000001",
    ]  # fmt: skip


def test_a_number_that_is_taken_is_refused(register: Register) -> None:
    add(register, "order", HEAD, {"first": True}, number="77")
    with pytest.raises(RecordsError, match="on file already"):
        add(register, "order", HEAD, {}, number="77")
    assert entry(register, "order", "77").body == {"first": True}


def test_a_revision_keeps_what_was_before(register: Register) -> None:
    first = add(register, "quotation", HEAD, {"price": 1})
    sent = mark_as(register, first, "sent", "by mail")
    revised = Head(day="2026-11-26", revision=2, total_minor=99)
    second = revise(register, sent, revised, {"price": 2}, note="cheaper wire")
    assert (second.head.revision, second.body, second.state) == (2, {"price": 2}, "draft")
    assert entry(register, "quotation", first.number, 1).body == {"price": 1}
    assert [c.what for c in second.changes] == ["saved", "sent", "saved"]
    with pytest.raises(RecordsError, match="no revision 3"):
        entry(register, "quotation", first.number, 3)


def test_whoever_comes_second_is_told_and_loses_nothing(register: Register) -> None:
    opened = add(register, "quotation", HEAD, {"price": 1})
    mark_as(register, opened, "sent", who="Ada")
    with pytest.raises(ChangedMeanwhileError, match="changed by Ada"):
        revise(register, opened, HEAD, {"price": 2}, who="Grace")
    with pytest.raises(ChangedMeanwhileError, match="Open it again"):
        mark_as(register, opened, "lost")
    assert entry(register, "quotation", opened.number).body == {"price": 1}


@pytest.mark.parametrize(
    "deed", ["UPDATE changes SET who = 'nobody'", "DELETE FROM changes", "DELETE FROM items"]
)
def test_the_database_itself_keeps_what_happened(register: Register, deed: str) -> None:
    made = add(register, "quotation", HEAD, {"price": 1}, who="Ada")
    with pytest.raises(DBAPIError, match="only added to"), register.engine.begin() as connection:
        connection.execute(text(deed))
    assert entry(register, "quotation", made.number).changes[0].who == "Ada"


def test_what_came_from_a_thing(register: Register) -> None:
    quoted = add(register, "quotation", HEAD, {})
    orders = [add(register, "order", HEAD, {"n": n}, parent=quoted.id) for n in range(2)]
    add(register, "label", HEAD, {}, parent=orders[0].id)
    assert children(register, quoted, "order") == orders


def test_what_is_not_there_is_said(register: Register) -> None:
    with pytest.raises(RecordsError, match="no quotation Q9 is on file"):
        entry(register, "quotation", "Q9")


def test_a_broken_change_leaves_nothing(register: Register) -> None:
    with pytest.raises(TypeError):
        add(register, "quotation", HEAD, {"price": object()})
    assert add(register, "quotation", HEAD, {}).number == "Q2026-000001"


#: Writers at once and what each saves: a thousand in all.
WRITERS, SAVES = 8, 125


def _write(place: str, writer: int) -> None:
    register = open_register(place)
    for number in range(SAVES):
        add(register, "quotation", HEAD, {"writer": writer, "number": number},
            [FoundLine("1", "a line", "line")])  # fmt: skip


def test_eight_writers_at_once_lose_nothing(place: str) -> None:
    context = multiprocessing.get_context("spawn")
    # Some find the register not there yet, and make it at the same time.
    writers = [context.Process(target=_write, args=(place, n)) for n in range(WRITERS)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    assert [writer.exitcode for writer in writers] == [0] * WRITERS
    register = open_register(place)
    bodies = [
        entry(register, "quotation", f"Q2026-{n:06d}").body for n in range(1, WRITERS * SAVES + 1)
    ]
    assert sorted((b["writer"], b["number"]) for b in bodies) == [
        (writer, number) for writer in range(WRITERS) for number in range(SAVES)
    ]


def _raise(place: str, number: str, times: int) -> None:
    register = open_register(place)
    raised = 0
    while raised < times:
        opened = entry(register, "quotation", number)
        try:
            revise(register, opened, HEAD, {"count": opened.body["count"] + 1})
            raised += 1
        except ChangedMeanwhileError:
            continue


def test_of_two_changes_to_one_thing_neither_is_lost(place: str) -> None:
    made = add(open_register(place), "quotation", HEAD, {"count": 0})
    context = multiprocessing.get_context("spawn")
    writers = [context.Process(target=_raise, args=(place, made.number, 20)) for _ in range(3)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    last = entry(open_register(place), "quotation", made.number)
    assert (last.body, last.version) == ({"count": 60}, 61)
