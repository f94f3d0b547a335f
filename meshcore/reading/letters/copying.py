"""Lines that are made like others, or kept while the others go."""

from __future__ import annotations

from dataclasses import replace

from meshcore.reading.letters import targets
from meshcore.reading.letters.aims import aim_of
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import Said
from meshcore.reading.letters.work_said import ONLY
from meshcore.reading.vocabulary import fold

_ORIGIN = "a correction"


def as_placed(build: Build, said: Said) -> bool:
    """Read "third item as the first but in 316": a line takes over what another is, and its change.

    Which of two numbers of pieces holds then is asked.
    """
    at = next((n for n, i in enumerate(said.items) if n and _is_as(i.text)), None)
    if at is None or said.has("withdraw"):
        return False
    subject = aim_of(Said(items=said.items[:at]), build.present, build.lines).lines
    source = aim_of(_with_article(said, at), build.present, build.lines).lines
    if not subject or len(source) != 1 or any(line is source[0] for line in subject):
        return False
    if not all(line.has("quantity") and line.has("form", "dim") for line in subject):
        return False  # lines that are still to be filled
    facts = [f for f in said.facts if f.start > said.items[at].start and f.name != "services"]
    for line in subject:
        _take_over(line, source[0])
        line.put([replace(f, origin=_ORIGIN) for f in facts])
        line.notes.append(f"as line {source[0].label}".rstrip())
    return True


def _is_as(text: str) -> bool:
    return fold(text).split()[:1] in (["as"], ["like"], ["wie"], ["comme"], ["como"])


def _with_article(said: Said, at: int) -> Said:
    """Return the words from an "as the" on, the article as one of its own."""
    first = said.items[at]
    article = replace(first, tags={**first.tags, "the": "is"})
    return Said(items=[article, *said.items[at + 1 :]])


def _take_over(line: Draft, source: Draft) -> None:
    counts = line.of("quantity")
    line.put([replace(f, origin=f.origin or _ORIGIN) for f in source.facts if f.name != "quantity"])
    other = source.value("quantity")
    if counts and other is not None and other != counts[-1].value:
        why = f'"{counts[-1].text}" or "{other:g}": how many, now that it is as the other?'
        line.put([replace(counts[-1], why=why)])


def keep_only(build: Build, said: Said) -> bool:
    """Withdraw the others where a letter wants some only: "go ahead with lines 1 and 3 only"."""
    if said.facts or said.has("withdraw", "correct") or not said.has_any("only"):
        return False
    named = [
        one for _, labels, _ in targets.named_labels(said.items, build.lines) for one in labels
    ]
    kept = targets.by_label(named, build.lines)
    if not kept or not (said.has("quote") or said.has_any("proceed")):
        return False
    for line in build.present:
        if not any(line is one for one in kept):
            line.gone = True
            line.notes.append("withdrawn")
    return True


def keep_placed(build: Build, said: Said) -> bool:
    """Withdraw the lines but so many at an end: "quote only the first three lines".

    Where it is not said that the others are not wanted, "only the first two are urgent", how many
    of each is asked.
    """
    if said.facts or said.has("withdraw"):
        return False
    if not any(fold(i.text) in ONLY for i in said.items):
        return False
    found = _count_at_an_end(said)
    if found is None or not 0 < found[0] < len(build.present):
        return False
    count, last = found
    if not (said.has("quote") or said.has_any("proceed")):
        shown = " ".join(i.text for i in said.items if i.kind != "nl")
        build.doubtful.append((frozenset({"quantity"}), f'"{shown}": are the others wanted?'))
        return True
    for line in build.present[:-count] if last else build.present[count:]:
        line.gone = True
        line.notes.append("withdrawn")
    return True


def _count_at_an_end(said: Said) -> tuple[int, bool] | None:
    """Return the number in "the first three lines", and whether it is the last ones."""
    items = said.items
    for n, item in enumerate(items[:-1]):
        if not {"former", "last"} & item.tags.keys():
            continue
        for k, noun in ((n + 1, n + 2), (n - 1, n + 1)):
            if k < 0 or noun >= len(items) or "item" not in items[noun].tags:
                continue
            count = int(items[k].values[0]) if items[k].whole else _TWO.get(fold(items[k].text), 0)
            if count:
                return count, "last" in item.tags
    return None


#: Words for both, which count two.
_TWO = {"las dos": 2, "los dos": 2, "les deux": 2, "beiden": 2, "die beiden": 2}
