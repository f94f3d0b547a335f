"""The table that a list is read into: a DataFrame that knows how it was read."""

from __future__ import annotations

from collections.abc import Callable

import pandas as pd

from meshcore.lists.report import ReadingReport
from meshcore.reading.tables.headings import Headings


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
    """

    _metadata = ["report", "headings"]  # noqa: RUF012 - as pandas asks for it
    report: ReadingReport
    headings: Headings

    @property
    def _constructor(self) -> Callable[..., pd.DataFrame]:
        return EnquiryTable
