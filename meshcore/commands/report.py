"""Estimates as plain text, for the terminal and for logs."""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from meshcore import plugins
from meshcore.costing.money import money_text
from meshcore.demo import default_price_book, policy_in_use
from meshcore.estimates.for_buyers import withheld_columns
from meshcore.estimates.headroom import headroom_text
from meshcore.estimates.summary import list_totals
from meshcore.estimates.wording import CAUTION, NO_LINES, REFUSALS_NAMED, book_text, policy_text
from meshcore.lists.set_aside import told_set_aside
from meshcore.reading.columns import cell_texts
from meshcore.reading.tables.cells import UNCOMPARED, column_under, row_name
from meshcore.reading.texts import is_blank, tidy

if TYPE_CHECKING:
    from meshcore.estimates.results import EstimateSet
    from meshcore.lists.pricing_in_parts import ListPriced, Terms
    from meshcore.messages import Message


def progress() -> Callable[[str, float], None]:
    """Return what tells each stage on the terminal; nothing where there is none to see it."""
    if not sys.stderr.isatty():
        return lambda _stage, _share: None
    return lambda stage, share: print(f"{share:4.0%} {stage}", file=sys.stderr)


def progress_of_lines() -> Callable[[int], None]:
    """Return what tells how many lines are written; nothing where there is none to see it."""
    if not sys.stderr.isatty():
        return lambda _lines: None
    return lambda lines: print(f"{lines:,} lines written", file=sys.stderr)


def withheld(estimates: EstimateSet, keep: Sequence[str]) -> str:
    """Tell which columns a file for others was written without; empty where it has them all."""
    left = withheld_columns(estimates, keep)
    if not left:
        return ""
    return (
        f"Withheld from the file: {', '.join(left)}. Name one with --keep-column to let it leave."
    )


def parts_summary(done: ListPriced, terms: Terms, output: str) -> str:
    """Tell how many lines of a list in parts were priced, and with which data."""
    return "\n".join([
        f"{done.lines:,} lines: {done.ok:,} ok, {done.review:,} to review, "
        f"{done.refused:,} refused.",
        f"Total of the priced lines: {money_text(done.price, done.currency)}, as {done.orders:,} "
        "orders.",
        f"Price book: {book_text(terms.book or default_price_book())}.",
        f"Supply policy: {policy_text(terms.policy or policy_in_use())}.",
        *told_set_aside(done.set_aside),
        f"Wrote {output}.",
        CAUTION,
    ])  # fmt: skip


def parts_refusals(done: ListPriced) -> str:
    """Name the first refused lines of a list in parts; empty where none was refused."""
    if not done.refused:
        return ""
    rows = [f"{done.refused:,} of {done.lines:,} lines refused:"]
    rows += [f"  line {name}: {reasons}" for name, reasons in done.named]
    more = done.refused - len(done.named)
    if more > 0:
        rows.append(f"  and {more:,} more, each with its reasons in the file written")
    return "\n".join(rows)


def list_summary(estimates: EstimateSet, output: str) -> str:
    """Tell how many lines were priced, and with which data."""
    totals = list_totals(estimates)
    price = money_text(totals.price, totals.currency)
    rows = [
        f"{totals.lines} lines: {totals.ok} ok, {totals.review} to review, "
        f"{totals.refused} refused."
        if totals.lines
        else NO_LINES,
        f"Total of the priced lines: {price}, as {estimates.orders_taken}.",
        f"Price book: {book_text(estimates.book)}.",
        f"Supply policy: {policy_text(estimates.policy)}.",
    ]
    rows.extend(filter(None, [headroom_text(estimates)]))
    # A list from a file has told all this, and more, in the report of its reading.
    reported = hasattr(estimates.enquiries, "report")
    renamed = estimates.headings.renamed
    if renamed and not reported:
        read_as = ", ".join(f'"{h}" as {name}' for h, name in renamed.items())
        rows.append(f"Headings read: {read_as}.")
    if estimates.headings.unknown and not reported:
        rows.append(f"Passed through untouched: {', '.join(estimates.headings.unknown)}.")
    rows.extend(_second_columns(estimates))
    rows.extend(str(fault) for fault in estimates.faults)
    return "\n".join([*rows, f"Wrote {output}.", CAUTION])


def _second_columns(estimates: EstimateSet) -> list[str]:
    """Tell of each second column for a thing, where it says other than the column that is read."""
    said = []
    for place, name in estimates.headings.doubled.items():
        if name in UNCOMPARED:
            continue
        heading = estimates.headings.column[name]
        first = cell_texts(column_under(estimates.enquiries, heading))
        second = cell_texts(estimates.enquiries.iloc[:, place])
        if any(not is_blank(s) and tidy(f) != tidy(s) for f, s in zip(first, second, strict=True)):
            own = estimates.enquiries.columns[place]
            said.append(
                f'Two columns for {name}: "{heading}" and "{own}" differ; each line where they do '
                "says so. Leave one out."
            )
    return said


def refusals(estimates: EstimateSet) -> str:
    """Name each refused line with its reasons; empty where none was refused."""
    stopped = estimates.log.refused()
    if not stopped.any():
        return ""
    rows = [f"{int(stopped.sum())} of {len(estimates)} lines refused:"]
    said = estimates.log.by_line()
    refused = stopped.nonzero()[0].tolist()
    for row in refused[:REFUSALS_NAMED]:
        reasons = [str(m) for m in said[row] if m.severity == "refused"]
        rows.append(f"  {_line_name(estimates, row)}: {'; '.join(reasons)}")
    rows += _summed_up([said[row] for row in refused[REFUSALS_NAMED:]])
    return "\n".join(rows)


def _summed_up(said: Sequence[Sequence[Message]]) -> list[str]:
    """Count the further refused lines by what they are refused for."""
    if not said:
        return []
    counts = Counter(
        f"{one.field}, {one.code}"
        for messages in said
        for one in messages
        if one.severity == "refused"
    )
    each = [f"    {count:,} × {what}" for what, count in counts.most_common()]
    return [f"  and {len(said):,} more, each with its reasons in the file written:", *each]


def _line_name(estimates: EstimateSet, row: int) -> str:
    heading = estimates.headings.column.get("line")
    place = f"row {row_name(estimates.enquiries, row)}"
    if heading is None:
        return place
    return f"line {column_under(estimates.enquiries, heading).iloc[row]} ({place})"


def plugin_report() -> str:
    """Plugins that loaded, from where, what they bring, and those that failed."""
    from meshcore.alloys.records.registry import installed_registry  # noqa: PLC0415 - loads every plugin
    from meshcore.estimates.contributions import gather  # noqa: PLC0415

    loaded = plugins.installed()
    brought = gather(loaded)
    rows = []
    for record in loaded.records:
        rows.append(f"{record.name}  ({record.distribution} {record.version})")
        rows.append(f"    from  {record.location}")
        rows.extend(
            f"    {hook}: {', '.join(names)}"
            for hook, names in brought.get(record.name, {}).items()
        )
    faults = loaded.faults()
    rows.extend(f"clash: {clash}" for clash in installed_registry().clashes)
    rows += ["", f"{len(loaded.records)} plugins loaded, {len(faults)} faults."]
    rows.extend(f"  {fault}" for fault in faults)
    return "\n".join(rows)
