"""Which shape a text means, and which of its sizes is which."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(slots=True)
class Found:
    """What stands in a text: shapes named, sizes with their names, and pieces counted."""

    shapes: list[str] = field(default_factory=list)
    sizes: list[tuple[str, str, float, str]] = field(default_factory=list)
    words: list[str] = field(default_factory=list)
    counts: list[float] = field(default_factory=list)
    unknown: str = ""


def _with_unit(text: str, unit: str) -> str:
    return text if " " in text or text.endswith("°") else f"{text} {unit}".strip()


def name_sizes(found: Found, unit: str) -> tuple[str, str] | None:  # noqa: PLR0911, PLR0912 - one return for each shape
    """Give the sizes their names by the shape, or by how many they are."""
    by: dict[str, list[str]] = {}
    for label, text, _, _ in found.sizes:
        kind = "angle" if text.endswith("°") else label
        by.setdefault(kind, []).append(_with_unit(text, unit))
    bare = by.pop("side", []) + by.get("", []) if "triangle" in found.shapes else by.get("", [])
    values = [value for label, text, value, _ in found.sizes if not label and text[-1] != "°"]
    shapes = set(found.shapes) - {"rectangle"}
    angle = by.get("angle", [])
    radii = by.get("radius", []) + by.get("outer radius", []) + by.get("inner radius", [])
    wide = by.get("diameter", [])
    if angle and len(angle) == 1 and len(radii) == 2 and not bare:  # noqa: PLR2004 - outer and inner
        sizes = (
            f"outer radius {radii[0]}, inner radius {radii[1]}, angle {angle[0].replace(' ', '')}"
        )
        return "ring segment", sizes
    if angle and len(radii) == 1 and shapes <= {"sector"} and not bare:
        return "sector", f"radius {radii[0]}, angle {angle[0].replace(' ', '')}"
    if angle and shapes == {"sector"} and len(wide) == 1 and not bare:
        return "sector", f"diameter {wide[0]}, angle {angle[0].replace(' ', '')}"
    both = [*bare, *wide]
    if angle and shapes <= {"sector", "ring segment"} and shapes and len(both) == 2:  # noqa: PLR2004 - outer and inner
        size = "diameter" if wide else "radius"
        turn = angle[0].replace(" ", "")
        return "ring segment", f"outer {size} {both[0]}, inner {size} {both[1]}, angle {turn}"
    if angle:
        return None
    if by.keys() >= {"outer diameter", "inner diameter"} and not bare:
        return "ring", _ring(by["outer diameter"][0], by["inner diameter"][0])
    hollow = [*bare, *wide]
    if shapes <= {"disc", "ring"} and len(by.get("hole", [])) == 1 and len(hollow) == 1:
        return "ring", _ring(hollow[0], by["hole"][0])
    if shapes == {"ring"} and len(hollow) == 2 and set(by) <= {"", "diameter"}:  # noqa: PLR2004 - outer and inner
        return _plain_ring(found, hollow)
    if shapes == {"half disc"}:
        return _one("half disc", "diameter", [*bare, *wide], radii)
    if len(found.sizes) == 1 and (even := _even_sided(shapes, by)):
        return even
    if shapes == {"quarter disc"} and not bare and len(radii) + len(wide) == 1:
        size = f"radius {radii[0]}" if radii else f"diameter {wide[0]}"
        return "sector", f"{size}, angle 90°"
    if shapes == {"trapezoid"} and (sizes := _trapezoid(found, by, bare)):
        return "trapezoid", sizes
    if shapes <= {"rectangle with holes"} and (sizes := _with_holes(found, by, bare)):
        return "rectangle with holes", sizes
    if shapes == {"equilateral triangle"} and len(bare) == 1:
        return "triangle", f"side a {bare[0]}, side b {bare[0]}, side c {bare[0]}"
    pairs = {"ellipse": ("width", "height"), "obround": ("length", "width"),
             "right triangle": ("base", "height")}  # fmt: skip
    if len(shapes) == 1 and (names := pairs.get(next(iter(shapes)))) and len(bare) == len(names):
        sizes = ", ".join(f"{name} {text}" for name, text in zip(names, bare, strict=True))
        return next(iter(shapes)), sizes if len(found.sizes) == len(bare) else ""
    if shapes == {"triangle"} and len(found.sizes) == 1 and found.sizes[0][0] == "side":
        return "triangle", f"side a {bare[0]}, side b {bare[0]}, side c {bare[0]}"
    if shapes == {"triangle"} and len(bare) == 3 and len(found.sizes) == 3:  # noqa: PLR2004 - three sides
        return "triangle", f"side a {bare[0]}, side b {bare[1]}, side c {bare[2]}"
    return _flat(found, by, bare, radii, wide, values)


def _even_sided(shapes: set[str], by: dict[str, list[str]]) -> tuple[str, str] | None:
    """Regular shapes by their one size: across flats, across corners or the side."""
    name = next(iter(shapes), "hexagon")
    if name not in ("hexagon", "octagon", "pentagon") or len(shapes) > 1:
        return None
    if by.get("across flats"):
        return name, f"across flats {by['across flats'][0]}"
    if shapes and by.get("across corners"):
        return name, f"diameter {by['across corners'][0]}"
    return (name, f"side {by['side'][0]}") if shapes and by.get("side") else None


def _trapezoid(found: Found, by: dict[str, list[str]], bare: list[str]) -> str:
    """Sizes of a trapezoid: by name, or its two sides with a stroke between, times its height."""
    if by.keys() == {"base", "top", "height"} and len(found.sizes) == 3:  # noqa: PLR2004 - one of each
        return f"base {by['base'][0]}, top {by['top'][0]}, height {by['height'][0]}"
    signs = "".join(sign for _, _, _, sign in found.sizes)
    if signs == "/×" and len(bare) == len(found.sizes) == 3:  # noqa: PLR2004 - base, top, height
        return f"base {bare[0]}, top {bare[1]}, height {bare[2]}"
    return ""


#: Most holes at the corners of a rectangle.
_CORNERS = 4


def _with_holes(found: Found, by: dict[str, list[str]], bare: list[str]) -> str:
    """Sizes of a rectangle with holes, whose place is still to be said: "600x400, 4 holes Ø20"."""
    values = [value for _, _, value, _ in found.sizes]
    holes = by.get("hole", [])
    named = len(bare) == 3 and len(holes) == 1 and found.sizes[-1][0] == "hole"  # noqa: PLR2004 - width, height, how many
    plain = len(bare) == 4 and "rectangle with holes" in found.shapes  # noqa: PLR2004 - and their size
    if not (named or plain) or len(values) != 4 or values[2] > _CORNERS or " " in found.sizes[2][1]:  # noqa: PLR2004 - all named above
        return ""
    bore = holes[0] if named else bare[3]
    return f"width {bare[0]}, height {bare[1]}, holes {values[2]:g}, hole diameter {bore}"


def _ring(outer: str, inner: str) -> str:
    return f"outer diameter {outer}, inner diameter {inner}"


#: A bore of less than this share of a ring may be the width of its face instead [-].
_LEAST_BORE = 0.2


def _plain_ring(found: Found, sizes: list[str]) -> tuple[str, str] | None:
    values = [value for _, _, value, _ in found.sizes]
    small, great = sorted(range(2), key=lambda n: values[n])
    if values[small] < _LEAST_BORE * values[great] or values[small] == values[great]:
        return None
    return "ring", _ring(sizes[great], sizes[small])


def _one(name: str, size: str, texts: list[str], radii: list[str]) -> tuple[str, str] | None:
    if len(texts) + len(radii) != 1:
        return None
    return name, f"{size} {texts[0]}" if texts else f"radius {radii[0]}"


_HEIGHT_WORDS = frozenset(
    {"h", "high", "height", "hohe", "hoch", "hauteur", "haut", "alto", "altura"}
)


def _flat(  # noqa: PLR0911, PLR0912 - one return for each flat shape
    found: Found,
    by: dict[str, list[str]],
    bare: list[str],
    radii: list[str],
    wide: list[str],
    values: list[float],
) -> tuple[str, str] | None:
    """Discs, squares and rectangles, with rounded or notched corners."""
    shapes = set(found.shapes) - {"rectangle"}
    labels = set(by)
    notch = by.get("notch", [])
    if notch and by.get("height") and len(bare) == 2:  # noqa: PLR2004 - an L is no length here
        bare = [by["height"][0], *bare]
    if notch and len(bare) == 3 and len(notch) == 1:  # noqa: PLR2004 - width, height, notch's height
        sizes = f"width {bare[0]}, height {bare[1]}, notch width {notch[0]}, notch height {bare[2]}"
        return "notched rectangle", sizes if shapes <= {"notched rectangle"} else ""
    if shapes <= {"disc"} and labels <= {"", "diameter", "radius"}:
        counted = len(bare) == 1 and len(wide) == 1 and found.sizes[0][0] == "" and not shapes
        if counted and found.counts:
            return None
        if counted and found.sizes[1][3] == "×" and " " not in found.sizes[0][1]:
            return "disc", f"diameter {wide[0]}"
        if (wide or shapes) and (one := _one("disc", "diameter", [*bare, *wide], radii)):
            return one
    if shapes == {"square"} and labels == {""}:
        if len(bare) == 1:
            return "square", f"side {bare[0]}"
        return (
            ("rectangle", f"width {bare[0]}, height {bare[1]}") if values[0] == values[-1] else None
        )
    if len(bare) == 3 and len(radii) == 1 and values[2] == _CORNERS and found.sizes[3][3] == "×":  # noqa: PLR2004 - and four corners
        bare, found.sizes[:] = bare[:2], [*found.sizes[:2], found.sizes[3]]
    three = shapes == {"rounded rectangle"} and len(bare) == len(found.sizes) == 3  # noqa: PLR2004 - and the radius last
    if three and values[2] < min(values[:2]) / 2:
        bare, radii = bare[:2], bare[2:]
    if shapes <= {"rounded rectangle"} and len(bare) == 2 and len(radii) == 1:  # noqa: PLR2004 - width and height
        sizes = f"width {bare[0]}, height {bare[1]}, corner radius {radii[0]}"
        return "rounded rectangle", sizes if len(found.sizes) == 3 else ""  # noqa: PLR2004 - and a radius
    if not shapes and labels == {"width", "height"} and len(found.sizes) == 2:  # noqa: PLR2004 - one of each
        first, second = by["height"][0], by["width"][0]
        if _HEIGHT_WORDS & set(found.words):  # a height is no length, and stands as it is named
            first, second = second, first
        return "rectangle", f"width {first}, height {second}"
    parting = ("×", "/") if "rectangle" in found.shapes else ("×",)
    joined = len(found.sizes) == 2 and found.sizes[1][3] in parting  # noqa: PLR2004 - width and height
    if not shapes and labels == {""} and joined:
        return "rectangle", f"width {bare[0]}, height {bare[1]}"
    return None
