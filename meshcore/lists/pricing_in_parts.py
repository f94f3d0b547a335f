"""Long lists priced part by part, by several processes: csv or parquet in, csv or parquet out."""

from __future__ import annotations

import io
import math
from collections import deque
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field
from multiprocessing import get_context
from pathlib import Path
from typing import Any, BinaryIO

from meshcore.costing.book.price_book import PriceBook
from meshcore.estimates.wording import REFUSALS_NAMED
from meshcore.lists.grids import ListError
from meshcore.lists.in_parts import Part, parts
from meshcore.lists.mapping import ListMapping
from meshcore.lists.table import SetAside
from meshcore.supply.cutting import CuttingEffort
from meshcore.supply.policy import SupplyPolicy
from meshcore.weave.geometry.path import PathModel
from meshcore.whole_files import whole_file

#: Lines of a part: a process holds about 2 kB for each while it prices them.
ROWS_OF_A_PART = 50_000
_WRITABLE = (".csv", ".parquet")


@dataclass(frozen=True, slots=True)
class Terms:
    """What every part is priced with.

    Parameters
    ----------
    book, policy
        As in `estimate_list`; None for those in use.
    path_model, cutting
        As in `estimate_list`.
    costs
        Whether it is for the mill, as in `write_list`.
    per
        A unit whose price stands in a further column, as in `write_list`.
    keep
        Headings of columns that leave all the same, as in `write_list`.
    """

    book: PriceBook | None = None
    policy: SupplyPolicy | None = None
    path_model: PathModel = "arc"
    cutting: CuttingEffort | None = None
    costs: bool = True
    per: str | None = None
    keep: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PartPriced:
    """A part as it is written, and what it comes to.

    Parameters
    ----------
    rows
        Bytes of a csv file without its headings, or a table of pyarrow.
    columns
        Headings of the priced list.
    lines, ok, review, refused
        How many there are.
    price
        Of the priced lines [currency].
    orders
        How many orders there are.
    named
        The first refused lines, each with its reasons.
    set_aside
        Rows that are no lines.
    """

    rows: Any
    columns: tuple[str, ...]
    lines: int
    ok: int
    review: int
    refused: int
    price: float
    currency: str
    orders: int
    named: tuple[tuple[str, str], ...]
    set_aside: tuple[SetAside, ...]


@dataclass(slots=True)
class ListPriced:
    """What a long list comes to, as its parts are written."""

    lines: int = 0
    ok: int = 0
    review: int = 0
    refused: int = 0
    orders: int = 0
    currency: str = ""
    prices: list[float] = field(default_factory=list)
    named: list[tuple[str, str]] = field(default_factory=list)
    set_aside: list[SetAside] = field(default_factory=list)

    @property
    def price(self) -> float:
        """Price of the priced lines [currency]."""
        return math.fsum(self.prices)

    def add(self, part: PartPriced) -> None:
        """Add a part."""
        self.lines += part.lines
        self.ok += part.ok
        self.review += part.review
        self.refused += part.refused
        self.orders += part.orders
        self.currency = part.currency
        self.prices.append(part.price)
        self.named += part.named[: REFUSALS_NAMED - len(self.named)]
        # What stands above the headings is read with every part.
        self.set_aside += [one for one in part.set_aside if one not in self.set_aside]


def price_in_parts(
    source: str | Path,
    output: str | Path,
    terms: Terms | None = None,
    *,
    workers: int = 1,
    rows: int = ROWS_OF_A_PART,
    mapping: ListMapping | None = None,
    progress: Callable[[int], None] = lambda _lines: None,
) -> ListPriced:
    r"""Price a list of any length in bounded memory.

    Each part has whole orders, so that every line has the price that it has in the whole list.

    Parameters
    ----------
    source
        A list with a column ``order``, the lines of an order one after another: .csv, .txt, .tsv
        or .parquet.
    output
        The priced list: .csv or .parquet.
    terms
        What it is priced with.
    workers
        Processes that price; with one, no other is started. Rules that were registered in this
        process are not in the others: install them as plugins.
    rows
        A part ends with the order that comes to so many rows.
    mapping
        What the headings stand for, where that is settled.
    progress
        Told how many lines are written.

    Raises
    ------
    ListError
        If the list cannot be read in parts, or the output cannot be written.
    ValueError
        If `workers` or `rows` is below one.

    Examples
    --------
    >>> import tempfile
    >>> from meshcore.demo import demo_price_book
    >>> heads = "order,mesh count,wire,alloy,form,width,length,quantity"
    >>> row = "10 / in,0.025 in,304,roll,48 in,100 ft,3"
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     asked = Path(folder) / "asked.csv"
    ...     _ = asked.write_text("\n".join([heads, f"A,{row}", f"A,{row}", f"B,{row}"]))
    ...     done = price_in_parts(asked, Path(folder) / "priced.csv", Terms(demo_price_book()),
    ...                           rows=1)
    >>> done.lines, done.ok, done.orders
    (3, 3, 2)
    """
    if workers < 1 or rows < 1:
        raise ValueError(f"workers ({workers}) and rows ({rows}) are one or more")
    kind = Path(output).suffix.casefold()
    if kind not in _WRITABLE:
        raise ListError(f"{output}: a list that is priced in parts is written as "
                        f"{' or '.join(_WRITABLE)}; end the name so.")  # fmt: skip
    done, terms = ListPriced(), terms or Terms()
    cut = parts(Path(source), rows, mapping)
    try:
        with whole_file(output) as file:
            with (_parquet_rows if kind == ".parquet" else _csv_rows)(file) as write:
                for part in _priced(cut, Pricing(terms, kind, Path(source).parent), workers):
                    write(part)
                    done.add(part)
                    progress(done.lines)
            if not done.lines:
                raise ListError(f"{source}: has headings, and no line below them.")
    except OSError as error:
        raise ListError(f"{output}: cannot be written ({error.strerror or error}).") from error
    return done


