"""Priced lists out: csv, parquet and the live workbook."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from meshcore.estimates.for_buyers import for_others, tells_costs
from meshcore.estimates.priced_table import FOR_THE_MILL
from meshcore.lists.reading import ListError
from meshcore.whole_files import save, whole_file

if TYPE_CHECKING:
    import pandas as pd

    from meshcore.estimates.results import EstimateSet

#: Suffixes that can be written.
WRITABLE = (".csv", ".xlsx", ".parquet")


def check_writable(path: str | Path) -> None:
    """Refuse a suffix that cannot be written, before any work is done.

    Raises
    ------
    ListError
        If the suffix is none of ``WRITABLE``.
    """
    suffix = Path(path).suffix.casefold()
    if suffix not in WRITABLE:
        raise ListError(
            f"{path}: cannot write {suffix or 'a file without suffix'}; "
            f"end the name in one of {', '.join(WRITABLE)}."
        )


def write_list(
    estimates: EstimateSet, path: str | Path, *, per: str | None = None, costs: bool = True,
    keep: Sequence[str] = (),
) -> None:  # fmt: skip
    """Write a priced list; the suffix says how, and .xlsx is the live workbook.

    Parameters
    ----------
    estimates
        The priced list.
    path
        Where to.
    per
        A unit whose price is to stand in a further column, of ``meshcore.estimates.unit_prices``.
    costs
        Whether it is for the mill; without, what tells a cost or a rate is left out.
    keep
        Headings of columns of the list that leave all the same where it is not for the mill.

    Raises
    ------
    ListError
        If the suffix is unknown or the file cannot be written.
    """
    from meshcore.estimates.results import EstimateSet as Priced  # noqa: PLC0415 - heavy

    if not isinstance(estimates, Priced):
        wrong = type(estimates).__name__
        raise TypeError(f"an EstimateSet is due, not {wrong}: an Estimate has its .estimates")
    check_writable(path)
    target = Path(path)
    estimates = estimates if costs else for_others(estimates, keep)
    try:
        match target.suffix.casefold():
            case ".csv":
                table = without_formulas(written_table(estimates, per))
                with whole_file(target) as file:
                    table.to_csv(file, mode="wb", index=False)
            case ".parquet":
                _as_parquet(written_table(estimates, per), target)
            case _:
                from meshcore.lists.workbook import workbook_bytes  # noqa: PLC0415 - heavy

                save(target, workbook_bytes(estimates, per=per))
    except OSError as error:
        raise ListError(f"{path}: cannot be written ({error.strerror or error}).") from error


#: Signs that begin a formula; a full-width or a raised one, read so by some, counts.
_SIGNS = "=+@＝＋－＠﹦﹢﹣﹫⁺⁻⁼₊₋₌-"
#: What a spreadsheet takes for the beginning of a formula, where it opens a csv file.
_FORMULA_START = re.compile(rf"\s*[{_SIGNS}]|[\t\r\n]")
#: The same behind what another spreadsheet takes for the end of a cell, to where the next one ends.
_FORMULA_WITHIN = re.compile(rf'([;\t\r\n][\s"]*)([{_SIGNS}][^;\t\r\n]*)')


def without_formulas(table: pd.DataFrame) -> pd.DataFrame:
    """Return the table with an apostrophe before each text that would open as a formula.

    That is at the start of a cell, and behind a semicolon, a tab or a new line in it, at which
    another spreadsheet parts a line.

    Examples
    --------
    >>> import pandas as pd
    >>> table = pd.DataFrame({"note": ["=1+1", "-3", "two"], "=A1": [1, 2, 3]})
    >>> safe = without_formulas(table)
    >>> safe["note"].tolist(), list(safe.columns)
    (["'=1+1", '-3', 'two'], ['note', "'=A1"])
    >>> without_formulas(pd.DataFrame({"note": ["a;=1+1", " =1", "1; -2"]}))["note"].tolist()
    ["a;'=1+1", "' =1", '1; -2']
    """
    safe = table.copy(deep=False)
    safe.columns = [_plain(heading) for heading in table.columns]
    for place, kind in enumerate(table.dtypes):
        if kind.kind not in "iufbmM":
            column = table.iloc[:, place]
            if column.map(_opens_as_formula).any():
                safe.isetitem(place, column.astype(object).map(_plain).to_numpy())
    return safe


def _opens_as_formula(cell: object) -> bool:
    return _plain(cell) is not cell


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def _plain(cell: object) -> object:
    """Return a cell that opens as no formula; the cell itself where it does not."""
    if not isinstance(cell, str):
        return cell
    starts = _FORMULA_START.match(cell) is not None and not _is_number(cell)
    safe = ("'" if starts else "") + _FORMULA_WITHIN.sub(_guarded, cell)
    return cell if safe == cell else safe


def _guarded(found: re.Match[str]) -> str:
    before, text = found.groups()
    return found.group() if _is_number(text) else f"{before}'{text}"


def written_table(estimates: EstimateSet, per: str | None) -> pd.DataFrame:
    """Return the priced list, with the price of a unit behind it where one is asked for."""
    table = estimates.table
    if not tells_costs(estimates):
        table = table.drop(columns=list(FOR_THE_MILL))
    if per is None:
        return table
    from meshcore.estimates.unit_prices import unit_prices  # noqa: PLC0415 - only when asked for

    return table.assign(**{f"price_per_{per}": unit_prices(estimates, per)})


def headings_row(columns: Sequence[str]) -> bytes:
    """Return the first row of a csv file, with no heading that would open as a formula."""
    import pandas as pd  # noqa: PLC0415 - heavy

    row: str = without_formulas(pd.DataFrame(columns=list(columns))).to_csv(index=False)
    return row.encode("utf-8")


def of_one_kind(table: pd.DataFrame) -> pd.DataFrame:
    """Return a table for parquet; a column of mixed cells, as people type them, is kept as text."""
    table.columns = [str(c) for c in table.columns]
    mixed = [c for c in table.columns if table[c].dtype == object]
    return table.astype(dict.fromkeys(mixed, "str"))


def _as_parquet(table: pd.DataFrame, target: Path) -> None:
    with whole_file(target) as file:
        of_one_kind(table).to_parquet(file, index=False)
