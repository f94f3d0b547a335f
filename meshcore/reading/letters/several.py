"""Passages that speak of several lines at once, one value for each: "Pos 2, 3 and 4 … 400, 450 and 500 mm"."""  # noqa: E501

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

from meshcore.reading.letters.item import Item
from meshcore.reading.vocabulary import fold

#: Words that give each of several things its own of as many values.
_EACH_ITS_OWN = frozenset({"respectively", "resp", "respectivement", "respectivamente",
                           "beziehungsweise", "bzw", "in that order"})  # fmt: skip
#: So many values of a list are given to as many lines at the most (our choice).
_MOST = 12


def of_several(items: Sequence[Item], known: Collection[str]) -> list[tuple[str, list[Item]]]:
    """Part a passage into one for each line that it speaks of, with the label that it has.

    Parameters
    ----------
    items
        The passage as cut.
    known
        Labels of lines that the letter has already: what is said of them is a change.

    Returns
    -------
    For each line its label, empty where it has none, and its own words; empty where the passage
    speaks of one line, or does not say which value is whose.
    """
    changes = any({"withdraw", "correct", "unlike", "instead"} & i.tags.keys() for i in items)
    if changes:
        return []
    labels, start = _labels(items)
    told = [n for n, i in enumerate(items) if fold(i.text) in _EACH_ITS_OWN]
    if labels and not any(one in known for one in labels):
        runs = [run for run in _runs(items, start) if len(run) == len(labels)]
        return [(one, _own(items, start, runs, told, k)) for k, one in enumerate(labels)]
    if not told or labels:
        return []
    runs = _runs(items, 0)
    sizes = {len(run) for run in runs}
    if len(runs) < 2 or len(sizes) != 1:  # noqa: PLR2004 - values, and whose they are
        return []
    return [("", _own(items, 0, runs, told, k)) for k in range(sizes.pop())]


def _own(
    items: Sequence[Item], start: int, runs: Sequence[Sequence[int]], told: Sequence[int], k: int
) -> list[Item]:
    """Words of one line: of each list its own value only, in the unit that the list has."""
    first = {run[0]: run for run in runs}
    out: list[Item] = []
    n = start
    while n < len(items):
        if n in first:
            run = first[n]
            last = items[run[-1]]
            out.append(replace(items[run[k]], unit=items[run[k]].unit or last.unit))
            n = run[-1] + 1
        else:
            out += [] if n in told else [items[n]]
            n += 1
    return out


#: What a number counts, which is then the number of no line: "item 1, 2 rolls".
_COUNTED = frozenset({"form", "shape", "roll_length", "quantity", "counts_pieces"})


def _labels(items: Sequence[Item]) -> tuple[list[str], int]:
    """Labels at the head of a passage, "Pos 2, 3 and 4" or "items 2-4", and where they end."""
    if not items or "item" not in items[0].tags or items[0].kind == "num":
        return [], 0
    out: list[str] = []
    n, ranged = 1, False
    while n < len(items):
        item = items[n]
        if item.whole and not item.spelled and not item.tags.get("alloy") and len(item.text) < 4:  # noqa: PLR2004
            one = int(item.values[0])
            before = int(out[-1]) if out else one
            if out and not ranged and one <= before:
                return [], 0
            out += [str(k) for k in range(before + 1, one)] if ranged and one > before else []
            out.append(str(one))
            ranged = False
        elif item.text in (",", "/", "&", "+") or {"and", "range"} & item.tags.keys():
            ranged = "range" in item.tags
        elif item.text == "-" and item.glued and n + 1 < len(items) and items[n + 1].glued:
            ranged = True
        elif item.text == "." and n == 1:
            pass  # "Pos. 2"
        else:
            break
        n += 1
    ended = n < len(items) and (items[n].kind != "num" or bool(items[n].unit))
    ended = ended and not _COUNTED & items[n].tags.keys()
    return (out, n) if ended and 1 < len(out) <= _MOST else ([], 0)


def _runs(items: Sequence[Item], start: int) -> list[list[int]]:
    """Places of values that stand in a list: "400, 450 and 500 mm", "304 and 316"."""
    out: list[list[int]] = []
    n = start
    while n < len(items):
        run = [n]
        k = n + 1
        while _is_value(items[n]) and k < len(items):
            step = k
            while step < len(items) and (items[step].text in ",&/" or "and" in items[step].tags):
                step += 1
            if step == k or step >= len(items) or not _alike(items[n], items[step]):
                break
            run.append(step)
            k = step + 1
        if len(run) > 1:
            out.append(run)
            n = run[-1]
        n += 1
    return out


def _is_value(item: Item) -> bool:
    return "alloy" in item.tags or (item.kind == "num" and item.unit != "process")


def _alike(one: Item, other: Item) -> bool:
    if "alloy" in one.tags or "alloy" in other.tags:
        return "alloy" in one.tags and "alloy" in other.tags
    return other.kind == "num" and one.unit in ("", other.unit)
