"""From drafts to the cells and numbers of the lines, with what is to be asked."""

from __future__ import annotations

from meshcore.messages import Message
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import Fact
from meshcore.reading.letters.finished import Finished, ask, cell_text, take
from meshcore.reading.letters.forming import read_form
from meshcore.reading.letters.resolve import Customs, Size, resolve
from meshcore.reading.letters.vague import ask_drawn
from meshcore.reading.texts import read_text

_MM_PER_INCH = 25.4
#: Of a count per inch, how many per metre.
_PER_METRE = 1000.0 / _MM_PER_INCH


_TRUST_SIZE = ("aperture", "pitch")


def finish(line: Draft, customs: Customs) -> Finished:
    """Finish one line."""
    done = Finished()
    _cloth(line, customs, done)
    _words(line, done)
    read_form(line, customs, done)
    _quantity(line, customs, done)
    for fact in line.of("papers")[:1]:
        for column in ("mesh_count", "aperture", "wire_diameter", "alloy"):
            if column not in done.cells:
                ask(done, column, fact, f'"{fact.text}": which cloth was that?')
    for fact in (*line.of("drawn"), *line.of("papers"))[:1]:
        ask_drawn(done, f'"{fact.text}": what does it say?')
    done.cells["note"] = "; ".join(dict.fromkeys(line.notes))
    return done


def _cloth(line: Draft, customs: Customs, done: Finished) -> None:  # noqa: PLR0912
    for fact in line.of("pair")[:1]:
        shown = " x ".join(f.text for f in line.of("pair"))
        for column in ("mesh_count", "aperture", "wire_diameter"):
            if not line.has(column):
                ask(done, column, fact, f'"{shown}": count, opening or wire?')
    for fact in line.of("hole_or_pitch")[:1]:
        for column in ("aperture", "pitch"):
            if not line.has(column):
                ask(done, column, fact, f'"{fact.text} mesh": the opening or the pitch?')
    for fact in line.of("mesh_count")[-1:]:
        _count(fact, done)
    for column in _TRUST_SIZE:
        for fact in line.of(column)[-1:]:
            _size(column, fact, customs, done, None)
    for fact in line.of("open_area")[-1:]:
        if fact.item is not None and not fact.why:
            done.values["open_area_pct"] = fact.item.values[0]
            take(done, "open_area", fact, f"{fact.item.values[0]:g} %")
    pitch = _pitch(done)
    for fact in line.of("wire_diameter")[-1:]:
        if line.has("pair") and any(f.group == fact.group and fact.group for f in line.of("pair")):
            if fact.why:
                ask(done, "wire_diameter", fact, fact.why)
            continue
        _size("wire_diameter", fact, customs, done, pitch)


def _pitch(done: Finished) -> float | None:
    count = done.values.get("mesh_count_per_in")
    if isinstance(count, float) and count:
        return _MM_PER_INCH / count
    for name in ("pitch_mm", "aperture_mm"):
        found = done.values.get(name)
        if isinstance(found, float):
            return found
    return None


def _count(fact: Fact, done: Finished) -> None:
    item = fact.item
    if fact.why:
        ask(done, "mesh_count", fact, fact.why)
        return
    if item is None:
        return
    per = 2.54 if item.unit == "/cm" else 1.0
    count = min(item.values) * per
    done.values["mesh_count_per_in"] = count
    written = f"{min(item.values):g} {'/ cm' if item.unit == '/cm' else '/ in'}"
    read = read_text(fact.text, "count", "mesh_count") if fact.text != written else None
    if isinstance(read, Message) or read is None:
        take(done, "mesh_count", fact, written)
        return
    stands = abs(read.value / _PER_METRE - count) <= 1e-6 * count
    take(done, "mesh_count", fact, fact.text if stands else written)


def _size(column: str, fact: Fact, customs: Customs, done: Finished, pitch: float | None) -> None:
    if fact.item is None:
        if fact.why:
            ask(done, column, fact, fact.why)
        return
    size = (
        Size(None, why=fact.why) if fact.why else resolve(fact.item, column, "", customs, "", pitch)
    )
    if size.mm is None:
        ask(done, column, fact, size.why)
        return
    done.values[f"{column}_mm"] = size.mm
    take(done, column, fact, cell_text(fact, size, column))


def _words(line: Draft, done: Finished) -> None:
    for fact in line.of("weave")[-1:]:
        if fact.why:
            ask(done, "weave", fact, fact.why)
            continue
        done.values["weave"] = fact.value
        take(done, "weave", fact, str(fact.value))
    for fact in line.of("alloy")[-1:]:
        if fact.why:
            ask(done, "alloy", fact, fact.why)
            named = tuple(str(fact.value).split("|"))
            done.choices["alloy"] = named if len(named) > 1 else ()
            continue
        done.values["alloy"] = fact.value
        take(done, "alloy", fact, str(fact.value))
        if fact.value in ("stainless steel", "bronze"):
            done.asked.append(("alloy", f'"{fact.text}": which grade?'))
    services = list(dict.fromkeys(str(f.value) for f in line.of("services")))
    done.values["services"] = services
    if services:
        done.cells["services"] = ", ".join(services)
        done.evidence += [("services", f) for f in line.of("services")]


def _quantity(line: Draft, customs: Customs, done: Finished) -> None:
    for fact in line.of("quantity")[-1:]:
        why = fact.why or _grouped(fact, customs)
        if why:
            ask(done, "quantity", fact, why)
            continue
        done.values["quantity"] = int(float(fact.value))
        take(done, "quantity", fact, f"{float(fact.value):g}")


def _grouped(fact: Fact, customs: Customs) -> str:
    """Why a count is to be asked about: its sign may part thousands or decimals, "1.000 rolls"."""
    item = fact.item
    wholes = sorted(v for v in item.values if v == int(v)) if item is not None else []
    if item is None or len(wholes) < 2 or fact.value != wholes[-1]:  # noqa: PLR2004
        return ""
    if ("," if customs.comma else ".") not in item.text:
        return ""
    return f'"{item.text}": {wholes[0]:g} or {wholes[-1]:g}?'
