"""A letter's text in plain signs, place for place, so that evidence points into the original."""

from __future__ import annotations

import re
import unicodedata

#: Signs that stand for one plain sign each.
_SIGNS = str.maketrans(
    {
        "’": "'",
        "‘": "'",
        "´": "'",
        "`": "'",
        "′": "'",
        "“": '"',
        "”": '"',
        "„": '"',
        "″": '"',
        "–": "-",
        "—": "-",
        "−": "-",
        "‐": "-",
        "‑": "-",
        "×": "x",
        "✕": "x",
        "\u00a0": " ",
        "\u202f": " ",
        "\u2009": " ",
        "⁄": "/",
        "μ": "µ",
        "⌀": "Ø",
        "ø": "Ø",
        "∅": "Ø",
        "\r": " ",
        "\ufeff": " ",
        "\x00": " ",
        "…": ".",
        "•": "*",
        "·": "*",
        "▪": "*",
        "●": "*",
        "◦": "*",
        "º": "°",
    }
)
#: A number in which a letter O or l was struck for a nought or a one.
_STRUCK = re.compile(r"(?<![\w.,/-])[\dOlI][\dOolI.,]*(?=(?:MM|mm|cm|CM|[mML\"'])?(?![\w]))")
#: A one that was read as a letter before what it counts: "l roll".
_ONE = re.compile(
    r"(?<![\w.,'/-])[lI]"
    r"(?=[ \t]{1,3}(?:rolls?|r0ll|pcs?|off|sheet|panel|disc|strip|rolle|rouleau)\b)"
)
#: A one or a nought in the midst of a word, as scanning leaves them: "c1oth".
_SCANNED = re.compile(r"(?<=[a-wyz])[10](?=(?!mm\b|cm\b|in\b|ft\b|um\b)[a-z]{2,})")
#: The same in a grade that stands behind letters: "ss3O4".
_GRADE_STRUCK = re.compile(
    r"(?i)(?<=\bss)[34][\dO][\dO](?=[a-z]{0,2}\b)|(?<=\baisi)[34][\dO][\dO]\b"
)
#: A letter O for the nought behind a point: "X .O63".
_POINT_STRUCK = re.compile(r"(?<![\w.])\.[Oo](?=\d)")
_LETTER_FOR_DIGIT = str.maketrans("OolI", "0011")


def plain_text(text: str) -> str:
    """Return the text in plain signs, each in the place of the one it stands for.

    Examples
    --------
    >>> plain_text("1OOO × 5OO mm, 3O4")
    '1000 x 500 mm, 304'
    >>> plain_text("4 MESH X .O63")
    '4 MESH X .063'
    >>> plain_text("mesh ss3O4L")
    'mesh ss304L'
    >>> len(plain_text("Ø 90 – ½″")) == len("Ø 90 – ½″")
    True
    """
    folded = text.translate(_SIGNS)
    if not folded.isascii():
        folded = "".join(map(_one_sign, folded))
    folded = _ONE.sub("1", folded)
    folded = _SCANNED.sub(lambda hit: "l" if hit[0] == "1" else "o", folded)
    folded = _GRADE_STRUCK.sub(lambda hit: hit[0].translate(_LETTER_FOR_DIGIT), folded)
    folded = _POINT_STRUCK.sub(".0", folded)
    return _STRUCK.sub(_digits, folded)


def _one_sign(sign: str) -> str:
    """Fold a full-width sign to its plain one; leave what folds to more than one sign."""
    if sign.isascii() or (sign.isalpha() and ord(sign) < 0x2000):  # noqa: PLR2004 - Latin, Greek
        return sign
    folded = unicodedata.normalize("NFKC", sign)
    return folded if len(folded) == 1 and folded.isascii() else sign


def _digits(found: re.Match[str]) -> str:
    text = found[0]
    if text.isdigit() or (not any(c.isdigit() for c in text) and not re.fullmatch("[lI]O+", text)):
        return text
    if re.fullmatch(r"[\d.,]+[lI]", text):
        return text
    return text.translate(_LETTER_FOR_DIGIT)
