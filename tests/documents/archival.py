"""What PDF/A-3 (level A) and PDF/UA-1 ask of a file, as far as its structure shows it.

Clauses are of ISO 19005-3:2012 ("A") and ISO 14289-1:2014 ("UA"), from memory. What needs a look at
every glyph, or a judgement (does a text serve in place of its figure?), is not here;
`test_pages.py` adds what the package pdfua checks, and Typst refuses to write what breaks its own
checks of both.
"""

from __future__ import annotations

import io
from collections.abc import Iterable, Iterator
from typing import Any

import pikepdf

#: Structure types of PDF 1.7 (ISO 32000-1, 14.8.4) that these documents may use.
_TYPES = frozenset([
    "Document", "Part", "Sect", "Div", "P", "H1", "H2", "H3", "L", "LI", "Lbl", "LBody", "Table",
    "THead", "TBody", "TFoot", "TR", "TH", "TD", "Span", "Figure", "Caption", "Link", "NonStruct",
])  # fmt: skip
#: Operators that show something: text, images, paths, shadings.
_SHOWING = frozenset(
    ["Tj", "TJ", "'", '"', "Do", "S", "s", "f", "F", "f*", "B", "B*", "b", "b*", "sh"]
)
#: Operators of a device's CMYK, which the output intent of RGB does not cover (A 6.2.4.3).
_CMYK = frozenset(["k", "K"])


def faults(content: bytes) -> list[str]:
    """List what a file breaks, a clause each; none if it stands."""
    with pikepdf.open(io.BytesIO(content)) as file:
        return [
            *_file(content, file), *_metadata(file), *_colours(file), *_attached(file),
            *_fonts(file), *_structure(file), *_marked_content(file),
        ]  # fmt: skip


def _file(content: bytes, file: pikepdf.Pdf) -> Iterator[str]:
    second = content.split(b"\n", 2)[1]
    if not content.startswith(b"%PDF-1.") or second[:1] != b"%" or min(second[1:5]) < 128:
        yield "A 6.1.2: no header with a comment of four bytes beyond ASCII"
    if "/ID" not in file.trailer:
        yield "A 6.1.3: no file identifier"
    if file.is_encrypted:
        yield "A 6.1.3: encrypted"
    for thing in file.objects:
        if isinstance(thing, pikepdf.Stream):
            if "LZWDecode" in str(thing.get("/Filter", "")):
                yield "A 6.1.7.2: a stream is LZW"
            if "/F" in thing and "/Type" not in thing:
                yield "A 6.1.7.1: a stream lies outside the file"
        if isinstance(thing, pikepdf.Dictionary) and str(thing.get("/S", "")) in (
            "/JavaScript", "/Launch", "/Sound", "/Movie",
        ):  # fmt: skip
            yield f"A 6.5.1: action {thing.S}"
    root: Any = file.Root
    for name in ("/OpenAction", "/AA", "/OCProperties", "/NeedsRendering"):
        if name in root:
            yield f"A 6.5, 6.9: {name} in the catalogue"
    if any("/AA" in page or "/Annots" in page for page in file.pages):
        yield "A 6.3: annotations, of which these documents have none"


def _metadata(file: pikepdf.Pdf) -> Iterator[str]:
    root: Any = file.Root
    if "/Metadata" not in root or "/Filter" in root.Metadata:
        yield "A 6.6.2.1: no XMP that can be read without this standard"
        return
    with file.open_metadata(set_pikepdf_as_editor=False, update_docinfo=False) as held:
        if (held.get("pdfaid:part"), held.get("pdfaid:conformance")) != ("3", "A"):
            yield "A 6.6.4: not marked as PDF/A-3a"
        if held.get("{http://www.aiim.org/pdfua/ns/id/}part") != "1":
            yield "UA 5: not marked as PDF/UA-1"
        if not held.get("dc:title"):
            yield "UA 7.1: no title"
        told = {"/Title": held.get("dc:title"), "/Creator": held.get("xmp:CreatorTool")}
        for name, text in told.items():
            if name in file.docinfo and str(file.docinfo[name]) != text:
                yield f"A 6.6.3: {name} is other in the XMP"
    if not root.get("/ViewerPreferences", {}).get("/DisplayDocTitle"):
        yield "UA 7.1: the title is not shown"
    if not str(root.get("/Lang", "")):
        yield "UA 7.2: no language"


def _colours(file: pikepdf.Pdf) -> Iterator[str]:
    intents = [one for one in file.Root.get("/OutputIntents", []) if one.S == "/GTS_PDFA1"]
    profiles = [one.get("/DestOutputProfile") for one in intents]
    if len(intents) != 1 or profiles[0] is None:
        yield "A 6.2.3: not one output intent with its profile"
        return
    profile = profiles[0].read_bytes()
    # ICC.1: the signature "acsp" at byte 36, the colour space at 16.
    if profile[36:40] != b"acsp" or profile[16:20] != b"RGB " or profiles[0].N != 3:
        yield "A 6.2.3: the profile is none of RGB"


