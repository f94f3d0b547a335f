"""What a person types at a person's pace stands, is priced, and is in the file."""

from __future__ import annotations

import os
import random
from copy import deepcopy
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from browsing import slow_line, visiting
from typed_forms import FORMS, TYPED, mend_rate
from typist import Typist

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser
#: Entries typed, and the seed of what and how; as many as `LONG` under make thorough.
SHORT, LONG = 30, 300
SEED = int(os.environ.get("MESHCORE_TYPING_SEED", "1"))
#: Most entries typed straight after one another, and bursts after which every page is looked at.
LONGEST, EVERY = 5, 24


def test_what_is_typed_stands_is_priced_and_is_in_the_file(
    browser: Browser, app_url: str, tmp_path: Path
) -> None:
    typing(browser, app_url, tmp_path, int(os.environ.get("MESHCORE_TYPED", SHORT)), SEED)


def test_a_cell_that_is_left_at_once_holds_what_was_typed(
    browser: Browser, app_url: str, tmp_path: Path
) -> None:
    """Six of 24 such cells stayed as they were: the key that leaves came ahead of the grid."""
    with visiting(browser, f"{app_url}/enquiry") as page:
        person = Typist(page, random.Random(1), tmp_path, FORMS, "enquiry", deepcopy(TYPED))
        person.go("price_book")
        for row, text in enumerate(("5.83", "3.48", "8.19", "6.14", "6.63", "1.71")):
            mend_rate(person, row, lambda text=text: page.keyboard.type(text))  # type: ignore[misc]
            person.typed["price_book"][f"row {row}"] = text
        person.look()
        assert not person.wrong


@pytest.mark.thorough
@pytest.mark.skipif("MESHCORE_THOROUGH" not in os.environ, reason="300 entries: make thorough")
@pytest.mark.parametrize("seed", [11, 12, 13])
def test_three_hundred_entries_stand(
    browser: Browser, app_url: str, tmp_path: Path, seed: int
) -> None:
    typing(browser, app_url, tmp_path, LONG, seed)


@pytest.mark.thorough
@pytest.mark.skipif("MESHCORE_THOROUGH" not in os.environ, reason="100 entries: make thorough")
def test_entries_over_a_slow_line_stand(browser: Browser, app_url: str, tmp_path: Path) -> None:
    """What the app wrote before it heard of a text came after it, and took its place."""
    typing(browser, app_url, tmp_path, LONG // 3, SEED, slow_line)


def typing(
    browser: Browser,
    app_url: str,
    folder: Path,
    entries: int,
    seed: int,
    prepare: Callable[[Page], None] = lambda _page: None,
) -> None:
    """Type some entries, and compare all that stands anywhere."""
    rng = random.Random(seed)
    with visiting(browser, f"{app_url}/enquiry", prepare=prepare) as page:
        person = Typist(page, rng, folder, FORMS, "enquiry", deepcopy(TYPED))
        bursts = 0
        while person.entries < entries and not person.wrong:
            person.burst(rng.randint(1, LONGEST))
            bursts += 1
            # Often the next page is gone to at once; looking waits for the app.
            match rng.choice(("take", "look", "go on", "go on")):
                case "take":
                    FORMS[person.at].take(person)
                case "look":
                    person.look()
            if bursts % EVERY == 0:
                look_round(person)
        look_round(person)
    print(f"{person.entries} entries; {person.again} clicks into a grid made twice")  # noqa: T201 - figures of the long test
    assert not person.wrong, f"{len(person.wrong)} of {person.entries}: {person.wrong}"


def look_round(person: Typist) -> None:
    """Go to every page straight away, and compare what stands there."""
    for name in (person.at, *FORMS):
        person.go(name)
        person.look()
