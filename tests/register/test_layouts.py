"""An older layout is brought up with a copy kept, a later one refused, a full disk said."""

from __future__ import annotations

import os
import resource
import signal
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from alembic import command
from alembic.config import Config
from sqlalchemy import text

from meshcore.demo import demo_data
from meshcore.estimates.pipeline import estimate_list
from meshcore.lists.reading import read_list
from meshcore.register import packing, records
from meshcore.register.connecting import Register, connect
from meshcore.register.entries import entry
from meshcore.register.errors import RecordsError
from meshcore.register.finding import find
from meshcore.register.indexing import FoundLine, Head
from meshcore.register.opening import open_register
from meshcore.register.storing import add, mark_as

HEAD = Head(day="2026-11-25", reference="E-1")


def _take_back(register: Register) -> None:
    """Make the register one of the first layout, as an earlier version left it."""
    with register.engine.begin() as connection:
        for table in ("word_index", "keys", "lines", "heads"):
            connection.execute(text(f"DROP TABLE IF EXISTS {table}"))
        connection.execute(text("UPDATE alembic_version SET version_num = '0001'"))


def test_an_older_layout_is_brought_up_with_a_copy_beside(
    place: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("MESHCORE_RECORDS", str(tmp_path / "kept" / "records.sqlite"))
    register = open_register(place)
    made = add(register, "quotation", HEAD, {"price": 1}, [FoundLine("1", "ten", "ten")])
    mark_as(register, made, "sent")
    before = entry(register, "quotation", made.number)
    _take_back(register)
    again = open_register(place)
    assert entry(again, "quotation", made.number) == before
    assert [found.state for found in find(again, "ten")] == ["sent"]
    if "://" in place:
        [copy] = (tmp_path / "kept").glob("register.layout-0001-*.jsonl.gz")
        assert copy.stat().st_size > 100
    else:
        [copy] = Path(place).parent.glob("register.sqlite.layout-0001-*")
        with sqlite3.connect(copy) as file:
            assert file.execute("SELECT count(*) FROM changes").fetchone() == (2,)


def test_amounts_filed_before_they_were_looked_up_are_found(place: str) -> None:
    """Of a register of the second layout, whose keys held numbers alone."""
    register = open_register(place)
    head = Head(day="2026-11-25", currency="EUR", digits=2, total_minor=509495)
    add(register, "quotation", head, {}, [FoundLine("1", "ten", "ten")])
    with register.engine.begin() as connection:
        connection.execute(text("DELETE FROM keys WHERE key LIKE 'sum%'"))
        connection.execute(text("UPDATE alembic_version SET version_num = '0002'"))
    assert not find(register, "5,094.95 EUR", strict=True)
    [found] = find(open_register(place), "5,094.95 EUR", strict=True)
    assert found.total_minor == head.total_minor


def test_a_later_layout_is_refused_and_not_touched(place: str) -> None:
    register = open_register(place)
    add(register, "quotation", HEAD, {})
    with register.engine.begin() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    with pytest.raises(RecordsError, match="written by a later version"):
        open_register(place)
    with register.engine.connect() as connection:
        assert connection.execute(text("SELECT count(*) FROM changes")).scalar() == 1


def test_the_tables_are_those_that_the_layouts_make(register: Register) -> None:
    from alembic.autogenerate import compare_metadata  # noqa: PLC0415
    from alembic.migration import MigrationContext  # noqa: PLC0415

    from meshcore.register.schema import metadata  # noqa: PLC0415

    with register.engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"include_object": _is_ours})
        found = [d for d in compare_metadata(context, metadata) if not isinstance(d, list)]
    assert [d[0] for d in found if d[0] not in ("remove_index", "remove_column")] == []


def _is_ours(_thing: object, name: str, kind: str, *_rest: object) -> bool:
    return kind != "table" or not name.startswith(("word_index", "alembic"))


def test_a_database_that_is_no_register_is_refused(place: str) -> None:
    if "://" not in place:
        Path(place).parent.mkdir()
    other = connect(place if "://" in place else f"sqlite:///{place}")
    with other.engine.begin() as connection:
        connection.execute(text("CREATE TABLE recipes (name TEXT)"))
    with pytest.raises(RecordsError, match="no register; it holds recipes"):
        open_register(place)


