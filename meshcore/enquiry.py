"""What is asked for: the line, its form (roll, strip, piece) and its services."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Annotated, Any, ClassVar, Literal, TypeAlias

if TYPE_CHECKING:
    import pandas as pd
    import pint

    #: A size as people give it: text with its unit, or a pint quantity.
    Size: TypeAlias = str | pint.Quantity[float]
else:
    # As it comes over a wire: pint is not needed to describe an enquiry.
    Size = str

#: What a library that builds enquiries from JSON does with a misspelt name: it refuses it, since a
#: size that nobody reads would change the price in silence.
_BODY: dict[str, Any] = {"extra": "forbid"}


class _NotYesOrNo:
    """Refuses true and false where such a library would take them for 1 and 0."""

    def __get_pydantic_core_schema__(
        self, source: object, handler: Callable[[object], object]
    ) -> dict[str, Any]:
        looked_at = {"type": "no-info", "function": _not_yes_or_no}
        return {"type": "function-before", "function": looked_at, "schema": handler(source)}


def _not_yes_or_no(value: object) -> object:
    if isinstance(value, bool):
        raise ValueError(f"{value} is no quantity; a number is due, such as 3")  # noqa: TRY004 - what such a library answers
    return value


class _ByKind:
    """Has such a library read a form by its kind, so that it speaks of that kind alone."""

    def __get_pydantic_core_schema__(
        self, source: object, handler: Callable[[object], Any]
    ) -> dict[str, Any]:
        either = handler(source)
        # The union as written may stand within one that also takes None.
        union = either["schema"] if either["type"] == "nullable" else either
        kinds = dict(zip(FORMS, union["choices"], strict=True))
        tagged = {"type": "tagged-union", "discriminator": "kind", "choices": kinds}
        return {"type": "nullable", "schema": tagged}


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
#: Code of a line that names no weave; the weave is then chosen for its sizes and its use.
WEAVE_UNASKED = -2
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

#: Column in which whoever estimates sets the price of a line before tax, or the margin that it is
#: to leave ("12 %"), in place of the price book's. No buyer's heading is read as it.
SET_PRICE = "set_price"
#: Column that says what the cloth must stand, as `meshcore.alloys.comparison.service_text` reads
#: it. No price is made from it.
MUST_STAND = "must_stand"
#: Columns that no heading of the trade stands for: they are read where they are used.
READ_LATER: frozenset[str] = frozenset({SET_PRICE, MUST_STAND})


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


@dataclass(frozen=True, slots=True, init=False)
class Roll:
    """Cloth by the roll.

    Notes
    -----
    ``kind`` tells a roll from a strip where both come as JSON; there it must be given.

    Examples
    --------
    >>> Roll("48 in")
    Roll(width='48 in', length='full roll')
    """

    __pydantic_config__: ClassVar[dict[str, Any]] = _BODY
    __match_args__: ClassVar[tuple[str, ...]] = ("width", "length")

    kind: Literal["roll"] = field(repr=False)
    width: Size
    length: Size = "full roll"

    def __init__(
        self, width: Size, length: Size = "full roll", kind: Literal["roll"] = "roll"
    ) -> None:
        _set(self, kind=kind, width=width, length=length)


@dataclass(frozen=True, slots=True, init=False)
class Strip:
    """Slit strip, each of one width and length; ``kind`` as for `Roll`."""

    __pydantic_config__: ClassVar[dict[str, Any]] = _BODY
    __match_args__: ClassVar[tuple[str, ...]] = ("width", "length")

    kind: Literal["strip"] = field(repr=False)
    width: Size
    length: Size

    def __init__(self, width: Size, length: Size, kind: Literal["strip"] = "strip") -> None:
        _set(self, kind=kind, width=width, length=length)


@dataclass(frozen=True, slots=True, init=False)
class Piece:
    """A cut piece: a shape and its dimensions; ``kind`` as for `Roll`.

    Examples
    --------
    >>> Piece(shape="disc", diameter="200 mm")
    Piece(shape='disc', dimensions={'diameter': '200 mm'})
    """

    __pydantic_config__: ClassVar[dict[str, Any]] = _BODY
    __match_args__: ClassVar[tuple[str, ...]] = ("shape", "dimensions")

    kind: Literal["piece"] = field(repr=False)
    shape: str = "rectangle"
    dimensions: Mapping[str, Size] = field(kw_only=True)

    def __init__(self, shape: str = "rectangle", **dimensions: Size) -> None:
        _set(self, kind="piece", shape=shape, dimensions=dimensions)


def _set(frozen: object, **values: object) -> None:
    for name, value in values.items():
        object.__setattr__(frozen, name, value)


@dataclass(frozen=True, slots=True, kw_only=True)
class Enquiry:
    """One line of an enquiry, as far as it is specified.

    Sizes are text with a unit (``"0.025 in"``, ``"16 SWG"``) or pint quantities. Lines priced
    together are one order, unless they name several: those with the same ``order`` share what is
    charged by the order, and are woven and cut together where they are of one cloth.
    """

    __pydantic_config__: ClassVar[dict[str, Any]] = _BODY

    mesh_count: Size | None = None
    pitch: Size | None = None
    aperture: Size | None = None
    wire_diameter: Size | None = None
    open_area: Size | None = None
    weave: str | None = None
    alloy: str | None = None
    form: Annotated[Roll | Strip | Piece | None, _ByKind()] = None
    quantity: Annotated[int | str | None, _NotYesOrNo()] = 1
    services: tuple[str, ...] = field(default=())
    note: str = ""
    order: str | None = None
    must_stand: str = ""


def as_table(enquiries: Enquiry | Sequence[Enquiry]) -> pd.DataFrame:
    """Return enquiries as a list with the columns of an enquiry list, one line each.

    Parameters
    ----------
    enquiries
        One, or several; the columns ``order`` and ``must_stand`` are there where any of them
        names its order, or what it must stand.

    Raises
    ------
    TypeError
        If something else is among them.

    Examples
    --------
    >>> row = as_table(Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
    ...                        form=Roll("48 in", "100 ft"), quantity=3)).iloc[0]
    >>> row["form"], row["width"], row["quantity"]
    ('roll', '48 in', '3')
    """
    import pandas as pd  # noqa: PLC0415 - heavy, and not needed to describe an enquiry

    if isinstance(enquiries, str) or not isinstance(enquiries, Enquiry | Iterable):
        wrong = type(enquiries).__name__
        raise TypeError(f"a {wrong} for enquiries, where a table or a sequence of Enquiry is due")
    held = [enquiries] if isinstance(enquiries, Enquiry) else list(enquiries)
    for one in held:
        if not isinstance(one, Enquiry):
            raise TypeError(f"a {type(one).__name__} among the enquiries, where an Enquiry is due")
    columns = list(COLUMNS)
    if any(one.order is not None for one in held):
        columns.insert(1, "order")
    if any(one.must_stand for one in held):
        columns.append(MUST_STAND)
    rows = [_row(one, str(number), columns) for number, one in enumerate(held, 1)]
    return pd.DataFrame(rows, columns=columns, dtype=object)


def _row(enquiry: Enquiry, line: str, columns: Sequence[str]) -> dict[str, str]:
    cells: dict[str, object] = {
        name: getattr(enquiry, name)
        for name in ("mesh_count", "pitch", "aperture", "wire_diameter", "open_area", "weave")
    }
    cells |= {"line": line, "alloy": enquiry.alloy, "note": enquiry.note, "order": enquiry.order}
    cells[MUST_STAND] = enquiry.must_stand
    if isinstance(enquiry.quantity, bool):
        raise TypeError(f"the quantity is {enquiry.quantity}; a number or a text is due")
    cells |= {"quantity": enquiry.quantity, "services": _services(enquiry.services)}
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
        case other:
            raise TypeError(
                f"the form is a {type(other).__name__}; a Roll, a Strip or a Piece is due, such as "
                'Roll("48 in", "100 ft")'
            )
    return {name: _text(cells.get(name)) for name in columns}


def _services(services: object) -> str:
    """Services as a list's cell has them; a text is taken as it stands."""
    if services is None or isinstance(services, str):
        return services or ""
    named: list[str] = []
    for one in services if isinstance(services, Iterable) else [services]:
        if not isinstance(one, str):
            raise TypeError(f'a service is {one!r}; its name is due, such as "anneal"')
        named.append(one)
    return ", ".join(named)


def _text(cell: object) -> str:
    """Text of a cell; a pint quantity keeps every digit so that it reads back exactly."""
    if cell is None:
        return ""
    magnitude, units = getattr(cell, "magnitude", None), getattr(cell, "units", None)
    if magnitude is None:
        return str(cell)
    text = repr(float(magnitude))
    # One more nought leaves just one reading: 1.125 could be taken for thousands.
    return f"{text}0 {units}" if len(text.partition(".")[2]) == 3 else f"{text} {units}"  # noqa: PLR2004 - as thousands have
