"""Text of a web page, as a person sees it."""

from __future__ import annotations

import re
from html.parser import HTMLParser

#: Elements that begin a new line, that hold no text, and that are a cell.
_BLOCKS = frozenset(
    {"p", "div", "br", "tr", "table", "ul", "ol", "h1", "h2", "h3", "h4", "h5", "h6", "hr", "body"}
)
_SILENT = frozenset({"script", "style", "head", "title", "noscript", "template"})
_CELLS = frozenset({"td", "th"})


#: Elements that have no end.
_VOID = frozenset({"br", "hr", "img", "input", "meta", "link", "col", "area", "wbr", "source"})
_HIDING = re.compile(
    r"(?i)display\s*:\s*none|visibility\s*:\s*hidden|font-size\s*:\s*0(?:px)?\s*(?:;|$)"
)


def _is_hidden(attrs: list[tuple[str, str | None]]) -> bool:
    """Whether an element is not shown: what nobody sees, nobody asks for."""
    return any(
        name == "hidden" or (name == "style" and bool(_HIDING.search(value or "")))
        for name, value in attrs
    )


class _Page(HTMLParser):
    """Text of a page: a row of a table a line, its cells parted by bars; quotations by ">"."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.parts: list[str] = []
        self.silent = 0
        self.quoted = 0
        self.numbers: list[int] = []
        self.hidden: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if self.hidden or _is_hidden(attrs):
            if tag not in _VOID:
                self.hidden.append(tag)
            return
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
        if self.hidden:
            if tag in self.hidden:
                del self.hidden[self.hidden.index(tag) :]
            return
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
        if not self.silent and not self.hidden:
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