def test_a_layout_can_be_made_by_alembic_alone(tmp_path: Path) -> None:
    register = connect(f"sqlite:///{tmp_path / 'r.sqlite'}")
    config = Config()
    config.set_main_option("script_location", "meshcore.register:migrations")
    with register.writing() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, "0001")
    assert find(open_register(tmp_path / "r.sqlite")) == []


@pytest.mark.parametrize("url", ["mysql://x/y", "postgresql+psycopg://", "ht!tp://"])
def test_a_url_that_is_none_says_so(url: str) -> None:
    with pytest.raises(RecordsError):
        open_register(url)


def test_a_server_that_is_away_says_so(tmp_path: Path) -> None:
    with pytest.raises(RecordsError, match=r"No such file|refused|failed"):
        open_register(f"postgresql+psycopg://mill:secret@/r?host={tmp_path}")


def test_a_password_is_not_told(tmp_path: Path) -> None:
    with pytest.raises(RecordsError) as told:
        open_register(f"postgresql+psycopg://mill:secret@/r?host={tmp_path}")
    assert "secret" not in str(told.value)


def test_a_full_disk_is_said_and_the_file_stays_whole(tmp_path: Path) -> None:
    register = open_register(tmp_path / "r.sqlite")
    made = add(register, "quotation", HEAD, {"price": 1})
    from sqlalchemy import event  # noqa: PLC0415

    def limit(connection: sqlite3.Connection, _record: object) -> None:
        pages = connection.execute("PRAGMA page_count").fetchone()[0]
        connection.execute(f"PRAGMA max_page_count = {pages + 1}")

    event.listen(register.engine, "connect", limit)
    with pytest.raises(RecordsError, match="disk is full"):
        add(register, "quotation", HEAD, {"text": "x" * 1_000_000})
    event.remove(register.engine, "connect", limit)
    assert entry(register, "quotation", made.number) == made
    assert [found.number for found in find(register)] == [made.number]


_BEYOND = """
import sys
from meshcore.register.opening import open_register
from meshcore.register.storing import add
from meshcore.register.indexing import Head
register = open_register(sys.argv[1])
try:
    add(register, "quotation", Head(day="2026-11-25"), {"text": "x" * 3_000_000})
except OSError as error:
    print(error)
"""


def test_a_disk_that_takes_no_more_bytes(tmp_path: Path) -> None:
    """The kernel refuses to let the file grow, as a quota does."""
    file = tmp_path / "r.sqlite"
    made = add(open_register(file), "quotation", HEAD, {"price": 1})

    def limit() -> None:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (1_000_000, 1_000_000))

    run = subprocess.run([sys.executable, "-c", _BEYOND, str(file)], capture_output=True,
                         text=True, check=True, preexec_fn=limit)  # fmt: skip
    assert "cannot be written" in run.stdout
    assert "Nothing was changed" in run.stdout
    assert entry(open_register(file), "quotation", made.number) == made