@dataclass(frozen=True, slots=True)
class Pricing:
    """What a process is told once: the terms, how rows are written, where drawings may lie."""

    terms: Terms
    kind: str
    drawings: Path


def _priced(cut: Iterator[Part], how: Pricing, workers: int) -> Iterator[PartPriced]:
    if workers == 1:
        yield from (price_part(part, how) for part in cut)
        return
    # Spawned: a fork would copy what other threads of this process hold.
    pool = ProcessPoolExecutor(workers, get_context("spawn"), _begin, (how,))
    waiting: deque[Future[PartPriced]] = deque()
    try:
        for part in cut:
            waiting.append(pool.submit(_price_here, part))
            if len(waiting) > workers:
                yield waiting.popleft().result()
        while waiting:
            yield waiting.popleft().result()
    finally:
        pool.shutdown(cancel_futures=True)


#: What this process was told, where it is one of several that price.
_HERE: list[Pricing] = []


def _begin(how: Pricing) -> None:
    _HERE.append(how)


def _price_here(part: Part) -> PartPriced:
    return price_part(part, _HERE[-1])


def price_part(part: Part, how: Pricing) -> PartPriced:
    """Price one part, and make it ready to be written."""
    from meshcore.estimates.for_buyers import for_others  # noqa: PLC0415 - heavy
    from meshcore.estimates.pipeline import estimate_list  # noqa: PLC0415
    from meshcore.estimates.summary import list_totals  # noqa: PLC0415
    from meshcore.lists.writing import of_one_kind, without_formulas, written_table  # noqa: PLC0415
    from meshcore.reading.tables.cells import row_name  # noqa: PLC0415
    from meshcore.supply.shapes.drawing_files import drawings_below  # noqa: PLC0415

    terms = how.terms
    asked = part.read()
    with drawings_below(how.drawings):
        estimates = estimate_list(
            asked, terms.book, terms.policy, terms.path_model, cutting=terms.cutting
        )
    told = estimates if terms.costs else for_others(estimates, terms.keep)
    table = written_table(told, terms.per)
    # A part may be a total alone.
    own = int(table["order_taken"].to_numpy().max(initial=0))
    # Those of no order, 0, are offered beside the others.
    table = table.assign(order_taken=table["order_taken"].where(
        table["order_taken"] == 0, table["order_taken"] + part.orders))  # fmt: skip
    rows: Any
    if how.kind == ".parquet":
        import pyarrow as pa  # noqa: PLC0415 - heavy

        rows = pa.Table.from_pandas(of_one_kind(table), preserve_index=False)
    else:
        text = io.BytesIO()
        without_formulas(table).to_csv(text, mode="wb", index=False, header=False)
        rows = text.getvalue()
    totals, said = list_totals(estimates), estimates.log.by_line()
    refused = estimates.log.refused().nonzero()[0].tolist()
    return PartPriced(
        rows=rows,
        columns=tuple(map(str, table.columns)),
        lines=totals.lines, ok=totals.ok, review=totals.review, refused=totals.refused,
        price=totals.price, currency=totals.currency,
        orders=own,
        named=tuple(
            (row_name(asked, n), "; ".join(str(m) for m in said[n] if m.severity == "refused"))
            for n in refused[:REFUSALS_NAMED]
        ),
        set_aside=tuple(map(part.in_file, asked.report.set_aside)),
    )  # fmt: skip


Write = Callable[[PartPriced], None]


@contextmanager
def _csv_rows(file: BinaryIO) -> Iterator[Write]:
    """Write rows of a csv file, under the headings of the first part."""
    from meshcore.lists.writing import headings_row  # noqa: PLC0415 - heavy

    columns: list[tuple[str, ...]] = []

    def write(part: PartPriced) -> None:
        if not columns:
            file.write(headings_row(part.columns))
            columns.append(part.columns)
        _check_columns(columns[0], part.columns)
        file.write(part.rows)

    yield write


@contextmanager
def _parquet_rows(file: BinaryIO) -> Iterator[Write]:
    """Write rows of a parquet file, whose columns are of the kinds of the first part."""
    import pyarrow.parquet as pq  # noqa: PLC0415 - heavy

    writers: list[pq.ParquetWriter] = []

    def write(part: PartPriced) -> None:
        if not writers:
            writers.append(pq.ParquetWriter(file, part.rows.schema))
        schema = writers[0].schema
        _check_columns(tuple(schema.names), part.columns)
        writers[0].write_table(part.rows.cast(schema))

    try:
        yield write
    finally:
        for writer in writers:
            writer.close()


def _check_columns(first: tuple[str, ...], other: tuple[str, ...]) -> None:
    if first != other:
        odd = sorted(set(first) ^ set(other)) or list(other)
        raise ListError(f"Not all parts of the list have the columns {', '.join(odd)}: a rule "
                        "gives them to some lines alone. Price it as a whole.")  # fmt: skip
