"""Files of letters to text: mail, web pages, documents."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Callable, Mapping
from email import message_from_bytes, policy
from email.message import EmailMessage
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree

#: More of a file than this is no letter.
_MOST_BYTES = 20_000_000
#: Unpacked text of a document is at most this, so that a packed bomb is refused.
_MOST_UNPACKED = 50_000_000
_WORD = "{http://schemas.openxmlformats.org/wordprocessingml/2006/main}"


class LetterError(ValueError):
    """A letter that cannot be opened; the message names the file and what would mend it."""


def open_letter(path: Path) -> str:
    """Return the text of a letter's file.

    Parameters
    ----------
    path
        A file of one of ``SUFFIXES``.

    Raises
    ------
    LetterError
        If it cannot be read, or is of another kind.
    """
    kind = _KINDS.get(path.suffix.casefold())
    if kind is None:
        raise LetterError(f"{path}: no kind of letter. Give one of {', '.join(_KINDS)}.")
    try:
        size = path.stat().st_size
        raw = path.read_bytes() if size <= _MOST_BYTES else b""
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "not a file name"
        raise LetterError(f"{path}: cannot be opened ({reason}).") from error
    if size > _MOST_BYTES:
        raise LetterError(f"{path}: larger than {_MOST_BYTES // 1_000_000} MB, so no letter.")
    return kind(raw, path)


def decode(raw: bytes) -> str:
    """Read bytes as the text they most likely are: UTF-16 by its mark, UTF-8, or Windows' own.

    Examples
    --------
    >>> decode("Ø 90".encode("cp1252")), decode("Ø 90".encode("utf-8"))
    ('Ø 90', 'Ø 90')
    """
    if raw[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return raw.decode("utf-16", "replace")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        return raw.decode("cp1252", "replace")


def _plain(raw: bytes, _: Path) -> str:
    return decode(raw)


def _markdown(raw: bytes, _: Path) -> str:
    text = decode(raw)
    text = re.sub(r"(?m)^#{1,6}[ \t]+", "", text)
    return re.sub(r"(\*\*|__|(?<![\w*])\*(?=\S)|(?<=\S)\*(?![\w*])|`)", "", text)


def _mail(raw: bytes, path: Path) -> str:
    mail = message_from_bytes(raw, policy=policy.default)
    if not isinstance(mail, EmailMessage):
        raise LetterError(f"{path}: not a mail.")
    try:
        body = mail.get_body(preferencelist=("plain", "html"))
        content = "" if body is None else body.get_content()
    except (LookupError, ValueError, AttributeError, KeyError) as error:
        raise LetterError(f"{path}: a mail whose text cannot be decoded ({error}).") from error
    text = content if isinstance(content, str) else decode(bytes(content))
    if body is not None and body.get_content_type() == "text/html":
        text = html_text(text)
    heads = [
        f"{name}: {' '.join(str(mail[name]).split())}"
        for name in ("From", "Subject", "Date")
        if mail[name]
    ]
    return "\n".join(heads) + "\n\n" + text


def _page(raw: bytes, _: Path) -> str:
    return html_text(decode(raw))


#: Elements that begin a new line, that hold no text, and that are a cell.
_BLOCKS = frozenset(
    {"p", "div", "br", "tr", "table", "ul", "ol", "h1", "h2", "h3", "h4", "h5", "h6", "hr", "body"}
)
_SILENT = frozenset({"script", "style", "head", "title", "noscript", "template"})
_CELLS = frozenset({"td", "th"})


class _Page(HTMLParser):
    """Text of a page: a row of a table a line, its cells parted by bars; quotations by ">"."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.parts: list[str] = []
        self.silent = 0
        self.quoted = 0
        self.numbers: list[int] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:  # noqa: ARG002 - as the base says
        if tag in _SILENT:
            self.silent += 1
        elif tag == "blockquote":
            self.quoted += 1
            self._line()
        elif tag == "ol":
            self.numbers.append(0)
        elif tag == "ul":
            self.numbers.append(-1)
        if tag == "li":
            self._line()
            self.parts.append(self._marker())
        elif tag in _CELLS:
            self.parts.append(" | ")
        elif tag in _BLOCKS:
            self._line()
            if tag in ("p", "table"):
                self._line()

    def handle_endtag(self, tag: str) -> None:
        if tag in _SILENT:
            self.silent = max(self.silent - 1, 0)
        elif tag == "blockquote":
            self.quoted = max(self.quoted - 1, 0)
            self._line()
        elif tag in ("ol", "ul") and self.numbers:
            self.numbers.pop()
        if tag in _BLOCKS and tag != "br":
            self._line()

    def handle_data(self, data: str) -> None:
        if not self.silent:
            self.parts.append(re.sub(r"[ \t\r\n\f]+", " ", data))

    def _line(self) -> None:
        self.parts.append("\n" + "> " * self.quoted)

    def _marker(self) -> str:
        if not self.numbers or self.numbers[-1] < 0:
            return "- "
        self.numbers[-1] += 1
        return f"{self.numbers[-1]}. "


