"""A backup restores into either database, whole or not at all."""

from __future__ import annotations

import gzip
from collections.abc import Callable
from pathlib import Path

import pytest

from meshcore.register.connecting import Register
from meshcore.register.copying import backup, restore
from meshcore.register.entries import entry
from meshcore.register.errors import RecordsError
from meshcore.register.finding import find
from meshcore.register.indexing import FoundLine, Head
from meshcore.register.storing import add, mark_as, revise

HEAD = Head(day="2026-11-25", sender="Bakery by the Weir", reference="E-1")


@pytest.fixture
def filled(register: Register) -> Register:
    for number in range(3):
        made = add(register, "quotation", HEAD, {"n": number}, [FoundLine("1", "ten", "ten")])
    sent = mark_as(register, made, "sent")
    revise(register, sent, HEAD, {"n": "two"})
    return register


def test_all_comes_back_in_either_database(
    filled: Register, another: Callable[[], Register], tmp_path: Path
) -> None:
    path = tmp_path / "b.jsonl.gz"
    assert backup(path, filled) == 5
    copy = another()
    assert restore(path, copy) == 5
    for number in ("Q2026-000001", "Q2026-000003"):
        assert entry(copy, "quotation", number) == entry(filled, "quotation", number)
    assert find(copy, "bakery") == find(filled, "bakery")
    assert add(copy, "quotation", HEAD, {}).number == "Q2026-000004"


def test_nothing_is_put_into_a_register_that_holds_something(
    filled: Register, tmp_path: Path
) -> None:
    path = tmp_path / "b.jsonl.gz"
    backup(path, filled)
    with pytest.raises(RecordsError, match="not empty"):
        restore(path, filled)
    with pytest.raises(RecordsError, match="there already"):
        backup(path, filled)


@pytest.mark.parametrize("keep", [0.0, 0.5, 0.9])
def test_a_backup_that_breaks_off_is_refused_whole(
    filled: Register, another: Callable[[], Register], tmp_path: Path, keep: float
) -> None:
    path = tmp_path / "b.jsonl.gz"
    backup(path, filled)
    whole = path.read_bytes()
    for broken in (whole[: int(len(whole) * keep)], _cut(whole, keep)):
        path.write_bytes(broken)
        copy = another()
        with pytest.raises(RecordsError, match=r"no whole backup|breaks off|no backup"):
            restore(path, copy)
        assert find(copy) == []


def _cut(whole: bytes, keep: float) -> bytes:
    lines = gzip.decompress(whole).splitlines(keepends=True)
    return gzip.compress(b"".join(lines[: int(len(lines) * keep)]))
