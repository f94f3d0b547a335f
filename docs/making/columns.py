"""Columns of an enquiry list, and those that pricing adds."""

from __future__ import annotations

import tomllib
from pathlib import Path

from making.markdown import code, table

#: A free polygon, as `meshcore.supply.shapes.polygon_text` reads it.
POLYGON_EXAMPLE = "polygon: (0,0) (300,0) (300,200) mm"


def meanings(name: str) -> dict[str, str]:
    """Return one table of what a reader should know, from the file beside this module."""
    text = (Path(__file__).parent / "meanings.toml").read_text("utf-8")
    found: dict[str, str] = tomllib.loads(text)[name]
    return found


def enquiry() -> str:
    """Return the columns of an enquiry list, as the template explains them."""
    from meshcore.enquiry import COLUMNS  # noqa: PLC0415 - the site's other parts do without
    from meshcore.lists.template import NOTES  # noqa: PLC0415

    rows = ([code(name), NOTES[name][0], code(NOTES[name][1])] for name in COLUMNS)
    return table(["Column", "What to write", "Example"], rows)


def shapes() -> str:
    """Return the shapes of pieces, with the sizes that each takes."""
    from meshcore.supply.shapes.kinds import KINDS  # noqa: PLC0415

    rows = [
        [
            code(kind.name),
            "; or ".join(", ".join(map(code, names)) for names in kind.enough),
            ", ".join(map(code, kind.extra)),
            "; or ".join(map(code, kind.example.split(", or: "))),
        ]
        for kind in KINDS
    ]
    free = [code("polygon"), "the corners, one after the other", "", code(POLYGON_EXAMPLE)]
    return table(["Shape", "Sizes", "May be given too", "Example"], [*rows, free])


def priced() -> str:
    """Return the columns that pricing adds."""
    from meshcore.estimates.priced_table import PRICED_COLUMNS  # noqa: PLC0415

    said = meanings("priced_columns")
    return table(["Column", "Meaning"], ([code(n), said[n]] for n in PRICED_COLUMNS))
