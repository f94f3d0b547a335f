"""Every message that the estimator has for a line, by its code."""

from __future__ import annotations

import re
from functools import cache

from message_codes import CodedCall, coded_calls

from making.markdown import code, table


@cache
def by_code() -> dict[str, list[CodedCall]]:
    """Places in the source that give each code, in the order of the codes."""
    held: dict[str, list[CodedCall]] = {}
    for call in coded_calls():
        held.setdefault(call.code, []).append(call)
    return held


def codes() -> str:
    """Return the codes, one table for each word that they begin with."""
    sections: dict[str, list[list[str]]] = {}
    for name, calls in by_code().items():
        becomes = dict.fromkeys(call.severity or "as the rule says" for call in calls)
        row = [code(name), ", ".join(becomes), re.sub("…+", "…", calls[0].text)]
        sections.setdefault(name.partition(".")[0], []).append(row)
    return "\n\n".join(
        f"## {name}\n\n{table(['Code', 'The line becomes', 'What is said'], rows)}"
        for name, rows in sections.items()
    )
