"""Files with bytes changed, cut off or doubled: each is read, or refused in a message.

A share of the mutations by default; a thousand a format under ``make thorough``. Every mutation is
made from its own seed, so that one that fails is made again by its number.
"""

from __future__ import annotations

import gzip
import io
import random
import shutil
import time
import warnings
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pandas as pd
import pytest
from thorough import share

import meshcore as mc
from meshcore.costing.book.files import write_price_book
from meshcore.costing.book.price_book import PriceBookError
from meshcore.demo import demo_data, demo_price_book
from meshcore.documents.terms import TermsError, read_terms
from meshcore.lists.mapping import read_mapping
from meshcore.lists.reading import ListError
from meshcore.messages import Message
from meshcore.reading.letters.letter import read_letter
from meshcore.reading.letters.open import LetterError, open_letter
from meshcore.register.copying import backup, check_backup
from meshcore.register.errors import RecordsError
from meshcore.register.opening import open_register
from meshcore.supply.drawing.nest_dxf import shapes_dxf
from meshcore.supply.policy import SupplyPolicyError, read_supply_policy
from meshcore.supply.shapes.dxf import read_drawing
from meshcore.supply.shapes.outlines import circle, make_shape, rectangle

MUTATIONS = share(12, 1000)
#: No file may take longer, by the clock of the processor [s].
MOST_S = 5.0
DEMO = demo_data()
LISTS = Path(__file__).parent.parent / "lists"


def _list(content: bytes, suffix: str) -> object:
    return mc.read_list(io.BytesIO(content), suffix)


@cache
def _scratch() -> Path:
    import tempfile  # noqa: PLC0415

    return Path(tempfile.mkdtemp(prefix="mutated-"))


def _file(content: bytes, name: str) -> Path:
    path = _scratch() / name
    path.write_bytes(content)
    return path


@cache
def _workbook() -> bytes:
    out = io.BytesIO()
    mc.read_list(DEMO / "enquiries.csv").astype(str).to_excel(out, index=False)
    return out.getvalue()


@cache
def _parquet() -> bytes:
    out = io.BytesIO()
    pd.DataFrame(mc.read_list(DEMO / "enquiries.csv")).astype(str).to_parquet(out)
    return out.getvalue()


@cache
def _book_xlsx() -> bytes:
    path = _scratch() / "whole.xlsx"
    write_price_book(demo_price_book(), path)
    return path.read_bytes()


@cache
def _backup() -> bytes:
    path = _scratch() / "whole.jsonl.gz"
    backup(path, open_register(str(_scratch() / "register.sqlite")))
    return path.read_bytes()


def _dxf() -> bytes:
    return shapes_dxf([rectangle(0.3, 0.2), make_shape("ring", circle(0.3), [circle(0.1)])])


#: Format → a whole file, and what reads it.
READERS: dict[str, tuple[Callable[[], bytes], Callable[[bytes], object]]] = {
    "csv": ((DEMO / "enquiries.csv").read_bytes, lambda c: _list(c, ".csv")),
    "xlsx": (_workbook, lambda c: _list(c, ".xlsx")),
    "xls": ((LISTS / "15.xls").read_bytes, lambda c: _list(c, ".xls")),
    "ods": ((LISTS / "27.ods").read_bytes, lambda c: _list(c, ".ods")),
    "parquet": (_parquet, lambda c: _list(c, ".parquet")),
    "dxf": (_dxf, lambda c: read_drawing(c, "mm")),
    "book.toml": ((DEMO / "price_book.toml").read_bytes,
                  lambda c: mc.read_price_book(_file(c, "book.toml"))),
    "book.xlsx": (_book_xlsx, lambda c: mc.read_price_book(_file(c, "book.xlsx"))),
    "policy.toml": ((DEMO / "supply_policy.toml").read_bytes,
                    lambda c: read_supply_policy(_file(c, "policy.toml"))),
    "terms.toml": ((DEMO / "terms.toml").read_bytes, lambda c: read_terms(_file(c, "terms.toml"))),
    "mapping.json": (lambda: b'{"columns": [{"heading": "Mesh", "field": "mesh_count"}]}',
                     lambda c: read_mapping(_file(c, "mapping.json"))),
    "letter.eml": ((DEMO / "inbox" / "04-observatory.eml").read_bytes,
                   lambda c: read_letter(_file(c, "letter.eml"))),
    "backup": (_backup, lambda c: check_backup(_file(c, "backup.jsonl.gz"))),
}  # fmt: skip
#: What a reader may end in: a message for a person.
TOLD = (ListError, PriceBookError, SupplyPolicyError, TermsError, LetterError, RecordsError)


