"""Killed in the midst of saving, many times: it opens, and what was acknowledged is there."""

from __future__ import annotations

import os
import random
import signal
from typing import TYPE_CHECKING

import pytest
from thorough import share

from meshcore.register.entries import entry
from meshcore.register.indexing import FoundLine, Head
from meshcore.register.opening import open_register
from meshcore.register.storing import add

if TYPE_CHECKING:
    from databases import Server

ROUNDS = share(25, 100)
HEAD = Head(day="2026-11-25", sender="Bakery by the Weir")


def _save_until_killed(place: str, told: int, start: int) -> None:
    """Runs in a child: saves, and tells each number once it is saved."""
    register = open_register(place)
    number = start
    while True:
        add(register, "order", HEAD, {"n": number}, [FoundLine("1", "x", "x")] * 20,
            number=str(number))  # fmt: skip
        os.write(told, f"{number}\n".encode())
        number += 1


def _round(place: str, start: int, rng: random.Random) -> list[int]:
    read, write = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            _save_until_killed(place, write, start)
        finally:
            os._exit(1)
    os.close(write)
    told = b""
    # Killed at some moment of a later save, not when one is just told.
    after = rng.randrange(1, 4)
    spins = rng.randrange(60_000)
    with os.fdopen(read, "rb") as pipe:
        for _ in range(after):
            told += pipe.readline()
        for _ in range(spins):
            pass
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        told += pipe.read()
    return [int(line) for line in told.split()]


@pytest.mark.thorough
def test_a_writer_is_killed(place: str) -> None:
    rng = random.Random(17)
    register = open_register(place)
    register.engine.dispose()
    saved: list[int] = []
    start = 1
    for _ in range(ROUNDS):
        told = _round(place, start, rng)
        assert told, "nothing was saved before the end"
        saved += told
        # The one after may have been saved without its being told.
        start = told[-1] + 2
        again = open_register(place)
        assert entry(again, "order", str(told[-1])).body == {"n": told[-1]}
        again.engine.dispose()
    again = open_register(place)
    assert all(entry(again, "order", str(n)).body == {"n": n} for n in saved)
    if again.engine.dialect.name == "sqlite":
        with again.engine.connect() as connection:
            assert connection.exec_driver_sql("PRAGMA integrity_check").scalar() == "ok"
            held = connection.exec_driver_sql(
                "INSERT INTO word_index (word_index) VALUES ('integrity-check')"
            )
            assert held is not None
    again.engine.dispose()


def test_the_server_is_killed(postgresql: Server) -> None:
    place = postgresql.new("killed")
    saved = []
    for number in range(5):
        register = open_register(place)
        saved.append(add(register, "order", HEAD, {"n": number}).number)
        postgresql.kill()
        postgresql.start()
        assert [entry(register, "order", one).body["n"] for one in saved] == list(range(number + 1))
    register.engine.dispose()


@pytest.mark.parametrize("place", ["postgresql"], indirect=True)
def test_a_server_that_stops_is_said_and_found_again(place: str, postgresql: Server) -> None:
    from meshcore.register.errors import RecordsError  # noqa: PLC0415

    register = open_register(place)
    add(register, "order", HEAD, {})
    postgresql.kill()
    try:
        with pytest.raises(RecordsError):
            add(register, "order", HEAD, {})
    finally:
        postgresql.start()
    assert add(register, "order", HEAD, {}).number == "A2026-000002"
    register.engine.dispose()
