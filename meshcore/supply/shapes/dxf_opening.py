"""A DXF drawing opened, and the unit that it is drawn in."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

from meshcore.limits import beyond
from meshcore.messages import Message
from meshcore.supply.shapes.drawing_files import DrawingFileError, drawing_bytes

#: Units that a drawing may be in [m]: name, other names, and the code of $INSUNITS.
_UNITS: tuple[tuple[str, tuple[str, ...], int, float], ...] = (
    ("mm", ("millimetre", "millimeter"), 4, 1e-3),
    ("cm", ("centimetre", "centimeter"), 5, 1e-2),
    ("m", ("metre", "meter"), 6, 1.0),
    ("in", ("inch", "inches", '"'), 1, 0.0254),
    ("ft", ("foot", "feet", "'"), 2, 0.3048),
)
_CHOICES = ", ".join(name for name, *_ in _UNITS)


def opened(source: Path | bytes, name: str, field: str) -> Any:  # noqa: ANN401 - untyped package
    """Open a drawing; or return why it is none, or cannot be opened."""
    from ezdxf import recover  # noqa: PLC0415 - heavy
    from ezdxf.lldxf.const import DXFError  # noqa: PLC0415

    try:
        content = source if isinstance(source, bytes) else drawing_bytes(source)
        if wrong := beyond("drawing_bytes", len(content)):
            return Message(
                field, name, f"the drawing is too large: {wrong}", code="drawing.too_large"
            )
        return recover.read(io.BytesIO(content))[0]
    except DrawingFileError as error:
        return Message(field, name, f"it is not read: {error}", code="drawing.file_refused")
    except OSError as error:
        text = f"the file cannot be opened ({error.strerror})."
        return Message(field, name, text, code="drawing.file_unreadable")
    except (DXFError, ValueError) as error:
        text = f"not a DXF drawing ({error}). Save it as DXF R12 or later."
        return Message(field, name, text, code="drawing.not_dxf")


def metres_of_unit(drawing: Any, unit: str, field: str) -> float | Message:  # noqa: ANN401 - untyped package
    """Metres of the unit named, or else of the one that the drawing names."""
    wanted = unit.strip().casefold()
    if wanted:
        for name, others, _, metres in _UNITS:
            if wanted in (name, *others, f"{name}."):
                return metres
        text = f"no unit that drawings come in. Write one of {_CHOICES}."
        return Message(field, unit, text, code="drawing.unit_unknown")
    code = int(drawing.header.get("$INSUNITS", 0))
    for _, _, number, metres in _UNITS:
        if code == number:
            return metres
    stated = f"$INSUNITS {code}" if code else ""
    text = f"the drawing does not say in what unit it is drawn. Choose one of {_CHOICES}."
    return Message(field, stated, text, code="drawing.unit_missing")
