"""A person at the app: types at a person's pace, and waits for nothing but to see a page."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from browsing import PATIENCE, settled

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

#: Longest pause of a person between two entries, and between two letters [ms].
PAUSE, LETTER = 1000.0, 120.0
#: How long a hand presses a button of the mouse [ms].
PRESS = (60.0, 140.0)
#: From a click into a grid to the first letter: a hand moves from mouse to keyboard [ms].
TO_KEYBOARD = 150.0
#: Clicks into a cell before a person gives up.
TRIES = 3
_FRAMED = (
    "document.activeElement?.closest('[data-testid=stDataFrame] td[aria-selected=true]')"
    "?.parentElement.getAttribute('aria-rowindex')"
)
#: Place of a grid's first row among its rows, as they are numbered for who hears them.
FIRST_ROW = 2
#: Height of a row of a grid and its heading [px].
ROW = 33

#: What people call an alloy. One name of an alloy typed over another of it changes nothing, so that
#: its loss would not be seen.
NAMES = (
    ("304", "S30400", "1.4301", "SS-304"), ("316L", "S31603", "1.4404"), ("alloy 625", "N06625"),
)  # fmt: skip


def is_same(label: str, typed: str, held: str) -> bool:
    """Whether what is held is what was typed; an alloy is by any of its names."""
    alike = label == "Alloy" and any({typed, held} <= {*names} for names in NAMES)
    return alike or typed == held


@dataclass(frozen=True)
class Form:
    """One page to type in.

    `link` and `seen` are its link and what shows that it is there; `weight` is how often it is
    typed in; `ready` is done each time it is come to, and `enter`, `look`, `take` type one entry,
    compare the page with what was typed, and compare a file.
    """

    link: str
    seen: str
    weight: int
    enter: Callable[[Typist], None]
    look: Callable[[Typist], None]
    take: Callable[[Typist], None] = lambda _person: None
    ready: Callable[[Typist], None] = lambda _person: None


@dataclass
class Typist:
    """One visitor; `typed` is all that should stand, page by page, as typed last."""

    page: Page
    rng: random.Random
    folder: Path
    forms: Mapping[str, Form]
    at: str
    typed: dict[str, dict[str, str]]
    entries: int = 0
    again: int = 0
    wrong: list[str] = field(default_factory=list)

    def pause(self, longest: float = PAUSE) -> None:
        """Do nothing for a while, as people do; nothing is waited for."""
        self.page.wait_for_timeout(self.rng.uniform(0, longest))

    def other(self, key: str, choices: Iterable[str]) -> str:
        """Choose what to type: anything but what stands there, so that its loss would show."""
        stands = self.typed[self.at].get(key)
        return self.rng.choice([one for one in choices if one != stands])

    def numbered(self, key: str, low: int, high: int, words: str = "{}") -> str:
        """Choose what to type: a number within limits, in words around it."""
        return self.other(key, [words.format(number) for number in range(low, high + 1)])

    def go(self, name: str) -> None:
        """Follow a link at once, and look until the page is there."""
        if name == self.at:
            return
        form = self.forms[name]
        # An open list of choices hides all else from who hears the page, not from who sees it.
        shown = self.page.locator("a", has=self.page.get_by_text(form.link, exact=True))
        shown.click(delay=self.rng.uniform(*PRESS))
        self.at = name
        self.page.locator(form.seen).first.wait_for(timeout=PATIENCE)
        if form.seen.endswith("canvas"):
            # A grid is drawn anew while its page is first drawn, and drops letters meanwhile.
            settled(self.page)
        form.ready(self)

    def burst(self, length: int) -> None:
        """Type some entries in a page, one straight after the other."""
        weights = {name: form.weight for name, form in self.forms.items()}
        self.go(self.rng.choices(list(weights), list(weights.values()))[0])
        for _ in range(length):
            self.forms[self.at].enter(self)
            self.entries += 1

    def write(self, label: str, text: str, ways: tuple[str, ...] = ()) -> None:
        """Write into a field, and leave it in one of the ways that people have."""
        self.into(self.page.get_by_label(label, exact=True), text, ways)
        self.typed[self.at][label] = text

    def into(self, place: Locator, text: str, ways: tuple[str, ...] = ()) -> None:
        """Click, type over what stands there, and go on."""
        # At its left end: a hint may lie over the other one.
        place.click(position={"x": 12, "y": 12}, delay=self.rng.uniform(*PRESS))
        self.page.keyboard.press("Control+A")
        self.letters(text)
        self.leave(ways)

    def letters(self, text: str) -> None:
        for letter in text:
            self.page.keyboard.type(letter)
            self.pause(LETTER)

    def leave(self, ways: tuple[str, ...] = ()) -> None:
        """Leave a field by Tab, Enter or mouse, or stay in it."""
        way = self.rng.choice(ways or ("Tab", "Enter", "mouse", "stay"))
        if way in ("Tab", "Enter"):
            self.page.keyboard.press(way)
        elif way == "mouse":
            self.page.locator("h2:visible").first.click(delay=self.rng.uniform(*PRESS))
        self.pause()

    def to_cell(self, grid: Locator, x: int, row: int, right: int) -> None:
        """Go to a cell of a grid by mouse and arrows."""
        for _ in range(TRIES):
            grid.click(position={"x": x, "y": ROW * (row + 1.5)}, delay=self.rng.uniform(*PRESS))
            self.page.wait_for_timeout(TO_KEYBOARD)
            if self.page.evaluate(_FRAMED) == str(row + FIRST_ROW):
                break
            # Who sees that no cell is framed, or one in another row, clicks once more; a cell that
            # was opened by a second click is closed first.
            self.again += 1
            self.page.keyboard.press("Escape")
        for _ in range(right):
            self.page.keyboard.press("ArrowRight")

    def into_cell(self, grid: Locator, x: int, row: int, right: int, text: str) -> None:
        """Go to a cell of a grid, type over it, and leave it."""
        self.to_cell(grid, x, row, right)
        self.letters(text)
        self.page.keyboard.press(self.rng.choice(("Tab", "Enter")))
        self.pause()

    def open(self, title: str, seen: Locator) -> None:
        """Unfold a box or a tab where what is in it is not to be seen, and wait until it is."""
        if not seen.first.is_visible():
            self.page.get_by_text(title, exact=True).first.click(delay=self.rng.uniform(*PRESS))
            seen.first.wait_for(timeout=PATIENCE)
            settled(self.page)

    def take(self, key: str, name: str) -> Path:
        """Take a file away at once."""
        with self.page.expect_download(timeout=PATIENCE) as given:
            self.page.locator(f".st-key-{key} button").first.click(delay=self.rng.uniform(*PRESS))
        path = self.folder / f"{self.entries}_{name}"
        given.value.save_as(path)
        return path

    def compare(self, what: str, wanted: object, had: object) -> None:
        if wanted != had:
            self.wrong.append(f"entry {self.entries}, {self.at}, {what}: {wanted!r}, but {had!r}")

    def rows(self) -> dict[int, str]:
        """What was typed in the rows of the page's grid."""
        typed = self.typed[self.at].items()
        return {int(k.removeprefix("row ")): text for k, text in typed if k.startswith("row ")}

    def look(self) -> None:
        """Compare what stands on the page, and what is priced, with what was typed."""
        settled(self.page)
        for label, text in self.typed[self.at].items():
            if not label.startswith("row ") and label[0].isupper():
                shown = self.page.get_by_label(label, exact=True)
                # An alloy stands with all its names: 304 · S30400 · 1.4301.
                names = shown.input_value(timeout=PATIENCE).split(" · ")
                is_there = any(is_same(label, text, name) for name in names)
                self.compare(label, text, text if is_there else names[0])
        self.forms[self.at].look(self)
