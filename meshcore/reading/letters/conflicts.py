"""Sizes of one line that cannot all be true are asked about."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.reading.letters.finished import Finished

_MM_PER_INCH = 25.4
#: Stated sizes that disagree by more than this share of the pitch are in conflict: nominal sizes
#: are rounded by a few per cent (common practice, no source).
_SLACK = 0.06
#: Pitch, opening and wire stated all three are rounded less, as they are sums (our choice).
_SUM_SLACK = 0.03


def ask_conflicts(done: Finished) -> None:
    """Ask about count, pitch, opening and wire that contradict each other."""
    values = done.values
    count, pitch = values.get("mesh_count_per_in"), values.get("pitch_mm")
    aperture, wire = values.get("aperture_mm"), values.get("wire_diameter_mm")
    pitches = []
    if isinstance(count, float) and count:
        pitches.append(_MM_PER_INCH / count)
    if isinstance(pitch, float):
        pitches.append(pitch)
    if isinstance(aperture, float) and isinstance(wire, float):
        pitches.append(aperture + wire)
    summed = isinstance(aperture, float) and isinstance(wire, float) and isinstance(pitch, float)
    slack = _SUM_SLACK if summed and len(pitches) == 2 else _SLACK  # noqa: PLR2004
    if len(pitches) > 1 and max(pitches) - min(pitches) > slack * max(pitches):
        for column, name in (
            ("mesh_count", "mesh_count_per_in"),
            ("pitch", "pitch_mm"),
            ("aperture", "aperture_mm"),
            ("wire_diameter", "wire_diameter_mm"),
        ):
            if values.get(name) is not None:
                done.asked.append((column, "count, pitch, opening and wire do not agree"))


def ask_numbered(done: Sequence[Finished]) -> None:
    """Ask about counts that number the lines, where opening and wire say the cloth already.

    "1 mesh 1/2" opening", "2 mesh 3/8" opening": the first numbers may be those of the items.
    """
    counts = [one.values.get("mesh_count_per_in") for one in done]
    if len(done) < 2 or counts != [float(n) for n in range(1, len(done) + 1)]:  # noqa: PLR2004
        return
    if all("aperture_mm" in one.values and "wire_diameter_mm" in one.values for one in done):
        for one, count in zip(done, counts, strict=True):
            why = f'"{count:g} mesh": a count, or the number of the item?'
            ask_doubtful(one, frozenset({"mesh_count"}), why)


#: Names of facts → columns of the cells and of the values that hold them.
_HELD = {
    "mesh_count": ("mesh_count", "mesh_count_per_in"),
    "aperture": ("aperture", "aperture_mm"),
    "pitch": ("pitch", "pitch_mm"),
    "wire_diameter": ("wire_diameter", "wire_diameter_mm"),
    "alloy": ("alloy", "alloy"),
    "quantity": ("quantity", "quantity"),
    "weave": ("weave", "weave"),
}


def ask_doubtful(done: Finished, names: frozenset[str], why: str) -> None:
    """Leave open what a correction may have changed, and ask."""
    for name in names:
        held = (
            ("width", "length", "dimensions") if name == "dim" else (_HELD.get(name, (name,))[0],)
        )
        for column in held:
            if done.cells.pop(column, None) is not None:
                done.asked.append((column, why))
        for value in (
            ("width_mm", "length_mm", "sizes_mm")
            if name == "dim"
            else _HELD.get(name, ("", name))[1:]
        ):
            done.values.pop(value, None)