def test_the_earlier_file_is_taken_in_once_and_left(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    earlier = tmp_path / "records.sqlite"
    estimates = estimate_list(read_list(demo_data() / "enquiries.csv").head(3))
    made = packing.packed(estimates, "Inbox", "as received")
    _write_earlier(earlier, made[1] | {"price_minor": made[0].total_minor})
    before = earlier.read_bytes()
    monkeypatch.setenv("MESHCORE_RECORDS", str(earlier))
    monkeypatch.delenv("MESHCORE_REGISTER", raising=False)
    for _ in range(2):
        assert records.saved_estimates()["title"].tolist() == ["Inbox"]
    saved = records.load_estimate(7)
    assert saved.priced["price"].tolist() == pytest.approx(
        estimates.table["price"].tolist(), nan_ok=True
    )
    assert earlier.read_bytes() == before
    assert (tmp_path / "register.sqlite").exists()
    assert records.save_estimate(estimates, "next") == 8
    assert records.saved_estimates(earlier)["title"].tolist() == ["next", "Inbox"]
    assert [found.title for found in find(open_register(), "estimate 10 mesh 304")] == [
        "next", "Inbox",
    ]  # fmt: skip


def _write_earlier(path: Path, body: dict[str, object]) -> None:
    """A file as versions before the register wrote it."""
    row = body | {"id": 7, "currency": "EUR", "digits": 2}
    with sqlite3.connect(path) as file:
        file.execute(
            "CREATE TABLE estimates (id INTEGER PRIMARY KEY, title TEXT NOT NULL, note TEXT NOT "
            "NULL, saved_at TEXT NOT NULL, currency TEXT NOT NULL, digits INTEGER NOT NULL, "
            "price_minor INTEGER NOT NULL, lines INTEGER NOT NULL, refused INTEGER NOT NULL, "
            "book_name TEXT NOT NULL, book_date TEXT NOT NULL, book_toml TEXT NOT NULL, "
            "policy_json TEXT NOT NULL, settings_json TEXT NOT NULL, enquiries TEXT NOT NULL, "
            "priced TEXT NOT NULL, items TEXT NOT NULL)"
        )
        marks = ", ".join(f":{name}" for name in row)
        file.execute(f"INSERT INTO estimates ({', '.join(row)}) VALUES ({marks})", row)
        file.execute("PRAGMA user_version = 1")


_FIND = """
import sys
from meshcore.cli import main
sys.exit(main(["register", "find", "bakery"]))
"""


def test_looking_something_up_on_a_full_disk_finds_it(tmp_path: Path) -> None:
    """A reader of SQLite keeps a few bytes beside the file: where it cannot, it reads without."""
    file = tmp_path / "r.sqlite"
    add(open_register(file), "quotation", Head(day="2026-11-25", sender="Bakery"), {"price": 1})
    before = file.read_bytes()

    def limit() -> None:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))

    run = subprocess.run(
        [sys.executable, "-c", _FIND], capture_output=True, text=True, check=False,
        preexec_fn=limit, env=os.environ | {"MESHCORE_REGISTER": str(file)},
    )  # fmt: skip
    assert (run.returncode, run.stderr) == (0, "")
    assert "Q2026-000001" in run.stdout
    assert file.read_bytes() == before


def test_what_was_written_last_is_found_too(tmp_path: Path) -> None:
    """Of a writer that was killed, the log beside the file still holds what it wrote."""
    file = tmp_path / "r.sqlite"
    open_register(file)
    subprocess.run([sys.executable, "-c", _KILLED, str(file)], check=True)
    Path(f"{file}-shm").unlink()
    assert Path(f"{file}-wal").stat().st_size > 0

    def limit() -> None:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))

    run = subprocess.run(
        [sys.executable, "-c", _FIND], capture_output=True, text=True, check=False,
        preexec_fn=limit, env=os.environ | {"MESHCORE_REGISTER": str(file)},
    )  # fmt: skip
    assert (run.returncode, run.stderr) == (0, "")
    assert "Q2026-000001" in run.stdout


_KILLED = """
import os, sqlite3, sys
from meshcore.register.indexing import Head
from meshcore.register.opening import open_register
from meshcore.register.storing import add
keeper = sqlite3.connect(sys.argv[1])
keeper.execute("SELECT 1 FROM items").fetchall()
add(open_register(sys.argv[1]), "quotation", Head(day="2026-11-25", sender="Bakery"), {})
os._exit(0)
"""


def test_a_register_on_a_disk_that_is_only_read_is_found_in(tmp_path: Path) -> None:
    """The index beside the file cannot be made, as on such a disk: a folder has its place."""
    file = tmp_path / "r.sqlite"
    add(open_register(file), "quotation", Head(day="2026-11-25", sender="Bakery"), {})
    (tmp_path / "r.sqlite-shm").mkdir()
    before = file.read_bytes()
    register = open_register(file, create=False)
    assert [one.number for one in find(register, "bakery")] == ["Q2026-000001"]
    with pytest.raises(RecordsError, match="cannot be written"):
        add(register, "quotation", Head(day="2026-11-25"), {})
    assert file.read_bytes() == before
