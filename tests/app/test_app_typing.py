"""What a person types at a person's pace stands, is priced, and is in the file."""

from __future__ import annotations

import os
import random
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from browsing import visiting
from typist import LINKS, Typist, check_file, check_page

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = pytest.mark.browser
#: Entries typed, and the seed of what and how: MESHCORE_TYPED=300 for the long test.
ENTRIES = int(os.environ.get("MESHCORE_TYPED", "25"))
#: Whether cells of grids are typed in too. On a busy machine the grid itself still drops a letter
#: of about one cell in twenty, so the short test leaves them out.
CELLS = "MESHCORE_TYPED" in os.environ
SEED = int(os.environ.get("MESHCORE_TYPING_SEED", "1"))
#: Most entries typed straight after one another, and bursts after which every page is looked at.
LONGEST, EVERY = 5, 6


def test_what_is_typed_stands_is_priced_and_is_in_the_file(
    browser: Browser, app_url: str, tmp_path: Path
) -> None:
    rng = random.Random(SEED)
    with visiting(browser, f"{app_url}/enquiry") as page:
        person = Typist(page, rng, tmp_path, cells=CELLS)
        bursts = 0
        while person.entries < ENTRIES:
            person.burst(rng.randint(1, LONGEST))
            bursts += 1
            if rng.random() < 0.5:
                check_file(person)
            if bursts % EVERY == 0:
                look_round(person)
        look_round(person)
    print(f"{person.entries} entries; {person.again} clicks into a grid made twice")  # noqa: T201 - figures of the long test
    assert not person.wrong, f"{len(person.wrong)} of {person.entries}: {person.wrong}"


def look_round(person: Typist) -> None:
    """Go to every page straight away, and compare what stands there."""
    for name in (person.at, *LINKS):
        person.go(name)
        check_page(person)
