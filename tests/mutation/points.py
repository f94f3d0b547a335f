"""Places where one token of the source can be changed for another that still parses."""

from __future__ import annotations

import ast
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

#: An operator or a name, and what it becomes.
SWAPS: dict[str, str] = {
    "<": "<=", "<=": "<", ">": ">=", ">=": ">", "==": "!=", "!=": "==", "+": "-", "-": "+",
    "*": "/", "/": "*", "//": "*", "&": "|", "|": "&", "and": "or", "or": "and", "in": "not in",
    "not in": "in", "is": "is not", "is not": "is", "+=": "-=", "-=": "+=", "*=": "/=",
}  # fmt: skip
NAME_SWAPS: dict[str, str] = {
    "min": "max", "max": "min", "floor": "ceil", "ceil": "floor", "any": "all", "all": "any",
    "minimum": "maximum", "maximum": "minimum", "True": "False", "False": "True",
}  # fmt: skip
_OPERATORS: dict[type, str] = {
    ast.Lt: "<", ast.LtE: "<=", ast.Gt: ">", ast.GtE: ">=", ast.Eq: "==", ast.NotEq: "!=",
    ast.Add: "+", ast.Sub: "-", ast.Mult: "*", ast.Div: "/", ast.FloorDiv: "//",
    ast.BitAnd: "&", ast.BitOr: "|", ast.And: "and", ast.Or: "or", ast.In: "in",
    ast.NotIn: "not in", ast.Is: "is", ast.IsNot: "is not",
}  # fmt: skip


#: A guard against columns of unequal length, which never acts where the code is right.
_GUARDS = ("zip", "strict")
_EQUIVALENT = Path(__file__).with_name("equivalent.toml")


@dataclass(frozen=True)
class Point:
    """One token of one file, what stands there, and what it becomes."""

    path: Path
    line: int
    start: int
    before: str
    after: str
    statement: tuple[int, int]

    def __str__(self) -> str:
        return f"{self.path}:{self.line}:{self.start + 1}: {self.change}"

    @property
    def change(self) -> str:
        """What is changed, in words."""
        return f"{self.before} -> {self.after}"


@dataclass(frozen=True)
class Same:
    """A change that makes no difference, and why."""

    path: Path
    line: str
    change: str
    reason: str


def equivalents() -> list[Same]:
    """Changes that were looked at and make no difference."""
    held = tomllib.loads(_EQUIVALENT.read_text("utf-8"))["same"]
    return [Same(Path(s["path"]), s["line"], s["change"], s["reason"]) for s in held]


def worth_trying(path: Path, source: str) -> list[Point]:
    """Points of a file but for those whose change is known to make no difference."""
    lines = source.splitlines()
    known = {(same.line, same.change) for same in equivalents() if same.path == path}
    return [
        p for p in points_of(path, source) if (lines[p.line - 1].strip(), p.change) not in known
    ]


def points_of(path: Path, source: str) -> list[Point]:
    """List the tokens that can be changed: in no annotation, docstring, message or guard."""
    tree = ast.parse(source)
    lines = source.splitlines()
    skipped = {id(inner) for node in ast.walk(tree) for inner in _annotations(node)}
    found: list[Point] = []
    for statement in (node for node in ast.walk(tree) if isinstance(node, ast.stmt)):
        if _is_for_types(statement):
            skipped |= {id(inner) for inner in ast.walk(statement)}
        for node in _own(statement):
            if id(node) not in skipped and node is not statement:
                span = (statement.lineno, _last_line(statement))
                found += _changes(path, node, lines, span)
    return found


def mutated(source: str, point: Point) -> str:
    """Return the source with the point's token changed."""
    lines = source.splitlines(keepends=True)
    line = lines[point.line - 1].encode("utf-8")
    before = point.before.encode("utf-8")
    if line[point.start : point.start + len(before)] != before:
        raise ValueError(f"the source has moved under {point}")
    after = point.after.encode("utf-8")
    changed = line[: point.start] + after + line[point.start + len(before) :]
    lines[point.line - 1] = changed.decode("utf-8")
    return "".join(lines)