def html_text(page: str) -> str:
    """Return the text of a page.

    Examples
    --------
    >>> html_text("<ol><li>2 rolls<li>5 discs</ol><table><tr><td>1<td>304</table>").split()
    ['1.', '2', 'rolls', '2.', '5', 'discs', '|', '1', '|', '304']
    """
    reader = _Page()
    reader.feed(page)
    reader.close()
    lines = [line.rstrip() for line in "".join(reader.parts).split("\n")]
    text = re.sub(r"(?<=\n)(?:> )*\n(?=(?:> )* ?\|)", "", "\n".join(lines))
    return re.sub(r"\n{3,}", "\n\n", text).strip("\n")


def _document(raw: bytes, path: Path) -> str:
    import io  # noqa: PLC0415 - only where a document is read

    try:
        with zipfile.ZipFile(io.BytesIO(raw)) as packed:
            if packed.getinfo("word/document.xml").file_size > _MOST_UNPACKED:
                raise LetterError(f"{path}: unpacks to more than a letter holds.")
            inner = packed.read("word/document.xml")
        if b"<!DOCTYPE" in inner or b"<!ENTITY" in inner:
            raise LetterError(f"{path}: declares entities, which no letter does.")
        body = ElementTree.fromstring(inner).find(f"{_WORD}body")
    except (
        zipfile.BadZipFile,
        KeyError,
        ElementTree.ParseError,
        NotImplementedError,
        RuntimeError,
    ) as error:
        raise LetterError(f"{path}: not a .docx document. Save it as .docx or .txt.") from error
    return "" if body is None else "\n".join(_block_texts(body))


def _block_texts(body: ElementTree.Element) -> list[str]:
    """Lines of a document: a paragraph each, and a row of a table each."""
    lines: list[str] = []
    for block in body:
        if block.tag == f"{_WORD}p":
            listed = block.find(f"{_WORD}pPr/{_WORD}numPr") is not None
            lines.append(("- " if listed else "") + _run_text(block))
        elif block.tag == f"{_WORD}tbl":
            lines.append("")
            for row in block.iter(f"{_WORD}tr"):
                cells = [
                    " ".join(_run_text(p) for p in cell.iter(f"{_WORD}p"))
                    for cell in row.iter(f"{_WORD}tc")
                ]
                lines.append("| " + " | ".join(cells) + " |")
            lines.append("")
        elif block.tag == f"{_WORD}sdt":
            lines += _block_texts(block.find(f"{_WORD}sdtContent") or ElementTree.Element("none"))
    return lines


def _run_text(paragraph: ElementTree.Element) -> str:
    """Text of a paragraph; what was struck out as a deletion is left out."""
    parts: list[str] = []
    for node in paragraph.iter():
        if node.tag == f"{_WORD}t":
            parts.append(node.text or "")
        elif node.tag == f"{_WORD}tab":
            parts.append("\t")
        elif node.tag in (f"{_WORD}br", f"{_WORD}cr"):
            parts.append("\n")
    return "".join(parts)


def _printed(raw: bytes, path: Path) -> str:
    import io  # noqa: PLC0415 - only where a PDF is read

    try:
        import pypdf  # noqa: PLC0415 - an extra, loaded when a PDF is read
        from pypdf.errors import PyPdfError  # noqa: PLC0415
    except ImportError as error:
        raise LetterError(
            f"{path}: to read PDF, install the extra: pip install 'wirecloth-meshcore[letters]'."
        ) from error
    try:
        pages = [
            page.extract_text(extraction_mode="layout")
            for page in pypdf.PdfReader(io.BytesIO(raw)).pages
        ]
    except (
        PyPdfError,
        ValueError,
        KeyError,
        TypeError,
        IndexError,
        AttributeError,
        RecursionError,
    ) as error:
        raise LetterError(
            f"{path}: not a PDF that can be read ({type(error).__name__})."
        ) from error
    text = "\n".join(pages)
    if not text.strip():
        raise LetterError(
            f"{path}: a PDF without text, a picture of a letter. Type it, or read it by machine first."  # noqa: E501
        )
    return text


_KINDS: Mapping[str, Callable[[bytes, Path], str]] = {
    ".txt": _plain,
    ".text": _plain,
    ".eml": _mail,
    ".html": _page,
    ".htm": _page,
    ".md": _markdown,
    ".docx": _document,
    ".pdf": _printed,
}
#: Kinds of file that a letter may be.
SUFFIXES: tuple[str, ...] = tuple(_KINDS)
