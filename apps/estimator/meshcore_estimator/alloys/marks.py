"""Verdicts on alloys as marks: each has a shape and a colour of its own."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape

#: Half the size of a mark, in the units of the picture it stands in.
RADIUS = 5.0
#: Verdict → colour on a light and on a dark page. They stay apart for readers who confuse red and
#: green (a test simulates that), and the shapes tell the verdicts apart without any colour.
COLOURS: Mapping[str, tuple[str, str]] = {
    "meets": ("#0b6aa8", "#6bb8f0"),
    "marginal": ("#c07c00", "#f4c95d"),
    "not judged": ("#6b787f", "#93a1a8"),
    "fails": ("#a1232d", "#f0655d"),
}
#: Verdict → its shape around (0, 0), as attributes of an SVG path.
_SHAPES: Mapping[str, Mapping[str, str]] = {
    "meets": {"d": "M-5,0A5,5 0 1,1 5,0A5,5 0 1,1 -5,0Z", "fill": "currentColor"},
    "marginal": {"d": "M0,-5.5L5.5,4.5L-5.5,4.5Z", "fill": "currentColor"},
    "not judged": {"d": "M-4,-4H4V4H-4Z", "fill": "none", "stroke": "currentColor",
                   "stroke-width": "1.6"},
    "fails": {"d": "M-4.2,-4.2L4.2,4.2M-4.2,4.2L4.2,-4.2", "fill": "none",
              "stroke": "currentColor", "stroke-width": "2.4"},
}  # fmt: skip
#: Verdict → its shape as a character, for where no picture can stand.
SIGNS: Mapping[str, str] = {"meets": "●", "marginal": "▲", "not judged": "□", "fails": "✕"}


def shape(verdict: str) -> Mapping[str, str]:
    """Return the attributes of the path that draws a verdict's mark around (0, 0)."""
    return _SHAPES[verdict]


def class_of(verdict: str) -> str:
    """Class that carries a verdict's colour.

    Examples
    --------
    >>> class_of("not judged")
    'mc-verdict-not-judged'
    """
    return f"mc-verdict-{verdict.replace(' ', '-')}"


def mark(verdict: str) -> str:
    """Return a verdict's mark as HTML, to stand in a line of text."""
    attributes = " ".join(f'{name}="{value}"' for name, value in shape(verdict).items())
    return (
        f'<svg class="mc-mark {class_of(verdict)}" viewBox="-7 -7 14 14" aria-hidden="true">'
        f"<path {attributes}/></svg>"
    )


def marked(verdict: str, text: str = "") -> str:
    """Return a verdict in words, or another text, after its mark, as HTML."""
    return f'<span class="mc-marked">{mark(verdict)}{escape(text or verdict)}</span>'


def colour_rules() -> str:
    """Return the style sheet of the colours."""
    rules = "".join(
        f".{class_of(verdict)}{{color:light-dark({light},{dark})}}"
        for verdict, (light, dark) in COLOURS.items()
    )
    return f"<style>{rules}</style>"
