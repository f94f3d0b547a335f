"""One line of a priced list, as pages look at it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd

from meshcore.estimates.results import EstimateSet
from meshcore.messages import Message
from meshcore.reading.columns import cell_texts
from meshcore.reading.tables.cells import row_name
from meshcore.reading.texts import is_blank


@dataclass(frozen=True, slots=True)
class Line:
    """One line of `estimates`; `table` is the whole priced table, made once."""

    estimates: EstimateSet
    table: pd.DataFrame
    number: int

    def __getitem__(self, column: str) -> Any:  # noqa: ANN401 - a priced column holds text or numbers
        """Return the cell of a priced column."""
        return self.table[column].iloc[self.number]

    @property
    def name(self) -> str:
        """The enquiry's own number for the line, or its row in the file that it came in."""
        return self.asked("line") or f"row {row_name(self.estimates.enquiries, self.number)}"

    @property
    def status(self) -> str:
        """``ok``, ``review`` or ``refused``."""
        return str(self["status"])

    @property
    def messages(self) -> list[Message]:
        """What there is to say of the line, gravest first."""
        return self.estimates.log.by_line().get(self.number, [])

    @property
    def items(self) -> pd.DataFrame:
        """Cost items of the line; none where it is refused."""
        rows = [] if self.status == "refused" else [self.number]
        return self.estimates.ledger.items_frame(np.array(rows, dtype=np.int64))

    @property
    def alloy(self) -> str:
        """Designation and numbers of the alloy; empty where it is unknown."""
        cloth = self.estimates.orders.cloth
        code = int(cloth.alloy[self.number])
        if code < 0:
            return ""
        alloy = cloth.alloys[code]
        return " · ".join(filter(None, (alloy.designation, alloy.uns, alloy.en)))

    def asked(self, field: str) -> str:
        """Text of the enquiry's own cell; empty where it is blank or has no column."""
        return asked(self.estimates, self.number, field)

    def own(self, heading: str) -> str:
        """Text of a cell under the list's own heading; empty where it is blank or not there."""
        table = self.estimates.enquiries
        if heading not in table.columns:
            return ""
        position = [str(c) for c in table.columns].index(heading)
        text = str(cell_texts(table.iloc[[self.number], position])[0])
        return "" if is_blank(text) else text


def asked(estimates: EstimateSet, number: int, field: str) -> str:
    """Text of one cell of an enquiry, with the unit that its heading carries."""
    heading = estimates.headings.column.get(field)
    if heading is None:
        return ""
    position = [str(c) for c in estimates.enquiries.columns].index(heading)
    text = str(cell_texts(estimates.enquiries.iloc[[number], position])[0])
    if is_blank(text):
        return ""
    unit = estimates.headings.unit.get(field, "")
    return f"{text} {unit}" if unit and text[-1:].isdigit() else text
