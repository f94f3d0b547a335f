"""Who writes, under which reference, where to and by when: each with where it stands."""

from __future__ import annotations

import re

from meshcore.reading.letters.found import Found, first_found
from meshcore.reading.letters.header_dates import find_date
from meshcore.reading.letters.header_places import find_place
from meshcore.reading.letters.header_references import find_reference

_SENDER = re.compile(
    r"(?im)^[ \t]{0,9}(?:from|von|de|remitente|gesendet von)[ \t]*:?[ \t]{1,8}(?P<text>\S[^\n]{0,200})$"  # noqa: E501
)


def find_header(plain: str, body: str) -> dict[str, Found | None]:
    """Return sender, reference, place and date, each as `Found` or None."""
    newest = _newest(plain, body)
    return {
        "reference": find_reference(plain),
        "wanted_by": find_date(newest) or find_date(body),
        "deliver_to": find_place(newest) or find_place(body),
        "sender": first_found(_SENDER, plain),
    }


def _newest(plain: str, body: str) -> str:
    """Return the text without what is quoted: a date in the answer stands for one before it."""
    lines = zip(plain.split("\n"), body.split("\n"), strict=True)
    return "\n".join(
        " " * len(kept) if line.lstrip().startswith(">") else kept for line, kept in lines
    )
