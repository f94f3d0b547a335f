"""All weaves side by side, as the library tells of them."""

from __future__ import annotations

from making.markdown import table


def side_by_side() -> str:
    """Return what each weave is, how it is told, what it is for, and where it stops."""
    from meshcore.estimates.weave_guide import weave_guide  # noqa: PLC0415 - as the others

    rows = [
        [
            entry.name,
            entry.story.what,
            entry.story.told,
            entry.story.used,
            entry.story.stops,
            "; ".join(f"{name}: {text}" for name, text in entry.facts),
        ]
        for entry in weave_guide()
    ]
    heads = ["Weave", "What it is", "How a piece is told", "For", "Not for", "By the library"]
    return table(heads, rows)
