"""Finding and paging in a register of 300,000 lines, unless fewer are asked for."""

from __future__ import annotations

import random
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import asdict
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from meshcore.register.amounts import amount_key
from meshcore.register.connecting import Register
from meshcore.register.finding import find
from meshcore.register.indexing import FoundLine, Head
from meshcore.register.opening import open_register
from meshcore.register.schema import changes, heads, items, keys
from meshcore.register.schema import lines as lines_table
from meshcore.register.words import folded, line_words

sys.path.append(str(Path(__file__).resolve().parents[1] / "tests" / "register"))
from databases import programs, running

LINES = 6
#: What the project asks of a search [ms].
ASKED_MS = 50.0
SEARCHES = (
    "Q2026-031234", "R-77123", "weir bakery", "10 mesh 316L 48 in", "316L", "0.025 in",
    "60 mesh alloy 625 1220 mm", "won 2026-03", "20 mesh 2026-05..2026-06", "observatory 304 sent",
    "nothing of the kind", "obser", "316L 2022-01", "316L orders", "5,094.95 EUR",
    "weir 5,094.95", "",
)  # fmt: skip
_INCH = 0.0254
_BATCH = 2000
_TABLES = {table.name: table for table in (items, changes, heads, keys, lines_table)}
_ALLOYS = (("304", "S30400", "1.4301"), ("316L", "S31603", "1.4404"), ("carbon steel", "G10080"),
           ("alloy 625", "N06625", "2.4856"), ("copper", "C11000"))  # fmt: skip
_SENDERS = ("Bakery by the Weir", "Corrie Top Observatory", "Tin Menagerie", "Lighthouse Company")


def fill(register: Register, quotations: int) -> None:
    """Put quotations on file, many to a change and many rows to a statement."""
    rng = random.Random(17)
    for start in range(0, quotations, _BATCH):
        rows: dict[str, list[dict[str, Any]]] = {name: [] for name in _TABLES}
        for number in range(start, min(start + _BATCH, quotations)):
            day = date(2022, 1, 1) + timedelta(days=number * 1800 // quotations)
            head = Head(
                day=day.isoformat(), sender=rng.choice(_SENDERS), reference=f"R-{number + 60_000}",
                currency="EUR", digits=2, total_minor=rng.randint(10_000, 9_999_999),
                state=rng.choice(("draft", "sent", "won", "lost", "lapsed")),
            )  # fmt: skip
            _put(rows, number + 1, f"Q2026-{number:06d}", head, list(_lines(rng, LINES)))
        with register.writing() as connection:
            for name, table in _TABLES.items():
                connection.execute(table.insert(), rows[name])


def _put(
    rows: dict[str, list[dict[str, Any]]],
    place: int,
    number: str,
    head: Head,
    found: list[FoundLine],
) -> None:
    """Add what one quotation takes in each table."""
    held = asdict(head)
    del held["keys"]
    rows["items"].append({"id": place, "kind": "quotation", "number": number, "parent": None})
    rows["changes"].append({"item": place, "version": 1, "at": f"{head.day}T08:00:00+00:00",
                            "who": "bench", "what": "saved", "note": "", "head": "{}",
                            "lines": "[]", "body": "{}"})  # fmt: skip
    rows["heads"].append(held | {"item": place, "kind": "quotation", "number": number,
                                 "version": 1, "line_count": len(found)})  # fmt: skip
    amount = amount_key(head.total_minor, head.currency)
    for key in (folded(number), folded(head.reference), amount):
        rows["keys"].append({"key": key, "item": place})
    about = line_words((number, head.sender, head.reference), (), ())
    for line in found:
        rows["lines"].append({"item": place, "label": line.label, "text": line.text,
                              "words": f"{about} {line.words}"})  # fmt: skip


def _lines(rng: random.Random, lines: int) -> Iterator[FoundLine]:
    for line in range(lines):
        count, wire = rng.choice((4, 8, 10, 20, 60, 100)), rng.choice((0.0045, 0.025, 0.08))
        width, alloy = rng.choice((36, 40, 48, 60)), rng.choice(_ALLOYS)
        text = f"{count} / in · {wire} in · {alloy[0]} · roll · {width} in · 100 ft"
        words = line_words((text, *alloy), (wire * _INCH, width * _INCH), (_INCH / count,))
        yield FoundLine(str(line + 1), text, words)


def measure(
    register: Register, quotations: int, clock: Callable[[], float], rounds: int = 7
) -> dict[str, float]:
    """Return the least time of each search [ms], by the clock that is given."""
    told: dict[str, float] = {}
    for text in SEARCHES:
        times = []
        for _ in range(rounds):
            start = clock()
            find(register, text)
            times.append((clock() - start) * 1e3)
        told[text or "(all, first page)"] = min(times)
    start = clock()
    find(register, "", limit=20, offset=quotations // 2)
    told["(all, a page in the middle)"] = (clock() - start) * 1e3
    return told


def server_clock(register: Register) -> Callable[[], float]:
    """Return a clock of what this process and the server's own for it take of a processor [s].

    Linux tells the nanoseconds that each process ran; elsewhere the clock on the wall is read.
    """
    with register.reading() as connection:
        place = connection.exec_driver_sql("SELECT pg_backend_pid()").scalar()
    ran = Path(f"/proc/{place}/schedstat")
    if not ran.is_file():
        return time.perf_counter
    return lambda: time.process_time() + int(ran.read_text("ascii").split()[0]) / 1e9


def report(name: str, register: Register, quotations: int, clock: Callable[[], float]) -> None:
    """Fill a register, and print what each search takes."""
    start = time.perf_counter()
    fill(register, quotations)
    print(f"register in {name}: {quotations:,} quotations of {LINES} lines filed in "
          f"{time.perf_counter() - start:.0f} s")  # fmt: skip
    if name == "PostgreSQL":
        # As its own housekeeping does within a minute.
        with register.engine.connect().execution_options(isolation_level="AUTOCOMMIT") as one:
            one.exec_driver_sql("VACUUM ANALYZE")
    for text, milliseconds in measure(register, quotations, clock).items():
        slow = "" if milliseconds <= ASKED_MS else f"  over {ASKED_MS:.0f} ms"
        print(f"  find {text:<30}{milliseconds:8.1f} ms{slow}")


def main(lines: int = 300_000) -> None:
    """Print the least time of each search, in either database that is at hand."""
    quotations = max(1, lines // LINES)
    with tempfile.TemporaryDirectory() as folder:
        register = open_register(Path(folder) / "register.sqlite")
        report("SQLite", register, quotations, time.process_time)
    if programs() is None:
        print("register in PostgreSQL: not measured; on Debian: apt-get install postgresql")
        return
    with running() as server:
        register = open_register(server.new("bench"))
        report("PostgreSQL", register, quotations, server_clock(register))


if __name__ == "__main__":
    main()
