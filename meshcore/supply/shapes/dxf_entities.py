"""Entities of a drawing that may be outlines, and those set aside by the name of where they are."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

#: Words in names of layers and blocks, in languages of drawings, by what stands on them (common
#: practice, no source).
_NAMED: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("a frame or title block", (
        "frame", "border", "title", "rahmen", "schriftfeld", "cadre", "cartouche", "marco",
        "cajetin", "viewport",
    )),
    ("a centre line", ("center", "centre", "centro", "axis", "achse", "mittel", "axe", "eje")),
    ("a hidden line", ("hidden", "verdeckt", "cache", "oculta")),
    ("a dimension or text", ("dim", "text", "annot", "note", "bemass", "masse", "cota", "cote")),
    ("a construction line", ("construct", "hilfs", "guide", "sketch", "auxil")),
)  # fmt: skip
#: How names of linetypes begin whose lines are not cut: broken ones (ISO 128-2 has broken lines
#: for axes and hidden edges; from memory).
_BROKEN = ("center", "centre", "dash", "hidden", "phantom", "dot", "divide", "border", "acad_iso",
           "strichpunkt", "verdeckt", "axes", "axis")  # fmt: skip
#: What is drawn, as ezdxf names it.
_TEXTS = ("TEXT", "MTEXT", "ATTRIB", "DIMENSION", "LEADER", "MULTILEADER")


#: Layer that pieces are written on here: what is on it is cut, and is no frame.
CUT_LAYER = "pieces"


@dataclass(frozen=True, slots=True)
class Drawn:
    """An entity with the layer that it is on, and why it is set aside; empty where it is read."""

    entity: Any
    layer: str
    aside: str


def drawn_entities(drawing: Any, layers: Sequence[str]) -> Iterator[Drawn]:  # noqa: ANN401 - untyped package
    """Entities of model space, inserted blocks and arrays of them opened, on layers that are on.

    Parameters
    ----------
    drawing
        The drawing of ezdxf.
    layers
        Layers that are asked for: only these are read, whatever they are called; none for all
        that are on.
    """
    wanted = {layer.casefold() for layer in layers}
    hidden = {
        layer.dxf.name.casefold() for layer in drawing.layers if layer.is_off() or layer.is_frozen()
    }
    # Points of dimensions stand on a layer of their own that is never plotted.
    hidden.add("defpoints")
    pending = [(entity, "", "") for entity in drawing.modelspace()][::-1]
    while pending:
        entity, of_insert, block = pending.pop()
        layer = str(entity.dxf.layer)
        # What lies on layer 0 of a block is on the layer that the block is inserted on.
        layer = of_insert if layer == "0" and of_insert else layer
        if entity.dxftype() == "INSERT":
            named = block or _named(str(entity.dxf.name))
            placed = list(entity.multi_insert()) if entity.mcount > 1 else [entity]
            inner = [one for each in placed for one in each.virtual_entities()]
            pending += [(one, layer, named) for one in inner[::-1]]
            continue
        key = layer.casefold()
        if key in wanted if wanted else key not in hidden:
            aside = "" if wanted else block or _named(layer)
            yield Drawn(entity, layer, aside or _broken(entity, drawing))


def _named(name: str) -> str:
    """Return what a layer or block is called for; empty where its name says nothing."""
    plain = name.casefold()
    return next((what for what, words in _NAMED if any(word in plain for word in words)), "")


def _broken(entity: Any, drawing: Any) -> str:  # noqa: ANN401 - untyped package
    linetype = str(entity.dxf.get("linetype", "BYLAYER"))
    if linetype.casefold() == "bylayer":
        name = entity.dxf.layer
        known = drawing.layers.has_entry(name)
        linetype = str(drawing.layers.get(name).dxf.linetype) if known else "CONTINUOUS"
    if linetype.casefold().startswith(_BROKEN):
        return f"a line of the broken linetype {linetype}"
    return ""


def is_text(drawn: Drawn) -> bool:
    """Tell whether an entity is lettering or a dimension."""
    return drawn.entity.dxftype() in _TEXTS


def text_place(drawn: Drawn, metres: float) -> tuple[float, float] | None:
    """Where lettering begins [m]; None where it does not say."""
    for name in ("insert", "defpoint"):
        spot = drawn.entity.dxf.get(name, None)
        if spot is not None:
            return spot.x * metres, spot.y * metres
    return None
