"""What is asked for: the line, its form (roll, strip, piece) and its services."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, TypeAlias

if TYPE_CHECKING:
    import pandas as pd
    import pint

#: A size as people give it: text with its unit, or a pint quantity.
Size: TypeAlias = "str | pint.Quantity[float]"

#: Weaves in the order of their codes; a code is an index into this tuple.
WEAVES: tuple[str, ...] = (
    "plain",
    "twilled",
    "double crimp",
    "intermediate crimp",
    "lock crimp",
    "flat top",
    "welded",
)
PLAIN, TWILLED, DOUBLE_CRIMP, INTERMEDIATE_CRIMP, LOCK_CRIMP, FLAT_TOP, WELDED = range(len(WEAVES))
#: Forms in the order of their codes; a code is an index into this tuple.
FORMS: tuple[str, ...] = ("roll", "strip", "piece")
ROLL, STRIP, PIECE = range(len(FORMS))

#: Columns of an enquiry list, in the order of the template.
COLUMNS: tuple[str, ...] = (
    "line",
    "mesh_count",
    "pitch",
    "aperture",
    "wire_diameter",
    "open_area",
    "weave",
    "alloy",
    "form",
    "width",
    "length",
    "shape",
    "dimensions",
    "quantity",
    "services",
    "note",
)


@dataclass(frozen=True, slots=True)
class Service:
    """Work done on cloth after weaving.

    Parameters
    ----------
    name
        As an enquiry asks for it, such as ``"weld seam"``.
    aliases
        Other ways it is written.
    charged_per
        What its rate counts: ``piece``, ``metre of cut``, ``m2``, ``kg`` or ``lot``.
    needs
        The alloy rating that it depends on (``weld``, ``form``, ``anneal``, ``coat``), or empty.
    """

    name: str
    aliases: tuple[str, ...]
    charged_per: str
    needs: str = ""


@dataclass(frozen=True, slots=True)
class Roll:
    """Cloth by the roll."""

    width: Size
    length: Size | str = "full roll"


@dataclass(frozen=True, slots=True)
class Strip:
    """Slit strip, each of one width and length."""

    width: Size
    length: Size


@dataclass(frozen=True, slots=True, init=False)
class Piece:
    """A cut piece: a shape and its dimensions.

    Examples
    --------
    >>> Piece(shape="disc", diameter="200 mm").dimensions
    {'diameter': '200 mm'}
    """

    shape: str
    dimensions: Mapping[str, Size]

    def __init__(self, shape: str = "rectangle", **dimensions: Size) -> None:
        object.__setattr__(self, "shape", shape)
        object.__setattr__(self, "dimensions", dimensions)


@dataclass(frozen=True, slots=True, kw_only=True)
class Enquiry:
    """One line of an enquiry, as far as it is specified.

    Sizes are text with a unit (``"0.025 in"``, ``"16 SWG"``) or pint quantities.
    """

    mesh_count: Size | None = None
    pitch: Size | None = None
    aperture: Size | None = None
    wire_diameter: Size | None = None
    open_area: Size | None = None
    weave: str | None = None
    alloy: str | None = None
    form: Roll | Strip | Piece | None = None
    quantity: int | str | None = 1
    services: tuple[str, ...] = field(default=())
    note: str = ""


def as_table(enquiry: Enquiry) -> pd.DataFrame:
    """Return the enquiry as a list of one line, with the columns of an enquiry list.

    Examples
    --------
    >>> row = as_table(Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
    ...                        form=Roll("48 in", "100 ft"), quantity=3)).iloc[0]
    >>> row["form"], row["width"], row["quantity"]
    ('roll', '48 in', '3')
    """
    import pandas as pd  # noqa: PLC0415 - heavy, and not needed to describe an enquiry

    cells: dict[str, object] = {
        name: getattr(enquiry, name)
        for name in ("mesh_count", "pitch", "aperture", "wire_diameter", "open_area", "weave")
    }
    cells |= {"line": "1", "alloy": enquiry.alloy, "note": enquiry.note}
    cells |= {"quantity": enquiry.quantity, "services": ", ".join(enquiry.services)}
    match enquiry.form:
        case Roll(width, length):
            cells |= {"form": "roll", "width": width, "length": length}
        case Strip(width, length):
            cells |= {"form": "strip", "width": width, "length": length}
        case Piece(shape=shape, dimensions=dimensions):
            text = ", ".join(f"{k.replace('_', ' ')} {_text(v)}" for k, v in dimensions.items())
            cells |= {"form": "piece", "shape": shape, "dimensions": text}
        case None:
            pass
    row = {name: _text(cells.get(name)) for name in COLUMNS}
    return pd.DataFrame([row], columns=list(COLUMNS), dtype=object)


def _text(cell: object) -> str:
    """Text of a cell; a pint quantity keeps every digit so that it reads back exactly."""
    if cell is None:
        return ""
    magnitude, units = getattr(cell, "magnitude", None), getattr(cell, "units", None)
    return str(cell) if magnitude is None else f"{float(magnitude)!r} {units}"