def _attached(file: pikepdf.Pdf) -> Iterator[str]:
    named = file.attachments
    listed = [str(one.UF) for one in file.Root.get("/AF", [])]
    if sorted(named) != sorted(listed):
        yield "A 6.8: a file is attached and is associated with nothing"
    for one in file.Root.get("/AF", []):
        stream: Any = one.EF.get("/UF", one.EF.get("/F"))
        if "/AFRelationship" not in one or "/F" not in one or "/UF" not in one:
            yield f"A 6.8: {one.UF} tells no relationship, or no name"
        if "/Subtype" not in stream or "/ModDate" not in stream.get("/Params", {}):
            yield f"A 6.8: {one.UF} tells no kind, or no date"


def _fonts(file: pikepdf.Pdf) -> Iterator[str]:
    for thing in file.objects:
        if not isinstance(thing, pikepdf.Dictionary) or thing.get("/Type") != "/Font":
            continue
        if thing.Subtype == "/Type0" and "/ToUnicode" not in thing:
            yield f"A 6.2.11.7.2: {thing.BaseFont} has no Unicode"
        described = thing.get("/FontDescriptor")
        if described is not None and not {"/FontFile", "/FontFile2", "/FontFile3"} & set(
            described.keys()
        ):
            yield f"A 6.2.11.4: {thing.BaseFont} is not embedded"


def elements(node: Any) -> Iterator[pikepdf.Dictionary]:
    """Yield the structure elements below a node, in reading order."""
    for kid in node if isinstance(node, pikepdf.Array) else [node]:
        if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
            yield kid
        if isinstance(kid, pikepdf.Dictionary) and "/K" in kid and not isinstance(kid.K, int):
            yield from elements(kid.K)


def _structure(file: pikepdf.Pdf) -> Iterator[str]:
    root: Any = file.Root
    if not root.get("/MarkInfo", {}).get("/Marked") or "/StructTreeRoot" not in root:
        yield "A 6.7.2, UA 7.1: not tagged"
        return
    if root.MarkInfo.get("/Suspects"):
        yield "UA 7.1: suspects"
    tree = root.StructTreeRoot
    if "/ParentTree" not in tree:
        yield "UA 7.1: no parent tree"
    roles = {str(name) for name in tree.get("/RoleMap", {})}
    level = 0
    for one in elements(tree.K):
        kind = str(one.S).lstrip("/")
        if kind not in _TYPES and f"/{kind}" not in roles:
            yield f"UA 7.1: {kind} is no standard type"
        if kind == "Figure" and not str(one.get("/Alt", "")).strip():
            yield "UA 7.3: a figure without a text in its place"
        if kind[0] == "H" and kind[1:].isdigit():
            if int(kind[1:]) > level + 1:
                yield f"UA 7.4.2: {kind} under a heading of level {level}"
            level = int(kind[1:])
        if kind == "Table":
            yield from _table(one)


def _table(table: pikepdf.Dictionary) -> Iterator[str]:
    """Rows of one length, spans counted; and heads that say what they head (UA 7.5)."""
    rows = [one for one in elements(table.K) if one.S == "/TR"]
    heads = [one for row in rows for one in elements(row.K) if one.S == "/TH"]
    if not heads or not all("/Scope" in _attributes(one) for one in heads):
        yield "UA 7.5: heads of a table that do not say of what"
    widths: list[int] = []
    left: list[int] = []  # Rows that each open span still reaches into.
    for row in rows:
        width, left = len(left), [n - 1 for n in left if n > 1]
        for cell in elements(row.K):
            if cell.S not in ("/TD", "/TH"):
                continue
            own = _attributes(cell)
            across, down = int(own.get("/ColSpan", 1)), int(own.get("/RowSpan", 1))
            width += across
            left += [down - 1] * across if down > 1 else []
        widths.append(width)
    if len(set(widths)) > 1 or left:
        yield f"UA 7.5: a table whose rows have {widths} columns"


def _attributes(element: pikepdf.Dictionary) -> dict[str, Any]:
    held = element.get("/A", pikepdf.Array())
    parts: Iterable[Any] = held if isinstance(held, pikepdf.Array) else [held]
    return {str(name): value for one in parts for name, value in one.items()}


def _marked_content(file: pikepdf.Pdf) -> Iterator[str]:
    """All that is shown is tagged, or is marked as an artifact (UA 7.1); nothing in CMYK."""
    for number, page in enumerate(file.pages, 1):
        open_: list[bool] = []
        bare = cmyk = 0
        for shown in pikepdf.parse_content_stream(page):
            operands: Any = shown.operands
            operator = shown.operator
            name = str(operator)
            if name in ("BDC", "BMC"):
                told = operands[1] if name == "BDC" else {}
                tagged = isinstance(told, pikepdf.Dictionary) and "/MCID" in told
                open_.append(tagged or str(operands[0]) == "/Artifact")
            elif name == "EMC":
                open_.pop()
            bare += name in _SHOWING and not any(open_)
            cmyk += name in _CMYK
        if bare:
            yield f"UA 7.1: page {number} shows {bare} things that are neither tagged nor artifacts"
        if cmyk:
            yield f"A 6.2.4.3: page {number} has colours of a device's CMYK"
