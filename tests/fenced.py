"""Code between the fences of a Markdown page."""

from __future__ import annotations

import re
from pathlib import Path

_FENCE = re.compile(r"^```(?P<kind>\w+)\n(?P<code>.*?)^```$", re.MULTILINE | re.DOTALL)


def fenced(page: Path, kind: str) -> list[str]:
    """All pieces of one language, in their order."""
    found = _FENCE.finditer(page.read_text(encoding="utf-8"))
    return [one["code"] for one in found if one["kind"] == kind]
