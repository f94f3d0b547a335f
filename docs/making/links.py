"""Check the links of a built site: python docs/making/links.py out/site.

Every link within the site must lead to a file, and to a place in it where it names one. Nothing may
be loaded from elsewhere. Links that lead out of the site are listed, not followed.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

#: Attributes that hold an address, and the elements that load what it names.
_ADDRESSES = ("href", "src", "data", "poster")
_LOADING = ("img", "script", "link", "source", "iframe", "object", "video", "audio", "use")


class _Page(HTMLParser):
    """Gathers the places of one page, and what it links to and loads."""

    def __init__(self) -> None:
        super().__init__()
        self.places: set[str] = set()
        self.links: list[str] = []
        self.loads: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Take the addresses and the place of one element."""
        for name, value in attrs:
            if name == "id" and value:
                self.places.add(value)
            elif name in _ADDRESSES and value is not None:
                (self.loads if tag in _LOADING else self.links).append(value)


@dataclass
class Findings:
    """What a check of a site's links found."""

    broken: list[str] = field(default_factory=list)
    outside: set[str] = field(default_factory=set)
    checked: int = 0


def check(site: Path) -> Findings:
    """Check all pages of a built site."""
    site = site.resolve()
    pages = {file: _read(file) for file in sorted(site.rglob("*.html"))}
    found = Findings()
    for file, page in pages.items():
        name = file.relative_to(site)
        for address in page.loads:
            if urlsplit(address).netloc:
                found.broken.append(f"{name}: loads {address} from elsewhere")
        for address in (*page.links, *page.loads):
            parts = urlsplit(address)
            if parts.scheme in ("http", "https") or parts.netloc:
                found.outside.add(address)
            elif not parts.scheme:
                found.checked += 1
                if wrong := _wrong(site, file, parts.path, parts.fragment, pages):
                    found.broken.append(f"{name}: {address}: {wrong}")
    return found


def _read(file: Path) -> _Page:
    page = _Page()
    page.feed(file.read_text("utf-8"))
    return page


def _wrong(site: Path, file: Path, path: str, place: str, pages: dict[Path, _Page]) -> str:
    """Say why a link within the site leads nowhere; empty if it leads somewhere."""
    target = (file.parent / unquote(path)).resolve() if path else file
    if not target.is_file():
        return "no such file"
    if not target.is_relative_to(site):
        return "leads out of the site"
    known = pages.get(target)
    if place and known is not None and unquote(place) not in known.places:
        return "no such place in it"
    return ""


def main() -> int:
    """Check the site named on the command line; 1 where a link is broken."""
    found = check(Path(sys.argv[1]))
    for line in found.broken:
        print(line, file=sys.stderr)
    for address in sorted(found.outside):
        print(f"leads out, not followed: {address}")
    print(f"{found.checked} links within the site, {len(found.broken)} broken")
    return 1 if found.broken or not found.checked else 0


if __name__ == "__main__":
    sys.exit(main())
