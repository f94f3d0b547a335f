"""Every message carries a code that stands in the source, and each code has one meaning."""

from __future__ import annotations

import ast
import re
from collections import defaultdict

import numpy as np
import pandas as pd
from costing_lines import book, lines, price
from message_codes import MAKERS, coded_calls, given, modules, name_of

import meshcore as mc
from meshcore.costing.items import PricingRule, Remark
from meshcore.messages import Message

#: Codes that several places give, which say the same in the words of their place.
SAID_TWICE = {"alloy.missing", "book.exchange_missing"}


def _passes_on(code: ast.expr, parents: list[ast.FunctionDef]) -> bool:
    """Whether a code is another message's or rule's, or the parameter of a helper."""
    if isinstance(code, ast.BoolOp):
        own, usual = code.values
        return _passes_on(own, parents) and isinstance(usual, ast.Call)
    if isinstance(code, ast.Attribute):
        return code.attr == "code"
    named = [a.arg for f in parents for a in f.args.kwonlyargs]
    return isinstance(code, ast.Name) and code.id == "code" and "code" in named


def test_no_message_is_made_without_a_code() -> None:
    without: list[str] = []
    helpers: set[str] = set()
    calls: list[tuple[str, ast.Call]] = []
    for path, module in modules():
        functions = [n for n in ast.walk(module) if isinstance(n, ast.FunctionDef)]
        helpers |= {
            f.name for f in functions if any(a.arg == "code" for a in f.args.kwonlyargs)
        }  # fmt: skip
        for call in (n for n in ast.walk(module) if isinstance(n, ast.Call)):
            calls.append((path, call))
            if name_of(call) not in MAKERS:
                continue
            code = given(call, "code")
            inside = [f for f in functions if f.lineno <= call.lineno <= (f.end_lineno or 0)]
            literal = isinstance(code, ast.Constant) and bool(code.value)
            if code is None or not (literal or _passes_on(code, inside)):
                without.append(f"{path}:{call.lineno}")
    # Whoever calls a helper that takes a code gives it one.
    without += [
        f"{path}:{call.lineno}"
        for path, call in calls
        if name_of(call) in helpers and given(call, "code") is None
    ]
    assert len(calls) > 1000
    assert {"wrong", "_rule"} <= helpers
    assert without == []


def test_a_code_is_a_room_and_a_thing_and_means_one_thing() -> None:
    texts = defaultdict(set)
    for call in coded_calls():
        assert re.fullmatch(r"[a-z]+\.[a-z_]+", call.code), call
        assert call.text.strip("…"), f"nothing is known of what {call.code} says: {call}"
        texts[call.code].add(call.text)
    assert {code for code, said in texts.items() if len(said) > 1} == SAID_TWICE
    assert len(texts) > 100


def test_the_code_stays_with_the_message_in_the_log() -> None:
    lines = pd.DataFrame(
        {"mesh_count": "10 / in", "wire_diameter": ["16 ga", "0.08 in", "0.025 in"],
         "alloy": "304", "form": "roll", "width": "48 in", "length": "100 ft", "quantity": 1}
    )  # fmt: skip
    estimates = mc.estimate_list(lines)
    codes = {row: [m.code for m in said] for row, said in estimates.messages.items()}
    assert codes[0] == ["wire.gauge_ambiguous"]
    assert codes[1][0] == "weave.jammed"
    assert all(codes[row] and all(codes[row]) for row in codes)


def test_a_rule_gives_its_own_code_or_is_known_by_its_name() -> None:
    def remarks(columns: object, _rates: object) -> list[Remark]:
        everywhere = np.ones(len(columns), np.bool_)  # type: ignore[arg-type]
        return [
            Remark(everywhere, "width", "mind the crane.", "note", code="crane.low"),
            Remark(everywhere, "width", "mind the door.", "note"),
        ]

    _, log = price(lines(1), [PricingRule("Low doors!", "packing", remarks)], book())
    assert {m.code for m in log.by_line()[0]} == {"crane.low", "rule.low_doors"}


def test_messages_are_what_they_say_whatever_their_codes() -> None:
    plain, coded = Message("f", "r", "t."), Message("f", "r", "t.", code="a.b")
    assert plain == coded
    assert hash(plain) == hash(coded)
    assert str(plain) == str(coded) == 'f: read "r" — t.'
