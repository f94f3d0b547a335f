"""Files of letters to text: mail, web pages, documents."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Callable, Mapping
from email import message_from_bytes, policy
from email.message import EmailMessage
from pathlib import Path
from xml.etree import ElementTree

from meshcore.reading.letters.pages import html_text

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
    return lines_ended(kind(raw, path))


def decode(raw: bytes) -> str:
    """Read bytes as the text they most likely are: UTF-16 by its mark, UTF-8, or Windows' own.

    Examples
    --------
    >>> decode("Ø 90".encode("cp1252")), decode("Ø 90".encode("utf-8"))
    ('Ø 90', 'Ø 90')
    """
    if raw[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return raw.decode("utf-16", "replace")
    wide = _wide(raw)
    if wide:
        return raw.decode(wide, "replace")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        return raw.decode("cp1252", "replace")


#: Of so many bytes at the head, the share that is nought in UTF-16 of Latin letters (our choice).
_HEAD, _NOUGHTS = 400, 0.3


def _wide(raw: bytes) -> str:
    """Name of the UTF-16 that bytes without its mark are in; empty where they are not."""
    head = raw[:_HEAD]
    even, odd = head[::2].count(0), head[1::2].count(0)
    if max(even, odd) < _NOUGHTS * len(head) / 2 or not head:
        return ""
    return "utf-16-be" if even > odd else "utf-16-le"


def lines_ended(text: str) -> str:
    """Return the text with one sign for a line's end, whatever machine wrote it."""
    return text.replace("\r\n", "\n").replace("\r", "\n")


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
    text = "\n\n".join([text, *_other_texts(mail, body)])
    heads = [
        f"{name}: {' '.join(head.split())}"
        for name in ("From", "Subject", "Date")
        if (head := _head(mail, name))
    ]
    return "\n".join(heads) + "\n\n" + text


def _head(mail: EmailMessage, name: str) -> str:
    """Return a head of a mail; a damaged one as it stands in the file."""
    try:
        return str(mail[name] or "")
    except Exception:  # noqa: BLE001 - the parser of heads lets whatever a damaged one leads to through
        raw = (value for head, value in mail.raw_items() if head.casefold() == name.casefold())
        return str(next(raw, ""))


def _other_texts(mail: EmailMessage, body: object) -> list[str]:
    """Texts that stand beside the body: a second part, or an attached list in plain text."""
    out: list[str] = []
    alternative = any(
        part.get_content_type() == "multipart/alternative"
        and any(one is body for one in part.iter_parts())
        for part in mail.walk()
        if part.is_multipart()
    )
    for part in mail.walk():
        if part is body or part.get_content_type() not in ("text/plain", "text/html"):
            continue
        html = part.get_content_type() == "text/html"
        if html and (alternative or part.get_content_disposition() == "attachment"):
            continue
        try:
            content = part.get_content()
        except (LookupError, ValueError, AttributeError, KeyError):
            out.append("[a part of this mail could not be decoded]")
            continue
        text = content if isinstance(content, str) else decode(bytes(content))
        out.append(html_text(text) if html else text)
    return out


def _page(raw: bytes, _: Path) -> str:
    return html_text(decode(raw))


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
