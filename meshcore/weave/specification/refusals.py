"""What is said of a specification that is short, impossible or at odds with itself."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.messages import Message, Severity
from meshcore.units import METRES_PER_INCH
from meshcore.weave.specification.pairs import BASES, FIELDS, Sizes, extent, solve
from meshcore.weave.specification.series import series_name

if TYPE_CHECKING:
    from meshcore.reading.columns import QuantityColumn

_EXAMPLES: dict[str, str] = {
    "mesh_count": '"10 / in"',
    "pitch": '"2.54 mm"',
    "aperture": '"1.905 mm"',
    "wire_diameter": '"0.635 mm"',
    "open_area": '"56 %"',
}


def too_few(given: tuple[str, ...]) -> Message:
    """Return the refusal of lines that give these fields only, which do not fix the sizes."""
    if not given:
        return Message(
            "mesh_count",
            "",
            f"no size at all. Write any two of {_listed(FIELDS, 'and')}, such as "
            f"mesh_count {_EXAMPLES['mesh_count']} and wire_diameter {_EXAMPLES['wire_diameter']}.",
            code="specification.nothing_given",
        )
    useful = [
        field
        for field in FIELDS
        if field not in given and any({field, other} == set(b) for other in given for b in BASES)
    ]
    names = _listed(given, "and")
    why = (
        f"{names} are one size written two ways, and one more"
        if len(given) > 1
        else f"{names} alone does not fix the cloth, and one more size"
    )
    first = "wire_diameter" if "wire_diameter" in useful else useful[0]
    return Message(
        first,
        "",
        f"{why} is needed: {_listed(useful, 'or')}. Write one, such as {_EXAMPLES[first]}.",
        code="specification.too_few",
    )


def count_and_pitch(columns: Mapping[str, QuantityColumn], row: int) -> Message:
    """Return the refusal of one line whose mesh count and pitch are two sizes, not one."""
    own = _size("pitch", 1.0 / float(columns["mesh_count"].values[row]))
    count = _shown("mesh_count", columns["mesh_count"], row)
    return Message(
        "pitch",
        _read(columns["pitch"], row),
        f"at odds with mesh_count {count}, which is a pitch of {own}. Correct one of them, or "
        "leave it out.",
        code="specification.count_and_pitch",
    )


def impossible_alone(columns: Mapping[str, QuantityColumn], row: int) -> Message | None:
    """Return the refusal of one line if one of its sizes cannot be, whatever the others are."""
    for field, column in columns.items():
        value = column.values[row]
        if not 0.0 < value < np.inf:
            why = "a size is greater than zero, and finite"
        elif field == "open_area" and value >= 1.0:
            why = "some of the area is wire, so less than 100 % is open"
        else:
            continue
        return Message(
            field,
            _read(column, row),
            f"{why}. Write it as {_EXAMPLES[field]}.",
            code="specification.size_impossible",
        )
    return None


def impossible_together(
    columns: Mapping[str, QuantityColumn], row: int, basis: tuple[str, str]
) -> Message:
    """Return the refusal of one line whose sizes in `basis` leave no wire or no aperture."""
    spacing, other = basis
    about = f"{spacing} {_shown(spacing, columns[spacing], row)}"
    sizes = solve(basis, _values(columns, row))
    pitch = _size("pitch", float(sizes.pitch[0]))
    if sizes.aperture[0] <= 0.0:
        why = f"no aperture is left at {about}, a pitch of {pitch}"
        mend = "Write a finer wire or a coarser mesh."
    elif sizes.wire_diameter[0] <= 0.0:
        why = f"no wire is left at {about}, a pitch of {pitch}"
        mend = "Write a smaller aperture or a coarser mesh."
    else:
        why = f"no cloth can be measured that has this and {about}"
        mend = "Write other sizes."
    return Message(
        other, _read(columns[other], row), f"{why}. {mend}", code="specification.sizes_impossible"
    )


def contradiction(
    columns: Mapping[str, QuantityColumn], row: int, basis: tuple[str, str]
) -> Message:
    """Return the refusal of one line whose sizes are at odds, with what each implies."""
    values = _values(columns, row)
    sizes = solve(basis, values)
    odd = max(
        (field for field in columns if field not in basis),
        key=lambda field: abs(float(sizes.of(field)[0] / values[field][0]) - 1.0),
    )
    shown = {field: f"{field} {_shown(field, columns[field], row)}" for field in (*basis, odd)}
    implied = [
        f"{_listed([shown[f] for f in pair], 'with')} implies {target} "
        f"{_size(target, float(solve(pair, values).of(target)[0]))}"
        for pair, target in _implications((*basis, odd))
    ]
    return Message(
        odd,
        _read(columns[odd], row),
        f"at odds with the rest: {'; '.join(implied)}. Correct one of them, or leave it out.",
        code="specification.contradiction",
    )


def _implications(trio: Sequence[str]) -> list[tuple[tuple[str, str], str]]:
    """Pairs among three sizes that fix the third, the last of the three first."""
    return [
        (basis, target)
        for target in reversed(trio)
        for basis in BASES
        if {*basis, target} == set(trio)
    ]


def rounded_count(columns: Mapping[str, QuantityColumn], row: int, sizes: Sizes) -> Message:
    """Return what is said of a whole count that stands for a nearby one."""
    rest = [f"{f} {_shown(f, c, row)}" for f, c in columns.items() if f != "mesh_count"]
    count = _size("mesh_count", float(sizes.of("mesh_count")[row]))
    return Message(
        "mesh_count",
        _read(columns["mesh_count"], row),
        f"taken as rounded: {_listed(rest, 'and')} make it {count}, which is used. "
        "Leave the count out, or write it in full, to be sure.",
        "review",
        code="specification.count_rounded",
    )


def coarse(
    columns: Mapping[str, QuantityColumn],
    row: int,
    field: str,
    basis: tuple[str, str],
    sizes: Sizes,
) -> Message:
    """Return what is said of a size that agrees only because so few digits of it were given."""
    pair = [f"{f} {_shown(f, columns[f], row)}" for f in basis]
    return Message(
        field,
        _read(columns[field], row),
        f"agrees only as far as it is rounded: {_listed(pair, 'with')} makes it "
        f"{_size(field, float(sizes.of(field)[row]))}, which is used. Write it in full, or leave "
        "it out.",
        "review",
        code="specification.agrees_when_rounded",
    )


def aperture_altered(columns: Mapping[str, QuantityColumn], row: int, sizes: Sizes) -> Message:
    """Put to review a standard aperture that the other sizes make another."""
    return Message(
        "aperture",
        _read(columns["aperture"], row),
        "an aperture of ISO 565; the other sizes make it "
        f"{_size('aperture', float(sizes.aperture[row]))}, which is used. Leave the "
        "count out if the aperture is what is meant.",
        "review",
        code="specification.aperture_altered",
    )


def named_cloth(
    columns: Mapping[str, QuantityColumn], row: int, sizes: Sizes, series: int
) -> Message:
    """Return the note on sizes that name one cloth of a series, which is used."""
    field, *rest = columns
    with_rest = [f"{f} {_shown(f, columns[f], row)}" for f in rest]
    cloth = ", ".join(
        f"{f} {_size(f, float(sizes.of(f)[row]))}"
        for f in ("mesh_count", "aperture", "wire_diameter")
    )
    return Message(
        field,
        _read(columns[field], row),
        f"with {_listed(with_rest, 'and')}, within their rounding, this names one cloth of the "
        f"series, {series_name(series)}: {cloth}. It is used.",
        "note",
        code="specification.named_cloth",
    )


def left_open(
    columns: Mapping[str, QuantityColumn],
    row: int,
    basis: tuple[str, str],
    meant: Mapping[str, FloatArray],
    mass: tuple[float, float],
    severity: Severity,
) -> Message:
    """Return what is said of a size that the rounding of two others leaves open.

    A refusal asks for it; anything less says what range is priced.
    """
    field = "pitch" if "wire_diameter" in basis else "wire_diameter"
    values = _values(columns, row)
    halves = {f: half[row : row + 1] for f, half in meant.items()}
    low, high = (float(size.of(field)[0]) for size in extent(basis, values, halves))
    pair = _listed([f"{f} {_shown(f, columns[f], row)}" for f in basis], "with")
    least = _size(field, low) if low > 0.0 else "nothing"
    where = f"{pair} leaves it anywhere from {least} to {_size(field, high)}, as they are rounded"
    if severity == "refused":
        return Message(
            field,
            "",
            f"{where}, which leaves the mass open too far for a price. Write it, or write "
            f"{_listed(basis, 'and')} to more digits.",
            code="specification.left_open",
        )
    less, more = (abs(share - 1.0) * 100 for share in mass)
    return Message(
        field,
        "",
        f"{where}: the mass may be {less:.0f} % less or {more:.0f} % more, which the price range "
        "covers. Write it to be sure.",
        severity,
        code="specification.priced_as_range",
    )


def by_difference(
    columns: Mapping[str, QuantityColumn],
    row: int,
    basis: tuple[str, str],
    wire: float,
    between: tuple[float, float] | None,
) -> Message:
    """Return what is said of a wire that is all that two sizes leave.

    Parameters
    ----------
    columns, row, basis
        The line's sizes, and the two that leave it.
    wire
        What is left [m].
    between
        Customary wires on either side [m]; None where no cloth has so little, and it is asked.
    """
    pair = _listed([f"{f} {_shown(f, columns[f], row)}" for f in basis], "with")
    left = f"{pair} leaves {_size('wire_diameter', wire)} for it"
    if between is None:
        why = (
            f"{left}, less than the wire of any cloth so open: one of them is perhaps of another "
            'cloth. Write the wire, such as "0.635 mm".'
        )
        return Message("wire_diameter", "", why, code="specification.wire_left_too_thin")
    low, high = (_size("wire_diameter", size) for size in between)
    said = (
        f"{left}, which is no customary wire; it may be {low} or {high}, which the price range "
        "covers. Write it to be sure."
    )
    return Message("wire_diameter", "", said, "review", code="specification.wire_by_difference")


def best_pair(given: Sequence[str], basis: tuple[str, str]) -> Message:
    """Return the note on lines that give more than they need, and agree."""
    first, second = basis
    return Message(
        first,
        _listed(given, "and"),
        f"more than two sizes, agreeing within their rounding; {first} with {second} is best "
        "determined and is used.",
        "note",
        code="specification.more_than_two",
    )


def _values(columns: Mapping[str, QuantityColumn], row: int) -> dict[str, FloatArray]:
    return {field: column.values[row : row + 1] for field, column in columns.items()}


def _listed(names: Sequence[str], word: str) -> str:
    *head, last = names
    return f"{', '.join(head)} {word} {last}" if head else last


def _read(column: QuantityColumn, row: int) -> str:
    cell = column.texts[row]
    return cell if isinstance(cell, str) else f"{cell:g}"


def _shown(field: str, column: QuantityColumn, row: int) -> str:
    """Text as it was read; a bare number is shown with its unit."""
    cell = column.texts[row]
    return f'"{cell}"' if isinstance(cell, str) else _size(field, float(column.values[row]))


def _size(field: str, value: float) -> str:
    """Size in the units that people use."""
    if not 0.0 < value < np.inf:
        return "that cannot be"
    if field == "mesh_count":
        return f"{value * METRES_PER_INCH:.4g} / in"
    if field == "open_area":
        return f"{value * 100:.4g} %"
    return f"{value * 1e3:.4g} mm ({value / METRES_PER_INCH:.4g} in)"
