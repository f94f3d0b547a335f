"""Lines with answers put in, priced to see which answers stand and what the rest says."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from meshcore.costing.book.price_book import PriceBook
from meshcore.estimates.open_points import OpenPoint, Usual
from meshcore.estimates.pipeline import estimate_list
from meshcore.messages import Message
from meshcore.reading.tables.headings import Headings
from meshcore.reading.tables.intake import EnquiryColumns
from meshcore.supply.policy import SupplyPolicy

if TYPE_CHECKING:
    import pandas as pd

#: How many ways each line is tried.
TRIALS = 3
#: Sizes that a form needs which is itself only tried, by form.
_SIZES_OF_FORM: Mapping[str, Mapping[str, str]] = {
    "roll": {"width": "48 in", "length": "full roll"},
    "strip": {"width": "100 mm", "length": "10 m"},
    "piece": {"width": "300 mm", "length": "300 mm"},
}
#: What must stay clear of refusals and reviews where an answer is put in, beside its own field.
_ALSO_CLEAR: Mapping[str, tuple[str, ...]] = {
    "weave": ("wire_diameter",),
    "form": ("width", "length", "shape", "dimensions"),
}


@dataclass(frozen=True, slots=True)
class Trials:
    """What became of one line with answers put in.

    Parameters
    ----------
    tried
        Messages of the line with each set of trial answers.
    accepted
        Field → the first usual answers that were accepted, the likeliest first.
    """

    tried: tuple[tuple[Message, ...], ...]
    accepted: Mapping[str, tuple[Usual, ...]]


def try_answers(
    enquiries: pd.DataFrame,
    read: EnquiryColumns,
    open_lines: Mapping[int, Sequence[OpenPoint]],
    book: PriceBook | None,
    policy: SupplyPolicy,
    stand_ins: Mapping[int, Mapping[str, str]] = MappingProxyType({}),
) -> dict[int, Trials]:
    """Price lines with answers put in, all in one list.

    Parameters
    ----------
    enquiries, read
        The list, as it came and as it was read.
    open_lines
        What each line leaves open, by row.
    book, policy
        What to price with.
    stand_ins
        Cells to try a line with where its own names several things: an alloy's general name.

    Returns
    -------
    What became of each line, by row.
    """
    lines: list[tuple[int, dict[str, str]]] = []
    for row, points in open_lines.items():
        own = stand_ins.get(row, {})
        sets = [{**answered(points, trial, read, row), **own} for trial in range(TRIALS)]
        lines += [(row, answers) for answers in sets]
        for point in points:
            lines += [(row, _put(sets[0], point, usual, read, row)) for usual in point.usual]
    if not lines:
        return {}
    filled = with_answers(enquiries, read.headings, lines)
    priced = estimate_list(filled, book, policy, lines_apart=True)
    messages = iter([tuple(priced.messages.get(n, ())) for n in range(len(lines))])
    return {row: _outcome(points, messages) for row, points in open_lines.items()}


def answered(
    points: Sequence[OpenPoint], trial: int, read: EnquiryColumns, row: int
) -> dict[str, str]:
    """Return one set of trial answers to all that a line leaves open."""
    answers = {p.question.field: p.trials[trial] for p in points if p.trials is not None}
    return _with_sizes_of_form(answers, read, row)


def _put(
    answers: Mapping[str, str], point: OpenPoint, usual: Usual, read: EnquiryColumns, row: int
) -> dict[str, str]:
    """Return the answers with one of them the usual one."""
    return _with_sizes_of_form({**answers, point.question.field: usual.answer}, read, row)


def _with_sizes_of_form(
    answers: Mapping[str, str], read: EnquiryColumns, row: int
) -> dict[str, str]:
    sizes = _SIZES_OF_FORM.get(answers.get("form", ""), {})
    given = {"width": read.width.given[row], "length": read.length.given[row]}
    return {**answers, **{name: size for name, size in sizes.items() if not given[name]}}


def with_answers(
    enquiries: pd.DataFrame, headings: Headings, lines: Sequence[tuple[int, Mapping[str, str]]]
) -> pd.DataFrame:
    """Return the lines, each with its answers in the columns that hold them."""
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first made

    names = [str(name) for name in enquiries.columns]
    fields = dict.fromkeys(field for _, answers in lines for field in answers)
    held = {f: headings.column[f] for f in fields if headings.column.get(f) in names}
    added = [field for field in fields if field not in held]
    place = {field: names.index(heading) for field, heading in held.items()}
    place |= {field: len(names) + n for n, field in enumerate(added)}
    rows = []
    cells = {row: enquiries.iloc[row].tolist() for row, _ in lines}
    for row, answers in lines:
        one = [*cells[row], *[""] * len(added)]
        for field, answer in answers.items():
            one[place[field]] = answer
        rows.append(one)
    return pd.DataFrame(rows, columns=[*enquiries.columns, *added], dtype=object)


def _outcome(points: Sequence[OpenPoint], messages: Iterator[tuple[Message, ...]]) -> Trials:
    tried = tuple(next(messages) for _ in range(TRIALS))
    accepted: dict[str, tuple[Usual, ...]] = {}
    for point in points:
        field = point.question.field
        answers = [(usual, next(messages)) for usual in point.usual]
        accepted[field] = tuple(usual for usual, said in answers if _accepts(field, said))
    return Trials(tried, accepted)


def _accepts(field: str, said: Sequence[Message]) -> bool:
    """Whether nothing is said against an answer."""
    clear = {field, *_ALSO_CLEAR.get(field, ())}
    return not any(m.field in clear and m.severity != "note" for m in said)
