"""Killed in the midst of writing, or with no room left: the old file is there, or the new one.

What is written is checked by what reads it: the zip of a workbook by its sums, parquet by pyarrow,
a drawing by its last line.
"""

from __future__ import annotations

import contextlib
import io
import json
import subprocess
import sys
import tomllib
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pandas as pd
import pytest
from killing import PATIENCE_S
from thorough import share
from writers import WRITERS

ROUNDS = share(3, 30)
#: What such a file ends with.
LAST = {".pdf": b"%%EOF", ".svg": b"</svg>", ".dxf": b"EOF"}


def quiet(name: str, path: Path) -> None:
    with contextlib.redirect_stdout(io.StringIO()):
        WRITERS[name][1](path)


def is_whole(path: Path, lines: int) -> bool:
    """Whether a file is one that a writer finished; `lines` is how many one of text has."""
    content = path.read_bytes()
    match path.suffix:
        case ".xlsx":
            with zipfile.ZipFile(path) as held:
                whole = held.testzip() is None
        case ".parquet":
            whole = len(pd.read_parquet(path)) > 0
        case ".toml":
            whole = bool(tomllib.loads(content.decode()))
        case ".json":
            whole = bool(json.loads(content))
        case ".glb":
            # glTF 2.0, "GLB File Format Specification": its third word is its length.
            whole = int.from_bytes(content[8:12], "little") == len(content)
        case ".pdf" | ".svg" | ".dxf":
            whole = content.rstrip().endswith(LAST[path.suffix])
        case _:
            whole = content.endswith(b"\n") and content.count(b"\n") == lines
    return whole


@pytest.mark.thorough
@pytest.mark.parametrize("name", share(["list.parquet", "book.toml", "plan.dxf"], list(WRITERS)))
def test_a_killed_writer_leaves_the_old_file_or_the_new(name: str, tmp_path: Path) -> None:
    path = tmp_path / f"kept{WRITERS[name][0]}"
    quiet(name, path)
    lines = path.read_bytes().count(b"\n")
    ran = subprocess.run(
        [sys.executable, Path(__file__).with_name("killing.py"), name, path, str(ROUNDS)],
        capture_output=True, check=False, timeout=PATIENCE_S * ROUNDS,
    )  # fmt: skip
    assert not ran.stderr, ran.stderr.decode()
    for number in range(ROUNDS):
        copied = path.with_name(f"{path.name}.{number}")
        assert is_whole(copied.rename(tmp_path / f"{number}{path.suffix}"), lines)
    # One that has ended before it is killed proves nothing.
    assert b"killed" in ran.stdout
    quiet(name, path)
    assert is_whole(path, lines)


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of its own of 2 MB."""
    place = tmp_path / "disk"
    place.mkdir()
    made = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=2m", "tmpfs", str(place)],
        capture_output=True, check=False,
    )  # fmt: skip
    if made.returncode:
        pytest.skip("needs the right to mount a small disk (root)")
    yield place
    subprocess.run(["umount", str(place)], check=True)


def fill(place: Path) -> None:
    with (place / "filler").open("wb", buffering=0) as file, contextlib.suppress(OSError):
        for size in (65_536, 4_096, 1):
            with contextlib.suppress(OSError):
                while file.write(b"\0" * size):
                    pass


def names(place: Path) -> list[str]:
    return sorted(str(one.relative_to(place)) for one in place.rglob("*"))


@pytest.mark.parametrize("name", WRITERS)
def test_a_full_disk_leaves_the_old_file_whole(name: str, disk: Path) -> None:
    path = disk / f"kept{WRITERS[name][0]}"
    quiet(name, path)
    fill(disk)
    before, there = path.read_bytes(), names(disk)
    with pytest.raises((OSError, ValueError)) as told:
        quiet(name, path)
    assert "errno" not in str(told.value).casefold()
    assert path.read_bytes() == before
    assert names(disk) == there


@pytest.mark.parametrize("name", WRITERS)
def test_a_disk_to_be_read_only_says_so(name: str, disk: Path) -> None:
    path = disk / f"kept{WRITERS[name][0]}"
    quiet(name, path)
    before = path.read_bytes()
    subprocess.run(["mount", "-o", "remount,ro", str(disk)], check=True)
    with pytest.raises((OSError, ValueError)) as told:
        quiet(name, path)
    assert "errno" not in str(told.value).casefold()
    assert path.read_bytes() == before
