"""Signs that no font shows: their codes stand once for each, and nothing of the mill's own goes."""

from __future__ import annotations

import pytest

from meshcore.documents import typesetting
from meshcore.documents.printing import missing_text
from meshcore.documents.typesetting import typeset

#: A thumb with a tone of skin (two code points), a letter with a mark that it is seldom written
#: with, a word of Tamil with signs of vowels and a virama, and a mark that Latin is never written
#: with: after "]" it is set as one with it.
TEXTS = ["\U0001f44d\U0001f3fd Co", "\u304b\u309a", "தமிழ்", "x]\u309a"]


@pytest.mark.parametrize("typed", TEXTS)
def test_codes_stand_once_for_each_sign(typed: str, monkeypatch: pytest.MonkeyPatch) -> None:
    sent: list[dict[str, object]] = []
    compiled = typesetting._compiled

    def seen(layout: str, data: dict[str, object], *, own_fonts_alone: bool) -> bytes | str:
        sent.append(data)
        return compiled(layout, data, own_fonts_alone=own_fonts_alone)

    monkeypatch.setattr(typesetting, "_compiled", seen)
    mill = "Mill [Weir] e"
    data = {"width_mm": 100.0, "height_mm": 60.0, "a4": False, "title": "t", "language": "en",
            "labels": [], "texts": [mill, typed]}  # fmt: skip
    monkeypatch.setattr(typesetting, "_source", lambda _: _PLAIN)
    made = typeset("any.typ", data, system_fonts=False)
    signs = [sign for sign in dict.fromkeys(typed) if ord(sign) > 0x4FF]
    assert sent[-1]["texts"][0] == mill  # type: ignore[index]
    shown = str(sent[-1]["texts"][1])  # type: ignore[index]
    assert len(made.missing) == len(set(made.missing))
    assert set(made.missing) <= set(signs)
    assert all(shown.count(f"[U+{ord(s):04X}]") == typed.count(s) for s in made.missing)
    assert "[U+005" not in shown
    assert typesetting.NO_SIGN not in shown
    assert list(made.missing) == signs
    for sign in made.missing:
        assert missing_text(made.missing).count(sign) == 1


_PLAIN = b"""
#let d = json(bytes(sys.inputs.data))
#set document(title: d.title, author: "m", date: datetime(year: 2026, month: 1, day: 1))
#set text(font: ("Libertinus Serif", "DejaVu Sans Mono"), lang: "en")
#for one in d.texts { par(one) }
"""
