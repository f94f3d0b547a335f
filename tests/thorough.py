"""Tests that try many cases try a share of them, and all of them under ``make thorough``."""

from __future__ import annotations

import os
from typing import TypeVar

Case = TypeVar("Case")
THOROUGH = os.environ.get("MESHCORE_THOROUGH") == "1"


def share(few: Case, many: Case) -> Case:
    """The cases to try: few of them, or all where there is time."""
    return many if THOROUGH else few
