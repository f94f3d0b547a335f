"""Lists in parquet files: columns with their own types, which are kept."""

from __future__ import annotations

import io

import pandas as pd

from meshcore.lists.enquiry_table import EnquiryTable
from meshcore.lists.grids import ListError, no_heading_known, within
from meshcore.lists.heading_rows import as_asked
from meshcore.lists.mapping import ListMapping
from meshcore.lists.report import ReadingReport, settled_mapping
from meshcore.lists.table import Column, Table
from meshcore.reading.tables.cells import FILE_ROW
from meshcore.reading.tables.headings import heading_meaning, headings_as


def read_parquet(content: bytes, name: str, mapping: ListMapping | None) -> EnquiryTable:
    """Read a parquet file; its headings count as row 1, as in the other formats.

    Raises
    ------
    ListError
        If it is no parquet file, or none of its headings is known.
    """
    import pyarrow.parquet as pq  # noqa: PLC0415 - heavy: loaded when a parquet file is first read

    try:
        held = pq.read_metadata(io.BytesIO(content))
        unpacked = sum(held.row_group(n).total_byte_size for n in range(held.num_row_groups))
        within("parquet_cells", held.num_rows * held.num_columns, name)
        within("parquet_bytes", unpacked, name)
        table = pd.read_parquet(io.BytesIO(content))
    except ListError:
        raise
    except Exception as error:
        raise ListError(f"{name}: not a parquet file ({error}).") from error
    return as_list(table, name, mapping)


def as_list(held: pd.DataFrame, name: str, mapping: ListMapping | None) -> EnquiryTable:
    """Return the columns of a parquet file as the list that they are.

    Raises
    ------
    ListError
        If none of its headings is known.
    """
    table = EnquiryTable(held)
    names = [str(c) for c in table.columns]
    meaning = heading_meaning if mapping is None else mapping.meaning
    columns = tuple(Column(place, text, *meaning(text)) for place, text in enumerate(names))
    columns = as_asked(columns, meaning)
    if not any(column.field for column in columns):
        raise no_heading_known(name, names)
    read = Table("", (1,), columns)
    about = ("rows counted with the headings as row 1",)
    table.report = ReadingReport(
        name, about, (read,), (len(table),), mapping=settled_mapping([read])
    )
    table.remarks = ()
    table.headings = headings_as([(c.heading, c.field, c.unit) for c in columns])
    table.index = pd.RangeIndex(2, len(table) + 2, name=FILE_ROW)
    return table
