"""Every message code of the source, with an example of its text, for the documentation.

``python docs/message_codes.py`` writes the list as a Markdown table.
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
#: Where messages are made.
SOURCES = ("meshcore", "plugins", "apps/estimator")
#: What makes a message, or stands for all messages of a rule.
MAKERS = ("Message", "Remark", "WeaveRule")
#: Place of the text among the positional arguments; a rule is known by its name.
_TEXT_PLACE = {"WeaveRule": 0, "_rule": 0, "_review": 0}
_USUAL_TEXT_PLACE = 2
_USUAL_SEVERITY = {"Message": "refused", "wrong": "refused", "_rule": "review", "_review": "review"}
_SEVERITIES = ("note", "review", "refused")


@dataclass(frozen=True, slots=True)
class CodedCall:
    """One place in the source that gives a code.

    Parameters
    ----------
    code
        The code.
    text
        What is said; … stands for what differs from line to line.
    severity
        What it makes of the line; empty where that is settled elsewhere.
    module, line
        Where it is said.
    """

    code: str
    text: str
    severity: str
    module: str
    line: int


def modules() -> Iterator[tuple[str, ast.Module]]:
    """Every module of the source, by its path."""
    for folder in SOURCES:
        for path in sorted((ROOT / folder).rglob("*.py")):
            yield path.relative_to(ROOT).as_posix(), ast.parse(path.read_text(encoding="utf-8"))


def name_of(call: ast.Call) -> str:
    """Name of what is called."""
    called = call.func
    return called.attr if isinstance(called, ast.Attribute) else getattr(called, "id", "")


def given(call: ast.Call, name: str) -> ast.expr | None:
    """Value of a keyword of a call; None where it is not given."""
    return next((word.value for word in call.keywords if word.arg == name), None)


@cache
def coded_calls() -> tuple[CodedCall, ...]:
    """All places that give a literal code, by code."""
    calls: list[CodedCall] = []
    every = [(path, list(ast.walk(module))) for path, module in modules()]
    functions = [n for _, nodes in every for n in nodes if isinstance(n, ast.FunctionDef)]
    for path, nodes in every:
        texts = _Texts(nodes, functions)
        for call in texts.calls:
            code = given(call, "code")
            if isinstance(code, ast.Constant) and isinstance(code.value, str):
                severity = _severity(call)
                calls.append(
                    CodedCall(code.value, texts.said_by(call), severity, path, call.lineno)
                )
    return tuple(sorted(calls, key=lambda call: (call.code, call.module, call.line)))


def _severity(call: ast.Call) -> str:
    words = [*call.args, *(word.value for word in call.keywords if word.arg == "severity")]
    said = [w.value for w in words if isinstance(w, ast.Constant) and w.value in _SEVERITIES]
    return str(said[-1]) if said else _USUAL_SEVERITY.get(name_of(call), "")


class _Texts:
    """Resolves what a call says: literals, names that hold them, functions that return them."""

    def __init__(self, nodes: list[ast.AST], functions: list[ast.FunctionDef]) -> None:
        self.functions = functions
        self.own = [n for n in nodes if isinstance(n, ast.FunctionDef)]
        self.calls = [n for n in nodes if isinstance(n, ast.Call)]
        self.assigned = [
            (target.id, node.lineno, node.value)
            for node in nodes
            if isinstance(node, ast.Assign | ast.NamedExpr)
            for target in (node.targets if isinstance(node, ast.Assign) else [node.target])
            if isinstance(target, ast.Name)
        ]

    def said_by(self, call: ast.Call) -> str:
        name = name_of(call)
        place = _TEXT_PLACE.get(name, _USUAL_TEXT_PLACE)
        value = call.args[place] if len(call.args) > place else given(call, "name")
        return "…" if value is None else self._text(value, call.lineno)

    def _text(self, value: ast.expr, line: int) -> str:
        match value:
            case ast.Constant(value=str(text)):
                return text
            case ast.JoinedStr(values=parts):
                return "".join(self._part(part, line) for part in parts)
            case ast.Name(id=name):
                held = self._assigned_to(name, line)
                return self._text(held[1], held[0]) if held else self._handed(name)
            case ast.Call(func=ast.Name(id=name)):
                return self._returned(name)
            case _:
                return "…"

    def _part(self, part: ast.expr, line: int) -> str:
        match part:
            case ast.Constant(value=text):
                return str(text)
            case ast.FormattedValue(value=ast.Name(id=name)):
                held = self._assigned_to(name, line - 1)
                return self._text(held[1], held[0]) if held else "…"
            case _:
                return "…"

    def _assigned_to(self, name: str, line: int) -> tuple[int, ast.expr] | None:
        """Value that a name was last given before a line, in its function or in the module."""
        function = next(
            (f for f in reversed(self.own) if f.lineno <= line <= (f.end_lineno or 0)), None
        )
        inside = range(function.lineno, (function.end_lineno or 0) + 1) if function else range(0)
        given = [
            (at, value)
            for known, at, value in self.assigned
            if known == name
            and (
                (at in inside and at <= line)
                or not any(f.lineno <= at <= (f.end_lineno or 0) for f in self.own)
            )
        ]
        return max(given, key=lambda entry: (entry[0] in inside, entry[0]), default=None)

    def _handed(self, name: str) -> str:
        """Resolve what the first caller hands to a parameter of that name."""
        for call in self.calls:
            function = next((f for f in self.functions if f.name == name_of(call)), None)
            names = [a.arg for a in function.args.args] if function else []
            if name in names[: len(call.args)]:
                handed = call.args[names.index(name)]
                if not isinstance(handed, ast.Name):
                    return self._text(handed, call.lineno)
        return "…"

    def _returned(self, name: str) -> str:
        function = next((f for f in self.functions if f.name == name), None)
        returns = [n for n in ast.walk(function or ast.Pass()) if isinstance(n, ast.Return)]
        texts = [self._text(r.value, r.lineno) for r in returns if r.value is not None]
        return max(texts, key=len, default="…")


def main() -> None:
    """Write the table."""
    rows = ["| Code | The line becomes | Example |", "| --- | --- | --- |"]
    for code, calls in _by_code().items():
        severity = ", ".join(dict.fromkeys(c.severity or "as the rule says" for c in calls))
        text = calls[0].text.replace("|", "\\|").replace("\n", " ")
        rows.append(f"| `{code}` | {severity} | {text} |")
    sys.stdout.write("\n".join(rows) + "\n")


def _by_code() -> dict[str, list[CodedCall]]:
    held: dict[str, list[CodedCall]] = {}
    for call in coded_calls():
        held.setdefault(call.code, []).append(call)
    return held


if __name__ == "__main__":
    main()
