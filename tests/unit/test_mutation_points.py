"""Points for mutants: one token each, in places that run, and the rest of the file untouched."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from mutation.points import Point, Same, equivalents, mutated, points_of, worth_trying

FILE = Path("some.py")
SOURCE = '''"""Doc: a < b."""
from __future__ import annotations

LIMIT = 3

def within(a: float = 1.5, b: "int | None" = None) -> bool:
    """Whether a < b."""
    return a < LIMIT and not min(a, 2) == b
'''


def changes(source: str) -> set[tuple[str, str]]:
    return {(p.before, p.after) for p in points_of(FILE, source)}


def test_operators_constants_and_names_are_points_and_texts_are_not() -> None:
    assert changes(SOURCE) == {
        ("3", "4"), ("1.5", "2.5"), ("<", "<="), ("and", "or"), ("not ", ""), ("min", "max"),
        ("2", "3"), ("==", "!="),
    }  # fmt: skip


@pytest.mark.parametrize("point", points_of(FILE, SOURCE), ids=str)
def test_a_mutant_parses_and_differs_in_one_line(point: Point) -> None:
    changed = mutated(SOURCE, point)
    ast.parse(changed)
    pairs = zip(SOURCE.splitlines(), changed.splitlines(), strict=True)
    assert [n for n, (was, now) in enumerate(pairs, 1) if was != now] == [point.line]


def test_a_point_of_another_source_is_refused() -> None:
    point = points_of(FILE, SOURCE)[0]
    with pytest.raises(ValueError, match="has moved"):
        mutated("\n" * 20, point)


def test_a_guard_against_unequal_columns_is_no_point() -> None:
    assert changes("list(zip(a, b, strict=True))") == set()
    assert changes("sorted(a, reverse=True)") == {("True", "False")}


@pytest.mark.parametrize("same", equivalents(), ids=lambda same: f"{same.path.name} {same.change}")
def test_a_change_without_difference_is_still_there_and_is_not_tried(
    same: Same, project_root: Path
) -> None:
    source = (project_root / same.path).read_text("utf-8")
    lines = source.splitlines()
    left = worth_trying(same.path, source)
    gone = set(points_of(same.path, source)) - set(left)
    assert (same.line, same.change) in {(lines[p.line - 1].strip(), p.change) for p in gone}
    assert same.reason.endswith(".")
