"""What is on file as a list for other programs."""

from __future__ import annotations

import csv
import io

from meshcore.documents.printing import harmless, plain_money
from meshcore.register.connecting import Register
from meshcore.register.finding import find

#: Headings of the list.
COLUMNS = ("kind", "number", "revision", "state", "date", "holds_until", "sender", "reference",
           "title", "amount", "currency", "lines", "least_of_choice")  # fmt: skip
#: More things than any register holds.
_ALL = 10_000_000


def export(register: Register) -> str:
    """Return all that is on file as CSV, a line a thing, the newest first.

    Amounts are before tax. A text that a spreadsheet would run is written so that none does.
    """
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for one in find(register, limit=_ALL):
        amount = plain_money(one.total_minor, one.digits) if one.currency else ""
        least = plain_money(one.choice_minor, one.digits) if one.choice_minor else ""
        texts = map(harmless, (one.sender, one.reference, one.title))
        writer.writerow([one.kind, one.number, one.revision, one.state, one.day, one.until, *texts,
                         amount, one.currency, one.line_count, least])  # fmt: skip
    return out.getvalue()