def _is_for_types(statement: ast.stmt) -> bool:
    return isinstance(statement, ast.If) and ast.unparse(statement.test) == "TYPE_CHECKING"


def _annotations(node: ast.AST) -> Iterator[ast.AST]:
    if isinstance(node, ast.Call) and ast.unparse(node.func) == _GUARDS[0]:
        yield from (k.value for k in node.keywords if k.arg == _GUARDS[1])
    for name in ("annotation", "returns"):
        annotation = getattr(node, name, None)
        if isinstance(annotation, ast.AST):
            yield from ast.walk(annotation)
    if isinstance(node, ast.Subscript | ast.Assign) and "Literal" in ast.unparse(node)[:60]:
        yield from ast.walk(node)


def _own(statement: ast.stmt) -> Iterator[ast.AST]:
    """Walk the expressions of a statement, not the statements inside it."""
    waiting: list[ast.AST] = [statement]
    while waiting:
        node = waiting.pop()
        yield node
        waiting += [
            child
            for child in ast.iter_child_nodes(node)
            if not isinstance(child, ast.stmt) and not (isinstance(child, ast.JoinedStr))
        ]


def _last_line(statement: ast.stmt) -> int:
    body = getattr(statement, "body", None)
    if isinstance(body, list) and body:
        return max(statement.lineno, int(body[0].lineno) - 1)
    return statement.end_lineno or statement.lineno


def _changes(path: Path, node: ast.AST, lines: list[str], span: tuple[int, int]) -> Iterator[Point]:
    if isinstance(node, ast.BinOp):
        if not any(isinstance(side, ast.Constant | ast.JoinedStr) and _is_text(side)
                   for side in (node.left, node.right)):  # fmt: skip
            yield from _operator(path, node.left, node.right, type(node.op), lines, span)
    elif isinstance(node, ast.BoolOp):
        yield from _operator(path, node.values[0], node.values[1], type(node.op), lines, span)
    elif isinstance(node, ast.Compare):
        sides = [node.left, *node.comparators]
        for left, right, operator in zip(sides, sides[1:], node.ops, strict=False):
            yield from _operator(path, left, right, type(operator), lines, span)
    elif isinstance(node, ast.Constant):
        yield from _constant(path, node, lines, span)
    elif isinstance(node, ast.Name | ast.Attribute):
        name = node.id if isinstance(node, ast.Name) else node.attr
        if name in NAME_SWAPS and node.end_lineno == node.lineno and node.end_col_offset:
            start = node.end_col_offset - len(name)
            yield Point(path, node.lineno, start, name, NAME_SWAPS[name], span)
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        yield Point(path, node.lineno, node.col_offset, "not ", "", span)
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Invert):
        yield Point(path, node.lineno, node.col_offset, "~", "", span)


def _is_text(node: ast.expr) -> bool:
    return isinstance(node, ast.JoinedStr) or isinstance(getattr(node, "value", None), str)


def _constant(
    path: Path, node: ast.Constant, lines: list[str], span: tuple[int, int]
) -> Iterator[Point]:
    value = node.value
    if isinstance(value, bool):
        yield Point(path, node.lineno, node.col_offset, str(value), str(not value), span)
    elif isinstance(value, int | float) and node.end_col_offset:
        line = lines[node.lineno - 1].encode("utf-8")
        token = line[node.col_offset : node.end_col_offset].decode("utf-8")
        yield Point(path, node.lineno, node.col_offset, token, repr(value + 1), span)


def _operator(
    path: Path,
    left: ast.expr,
    right: ast.expr,
    kind: type,
    lines: list[str],
    span: tuple[int, int],
) -> Iterator[Point]:
    sign = _OPERATORS.get(kind, "")
    if sign not in SWAPS or left.end_lineno != right.lineno:
        return
    line = lines[right.lineno - 1].encode("utf-8")
    begin, end = left.end_col_offset or 0, right.col_offset
    place = line.find(sign.encode("utf-8"), begin, end)
    if place >= 0:
        yield Point(path, right.lineno, place, sign, SWAPS[sign], span)
