"""The parts of pages that are made from the source as the site is built.

A page says where such a part stands by a comment of its own on a line: ``<!-- made: NAME -->``.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from making import api, columns, commands, figure, formats, messages, price_book, weaves

#: Name in a page → what makes the part, as Markdown.
PARTS: Mapping[str, Callable[[], str]] = {
    "architecture": figure.svg,
    "rooms": figure.rooms_table,
    "names": api.public_names,
    "name list": api.name_list,
    "module list": api.module_list,
    "plugin modules": api.plugin_modules,
    "hooks": api.hooks,
    "commands": commands.all_commands,
    "command names": commands.names,
    "enquiry columns": columns.enquiry,
    "priced columns": columns.priced,
    "shapes": columns.shapes,
    "book settings": price_book.settings,
    "book columns": price_book.rate_columns,
    "book exchange": price_book.exchange_columns,
    "book keys": price_book.keys,
    "policy": formats.supply_policy,
    "policy file": formats.default_policy,
    "capability": formats.capability,
    "weaves": weaves.side_by_side,
    "messages": messages.codes,
    "capability file": formats.customary_capability,
}
#: Links to files at the root of the tree, which are pages of the site.
_ROOT_FILE = re.compile(r"\]\((?P<up>(?:\.\./)*)\.\./(?P<name>DEVELOPERS|CHANGELOG)\.md")
_MADE = re.compile(r"^<!-- made: (?P<name>[a-z ]+) -->$", re.MULTILINE)


def fill(_app: object, _page: str, source: list[str]) -> None:
    """Put the made parts into a page as it is read."""
    source[0] = filled(source[0])


def filled(text: str) -> str:
    """Return a page with its made parts in place, and links that hold within the site.

    Raises
    ------
    KeyError
        If a page asks for a part that nothing makes.
    """
    text = _ROOT_FILE.sub(lambda found: f"]({found['up']}{found['name'].lower()}.md", text)
    return _MADE.sub(lambda found: PARTS[found["name"]](), text)