def mutated(content: bytes, rng: random.Random) -> bytes:
    """Change a file as disks, mail programs and hands do."""
    made = bytearray(content)
    for _ in range(rng.choice((1, 1, 2, 5, 20))):
        place, length = rng.randrange(len(made) + 1), rng.choice((1, 2, 8, 64, 1024))
        match rng.randrange(6):
            case 0:
                made[place : place + 1] = bytes([rng.randrange(256)])
            case 1:
                made = made[:place] or made
            case 2:
                del made[place : place + length]
            case 3:
                made[place:place] = made[place : place + length]
            case 4:
                made[place : place + length] = rng.randbytes(length)
            case _:
                if place < len(made):
                    made[place] ^= 1 << rng.randrange(8)
        made = made or bytearray(b"x")
    return bytes(made)


def repacked(content: bytes, rng: random.Random) -> bytes:
    """Change what is packed, where the packing would hide it from what reads the parts."""
    import zipfile  # noqa: PLC0415

    if content[:2] == b"\x1f\x8b":
        return gzip.compress(mutated(gzip.decompress(content), rng))
    if content[:2] != b"PK":
        return mutated(content, rng)
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as source, zipfile.ZipFile(out, "w") as target:
        names = source.namelist()
        hit = rng.choice(names)
        for name in names:
            part = source.read(name)
            target.writestr(name, mutated(part, rng) if name == hit else part)
    return out.getvalue()


@pytest.mark.thorough
@pytest.mark.parametrize("kind", READERS)
def test_a_mutated_file_is_read_or_refused_in_a_message(kind: str) -> None:
    whole, read = READERS[kind]
    content = whole()
    for number in range(MUTATIONS):
        rng = random.Random(f"{kind} {number}")
        made = (repacked if number % 2 else mutated)(content, rng)
        begun, told = time.process_time(), ""
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            try:
                read(made)
            except TOLD as error:
                told = str(error)
            except Exception as error:
                raise AssertionError(f"{kind} {number}: {error!r}") from error
        assert "Traceback" not in told
        assert time.process_time() - begun < MOST_S, f"{kind} {number}"


def test_a_mail_with_a_damaged_sender_is_opened(tmp_path: Path) -> None:
    # The parser of Python 3.11 raises IndexError where a sender breaks off within its brackets.
    path = tmp_path / "letter.eml"
    path.write_bytes(b"From: Corie Top O\x1bs}rvatory <")
    assert "rvatory <" in open_letter(path)


def test_a_damaged_drawing_refuses_its_line_alone(tmp_path: Path) -> None:
    whole = _dxf()
    rng = random.Random(7)
    for number in range(30):
        (tmp_path / f"{number}.dxf").write_bytes(mutated(whole, rng))
    (tmp_path / "whole.dxf").write_bytes(shapes_dxf([rectangle(0.3, 0.2)]))
    lines = [
        {"mesh_count": "10/in", "wire_diameter": "0.025 in", "alloy": "304", "form": "piece",
         "shape": "dxf", "dimensions": str(path), "quantity": "1"}
        for path in sorted(tmp_path.glob("*.dxf"))
    ]  # fmt: skip
    priced = mc.estimate_table(pd.DataFrame(lines))
    assert len(priced) == len(lines)
    assert priced.iloc[-1]["status"] != "refused"
    assert isinstance(read_drawing(b"0\nSECTION\n", "mm"), Message)


def teardown_module() -> None:
    shutil.rmtree(_scratch(), ignore_errors=True)
