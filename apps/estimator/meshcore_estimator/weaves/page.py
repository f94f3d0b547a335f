"""All weaves side by side: what each is, how it is told, what it is for, and where it stops."""

from __future__ import annotations

import base64
from functools import lru_cache
from html import escape

import streamlit as st

from meshcore.estimates.weave_guide import WeaveEntry, weave_guide
from meshcore.weave.drawing.glance import draw_at_a_glance
from meshcore.weave.drawing.svg import Theme
from meshcore.weave.judging.practicality import NOT_JUDGED, VERDICTS
from meshcore_estimator.enquiry import form as enquiry_form
from meshcore_estimator.shared import charts, current, model_view, navigation, settling
from meshcore_estimator.shared.line import Line
from meshcore_estimator.shared.parts import VERDICT_TAGS, lines, soft, table, tag

_CHOSEN = "weave_looked_at"


def page() -> None:
    """Draw the page."""
    current.start()
    line = current.line()
    enquiry_form.keep()
    settling.taken()
    guide = _guide(line)
    shown, told = st.columns([6, 5], gap="large")
    with shown:
        st.header("Which weave is which?", anchor=False)
        names = [entry.name for entry in guide]
        st.selectbox("Weave", names, key=_CHOSEN, persist_state="session",
                     format_func=str.capitalize)  # fmt: skip
        name = st.session_state.get(_CHOSEN)
        entry = guide[names.index(name) if name in names else 0]
        what = f"Model of {entry.name}: {entry.sizes}"
        model_view.draw(entry.weave, entry.wire_diameter_m, entry.pitch_m, what, "weave_model")
    with told, st.container(key="weave_told"):
        _tell(entry)
    st.header("All of them, side by side", anchor=False)
    st.html(_cards(guide, charts.theme("light")))
    st.caption(
        "What is told here of use and hand is common practice, no source; where wires jam follows "
        "from their path, and what can be woven from the rules in use. Where a screen guards "
        "people, the machine's risk assessment and the local code decide, not the weave."
    )


def _guide(line: Line | None) -> tuple[WeaveEntry, ...]:
    return weave_guide() if line is None else weave_guide(line.estimates.orders.cloth, line.number)


def _tell(entry: WeaveEntry) -> None:
    st.header(entry.name.capitalize(), anchor=False)
    st.html(table((), [("What it is", entry.story.what), ("Shown at", entry.sizes)]))
    if entry.verdict == NOT_JUDGED:
        st.html(f"<div>{soft(_sizes_of(entry)).html}</div>")
        return
    mark = tag(VERDICTS[entry.verdict], VERDICT_TAGS[entry.verdict])
    st.html(f"<div>{lines(soft('In the sizes of the enquiry:'), mark).html}</div>")
    st.button("Use this weave", key="weave_use", on_click=_use, args=(entry.name,))


def _sizes_of(entry: WeaveEntry) -> str:
    return (
        f"No enquiry gives sizes, so {entry.count} stands for them. Type the sizes into "
        "the enquiry, and this page tells of them."
    )


def _use(name: str) -> None:
    enquiry_form.use({"weave": name})
    navigation.go_to("enquiry")


def _cards(guide: tuple[WeaveEntry, ...], theme: Theme) -> str:
    return f'<div class="mc-weaves">{"".join(_card(entry, theme) for entry in guide)}</div>'


def _card(entry: WeaveEntry, theme: Theme) -> str:
    mark = "" if entry.verdict == NOT_JUDGED else tag(
        VERDICTS[entry.verdict], VERDICT_TAGS[entry.verdict]).html  # fmt: skip
    story = entry.story
    said = [("", story.what), ("Told by", story.told), ("For", story.used),
            ("Not for", story.stops)]  # fmt: skip
    said += [(name.capitalize(), text) for name, text in entry.facts]
    told = "".join(
        f"<p>{f'<b>{escape(name)}.</b> ' if name else ''}{escape(text)}</p>" for name, text in said
    )
    picture = _picture(entry.weave, entry.wire_diameter_m, entry.pitch_m, theme)
    return (
        f'<section class="mc-weave"><h3>{escape(entry.name.capitalize())} {mark}</h3>'
        f'<img alt="{escape(entry.name)}: plan and section" src="{picture}">{told}</section>'
    )


#: Pictures kept as they were last drawn: seven weaves in two themes, for a few enquiries.
_KEPT = 64


@lru_cache(_KEPT)
def _picture(weave: int, wire_m: float, pitch_m: float, theme: Theme) -> str:
    drawn = draw_at_a_glance(weave, wire_m, pitch_m, theme).encode("utf-8")
    return f"data:image/svg+xml;base64,{base64.b64encode(drawn).decode('ascii')}"
