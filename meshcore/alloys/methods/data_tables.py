"""The tables that the methods go by: csv files beside them, each cell as it stands."""

from __future__ import annotations

import csv
from importlib import resources


def data_rows(name: str) -> list[dict[str, str]]:
    """Return the rows of a table of the folder ``data``, each by the headings of its columns.

    Examples
    --------
    >>> sorted(data_rows("families.csv")[0])
    ['about', 'family', 'kin']
    """
    file = resources.files(__package__) / "data" / name
    return list(csv.DictReader(file.read_text(encoding="utf-8").splitlines()))
