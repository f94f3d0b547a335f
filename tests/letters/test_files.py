"""Files that a letter comes in, and what is no letter."""

from __future__ import annotations

import io
import zipfile
from email.message import EmailMessage
from pathlib import Path
from typing import Any

import pytest

import meshcore as mc
from meshcore.reading.letters.open import open_letter
from meshcore.reading.letters.pages import html_text

LINE = "3 rolls 10 mesh, .025 in wire, 304, 48 in x 100 ft"
WORD = "http://schemas.openxmlformats.org/wordprocessingml/2006/main"


def _document(inner: str) -> bytes:
    kept = io.BytesIO()
    with zipfile.ZipFile(kept, "w") as packed:
        packed.writestr(
            "word/document.xml",
            f'<w:document xmlns:w="{WORD}"><w:body>{inner}</w:body></w:document>',
        )
    return kept.getvalue()


def _asks_for_three(path: Path) -> None:
    values = mc.read_letter(path).values
    assert values["quantity"].tolist() == [3]
    assert values["width_mm"].tolist() == [pytest.approx(1219.2)]


@pytest.mark.parametrize(
    ("name", "raw"),
    [
        ("a.txt", LINE.encode("cp1252")),
        ("b.txt", ("\ufeff" + LINE).encode("utf-16")),
        ("b-le.txt", LINE.encode("utf-16-le")),
        ("b-be.txt", LINE.encode("utf-16-be")),
        ("c.md", f"# Enquiry\n\n- **{LINE}**\n".encode()),
        ("d.html", f"<style>p {{}}</style><p>Dear mill,</p><ul><li>{LINE}</li></ul>".encode()),
        ("e.eml", f"From: a@b.example\nSubject: mesh\nContent-Type: text/html\n\n<p>{LINE}</p>".encode()),  # noqa: E501
        ("f.docx", _document(f"<w:p><w:r><w:t>{LINE}</w:t></w:r></w:p>")),
        ("g.docx", _document(
            "<w:tbl>" + "".join(
                "<w:tr>" + "".join(f"<w:tc><w:p><w:r><w:t>{cell}</w:t></w:r></w:p></w:tc>" for cell in row) + "</w:tr>"  # noqa: E501
                for row in (("Qty", "Mesh", "Wire", "Material", "Width", "Length"),
                            ("3 rolls", "10", ".025 in", "304", "48 in", "100 ft"))
            ) + "</w:tbl>")),
    ],
)  # fmt: skip
def test_each_kind_of_file_is_read(tmp_path: Path, name: str, raw: bytes) -> None:
    path = tmp_path / name
    path.write_bytes(raw)
    _asks_for_three(path)


def test_a_path_may_be_given_as_text(tmp_path: Path) -> None:
    path = tmp_path / "letter.txt"
    path.write_text(LINE, "utf-8")
    assert len(mc.read_letter(str(path)).lines) == 1


def test_a_printed_letter_is_read(tmp_path: Path) -> None:
    pytest.importorskip("pypdf")
    path = tmp_path / "letter.pdf"
    path.write_bytes(_pdf(LINE))
    _asks_for_three(path)


def _pdf(text: str) -> bytes:
    """A page of one line, as plain as PDF allows."""
    stream = f"BT /F1 12 Tf 40 700 Td ({text}) Tj ET".encode()
    objects = [
        b"<< /Type /Catalog /Pages 2 0 R >>",
        b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
        b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 600 800] /Contents 4 0 R"
        b" /Resources << /Font << /F1 5 0 R >> >> >>",
        b"<< /Length " + str(len(stream)).encode() + b" >>\nstream\n" + stream + b"\nendstream",
        b"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>",
    ]
    out = b"%PDF-1.4\n"
    places = []
    for number, one in enumerate(objects, 1):
        places.append(len(out))
        out += str(number).encode() + b" 0 obj\n" + one + b"\nendobj\n"
    start = len(out)
    out += b"xref\n0 6\n0000000000 65535 f \n" + b"".join(
        f"{p:010} 00000 n \n".encode() for p in places
    )
    return (
        out + b"trailer << /Size 6 /Root 1 0 R >>\nstartxref\n" + str(start).encode() + b"\n%%EOF"
    )


@pytest.mark.parametrize(
    ("name", "raw", "told"),
    [
        ("a.docx", b"not a document", "not a .docx"),
        ("b.pdf", b"%PDF-1.4 nothing", "PDF"),
        ("c.xyz", b"text", "no kind of letter"),
        ("d.docx", b"", "not a .docx"),
    ],
)
def test_what_is_no_letter_is_told(tmp_path: Path, name: str, raw: bytes, told: str) -> None:
    path = tmp_path / name
    path.write_bytes(raw)
    with pytest.raises(mc.LetterError, match=told):
        open_letter(path)


def test_a_missing_file_is_told() -> None:
    with pytest.raises(mc.LetterError, match="cannot be opened"):
        mc.read_letter("no/such/letter.txt")


def test_tables_and_quotations_of_a_page_keep_their_shape() -> None:
    text = html_text(
        "<p>new</p><blockquote><p>old</p></blockquote><table><tr><th>a<th>b<tr><td>1<td>2</table>"
    )
    assert "> old" in text
    assert "| 1 | 2" in text


def test_lines_may_end_as_on_any_machine(tmp_path: Path) -> None:
    rows = ["1. 2 rolls 10 mesh 0.5 mm wire 304, 1 m x 30 m", "2. 3 rolls as item 1 but 316L"]
    read = []
    for end in ("\n", "\r\n", "\r"):
        path = tmp_path / "letter.txt"
        path.write_bytes(end.join(rows).encode())
        read.append(mc.read_letter(path).values[["quantity", "alloy"]].to_numpy().tolist())
    assert read == [[[2, "304"], [3, "316L"]]] * 3


def test_what_a_page_hides_is_not_read() -> None:
    text = html_text(
        f'<p>{LINE}</p><div style="display: none">40 rolls<br>of brass</div>'
        "<p hidden>9 discs</p><span style='visibility:hidden'>7 rings</span><p>Thanks</p>"
    )
    assert LINE in text
    assert "Thanks" in text
    assert not any(word in text for word in ("brass", "discs", "rings"))


def test_every_text_of_a_mail_is_read(tmp_path: Path) -> None:
    mail = EmailMessage()
    mail["From"] = "stores@b.example"
    mail.set_content("Please quote the list below.\n")
    mail.add_attachment(f"1. {LINE}\n", filename="list.txt")
    path = tmp_path / "two.eml"
    path.write_bytes(mail.as_bytes())
    _asks_for_three(path)


def test_one_text_in_two_forms_is_read_once(tmp_path: Path) -> None:
    mail = EmailMessage()
    mail.set_content(LINE + "\n")
    mail.add_alternative(f"<p>{LINE}</p>", subtype="html")
    path = tmp_path / "both.eml"
    path.write_bytes(mail.as_bytes())
    _asks_for_three(path)


@pytest.mark.parametrize("given", [None, 3, b"3 rolls 10 mesh", ["3 rolls"]])
def test_what_is_neither_text_nor_path_is_told(given: Any) -> None:
    with pytest.raises(TypeError, match="read_letter takes the letter's text or"):
        mc.read_letter(given)
