"""The table that a list is read into: a DataFrame that knows how it was read."""

from __future__ import annotations

from collections.abc import Callable

import pandas as pd

from meshcore.lists.report import ReadingReport
from meshcore.reading.tables.headings import Headings
from meshcore.reading.tables.list_remarks import ListRemark


class EnquiryTable(pd.DataFrame):
    """An enquiry list as read from a file.

    Its index holds the rows of the file and is called ``file row``, so that a line keeps its
    number however the table is filtered or sorted.

    Parameters
    ----------
    report
        How the file was read.
    headings
        Which of its columns was read as what.
    remarks
        What the file says beside its lines.
    """

    _metadata = ["report", "headings", "remarks"]  # noqa: RUF012 - as pandas asks for it
    report: ReadingReport
    headings: Headings
    remarks: tuple[ListRemark, ...]

    @property
    def _constructor(self) -> Callable[..., pd.DataFrame]:
        return EnquiryTable
