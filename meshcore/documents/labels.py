"""Labels of rolls and pieces, with a code that any reader of codes reads as plain text."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from meshcore.documents.printing import breakable, check_writable
from meshcore.documents.terms import TermsError
from meshcore.documents.typesetting import Printed, typeset
from meshcore.documents.wording import words

#: Which of a label's lines names the cloth; its number is the first.
_CLOTH = 4
#: How labels are printed: each on a page of its own of 100 × 60 mm, or eight on a sheet of A4.
LabelSheet = Literal["single", "a4"]


@dataclass(frozen=True, slots=True)
class Label:
    """A label: its number, what it says line by line, and the mill's name."""

    number: str
    lines: tuple[str, ...]
    mill: str

    @property
    def code_text(self) -> str:
        """Return what the code holds: the lines, as plain text."""
        return "\n".join((self.mill, *self.lines))


def check_labels(path: Path) -> None:
    """Say at once where labels cannot be written.

    Raises
    ------
    TermsError
        If the name does not end in ``.pdf``.
    """
    if path.suffix.casefold() != ".pdf":
        raise TermsError(f"{path}: labels are .pdf; end the name in it.")
    check_writable(path)


def label_pdf(
    labels: Sequence[Label], sheet: LabelSheet = "single", language: str = "en"
) -> Printed:
    """Print labels.

    Parameters
    ----------
    labels
        At least one.
    sheet
        How they are printed.
    language
        Of their words.
    """
    say = words(language)
    data = {
        "sheet": sheet,
        "language": language,
        "title": f"{say.say('titles', 'labels')} {labels[0].number}",
        "code": say.say("texts", "code"),
        "labels": [
            {"number": one.number, "mill": one.mill, "code": code_svg(one.code_text),
             "lines": [breakable(text) for text in one.lines[1:]], "cloth": _CLOTH - 1}
            for one in labels
        ],
    }  # fmt: skip
    return typeset("labels.typ", data)


def code_svg(text: str) -> str:
    """Return a QR code of a text as SVG (ISO/IEC 18004), at the middle level of correction."""
    import segno  # noqa: PLC0415 - only when labels are printed

    out = io.BytesIO()
    code = segno.make_qr(text, error="m", encoding="utf-8")
    code.save(out, kind="svg", border=4, scale=4, xmldecl=False)
    return out.getvalue().decode("utf-8")
