"""What is said of lines outside a weave rule's limit: the value, the limit, and what mends it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TypeAlias

import numpy as np

from meshcore.arrays import FloatArray, IntArray, ObjectArray
from meshcore.enquiry import WEAVES
from meshcore.messages import Message, MessageLog, rule_code
from meshcore.units import METRES_PER_INCH
from meshcore.weave.cloth import ClothColumns, Judgement, WeaveRule
from meshcore.weave.judging.limits import length_text, value_text
from meshcore.weave.judging.practicality import advice_text

#: What lines that say the same have alike: the cell, the completed value, what was measured, the
#: limit, and the weave that takes the sizes.
_Key: TypeAlias = tuple[object, object, float, float, int]


def report(
    rule: WeaveRule,
    judgement: Judgement,
    rows: IntArray,
    cloth: ClothColumns,
    log: MessageLog,
    typed: Mapping[str, ObjectArray],
    remedy: IntArray,
) -> None:
    """Say of each of `rows` that it is outside the rule's limit.

    Parameters
    ----------
    rule, judgement
        The rule and what it found.
    rows
        Lines outside the limit.
    cloth
        The cloth that was judged.
    log
        Receives the messages.
    typed
        Enquiry column → cells as typed; where absent or blank, the completed value is shown, but
        for a weave that is not named, which is told.
    remedy
        As `Practicality.remedy` has it, one a line.
    """
    if not rows.size:
        return
    keys = zip(
        _typed_cells(rule.field, rows, typed),
        _completed(rule.field, cloth, rows).tolist(),
        judgement.measured[rows].tolist(),
        judgement.limit[rows].tolist(),
        remedy[rows].tolist(),
        strict=True,
    )
    # Lines that say the same share one message: most lists repeat a few specifications.
    written: dict[_Key, Message] = {}
    unnamed = rule.field == "weave" and rule.field in typed
    messages = [written.get(key) or _write(written, rule, judgement, key, unnamed) for key in keys]
    if len(written) == 1:
        log.add(rows, messages[0])
    else:
        log.add_each(rows, messages)


def _write(
    written: dict[_Key, Message],
    rule: WeaveRule,
    judgement: Judgement,
    key: _Key,
    unnamed: bool,
) -> Message:
    """Write what is said; `unnamed` is whether a blank cell names nothing, and is told so."""
    unit = judgement.unit
    cell, completed, measured, limit, remedy = key
    # Outside an upper limit is above it, outside a lower one below.
    sense = "at most" if measured > limit else "at least"
    shown, typed = _completed_text(rule.field, completed), str(cell).strip()
    read = typed if unnamed else typed or shown
    none = f"none is named, and {shown} is outside a limit, " if unnamed and not typed else ""
    text = (
        f"{none}{rule.name}: {value_text(measured, unit)}, where {sense} {value_text(limit, unit)} "
        f"is allowed ({rule.origin}). {advice_text(rule, judgement, remedy)}"
    )
    message = written[key] = Message(
        rule.field, read, text, rule.severity, code=rule.code or rule_code(rule.name)
    )
    return message


def _typed_cells(field: str, rows: IntArray, typed: Mapping[str, ObjectArray]) -> Sequence[object]:
    if field not in typed:
        return [""] * len(rows)
    cells = typed[field][rows].tolist()
    return ["" if cell is None or cell != cell else cell for cell in cells]  # noqa: PLR0124 - NaN


def _completed(field: str, cloth: ClothColumns, rows: IntArray) -> FloatArray | IntArray:
    columns: dict[str, FloatArray | IntArray] = {
        "mesh_count": cloth.pitch_m,
        "pitch": cloth.pitch_m,
        "aperture": cloth.aperture_m,
        "wire_diameter": cloth.wire_diameter_m,
        "open_area": cloth.open_area,
        "weave": cloth.weave,
        "width": cloth.width_m,
        "alloy": cloth.alloy,
    }
    column = columns.get(field)
    return np.full(len(rows), np.nan) if column is None else column[rows]


_WRITE: dict[str, Callable[[float], str]] = {
    "mesh_count": lambda pitch: f"{METRES_PER_INCH / pitch:.4g} / in",
    "pitch": length_text,
    "aperture": length_text,
    "wire_diameter": length_text,
    "open_area": lambda share: f"{share:.1%}",
    "weave": lambda code: WEAVES[int(code)],
    "width": length_text,
}


def _completed_text(field: str, value: object) -> str:
    write = _WRITE.get(field)
    if write is None or not isinstance(value, float | int) or not np.isfinite(value):
        return ""
    return write(value)
