"""A new quotation from the enquiry or the list that the user is at."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

import streamlit as st

from meshcore.commands.on_file import counted
from meshcore.costing.book.edits import is_edited
from meshcore.documents.facts import Quotation
from meshcore.documents.quotation import break_quantities, quotation, to_settle
from meshcore.documents.terms import LANGUAGES
from meshcore.estimates.letters import PricedLetter
from meshcore.estimates.results import EstimateSet
from meshcore.reading.letters.letter import Letter
from meshcore.register.entries import entry
from meshcore.register.errors import RecordsError
from meshcore.register.intake import Came
from meshcore.register.opening import open_register
from meshcore.register.quotations import file_quotation, quoted, revise_quotation
from meshcore.register.revising import changed_terms
from meshcore_estimator.enquiry import form as enquiry_form
from meshcore_estimator.enquiry import options_panel
from meshcore_estimator.letter import priced as priced_letter
from meshcore_estimator.lists import source as list_source
from meshcore_estimator.quotations import state
from meshcore_estimator.shared import current, settings, settling
from meshcore_estimator.shared.parts import aside
from meshcore_estimator.shared.pricing import estimate_list

_LANGUAGE_WORDS = {"en": "English", "de": "German", "fr": "French", "es": "Spanish"}
_FROM = options_panel.MADE_FROM
_TO, _REFERENCE = "quotation_to", "quotation_reference"
_LANGUAGE, _BREAKS = "quotation_language", "quotation_breaks"
_WAY, _OWN_WORDS = "quotation_alloy", "quotation_own_words"
_LETTER, _LIST, _ENQUIRY = "The letter", "The enquiry list", "The enquiry"
#: Fields that are kept over a reload.
KEPT = (_FROM, _TO, _REFERENCE, _LANGUAGE, _BREAKS)


def draw() -> None:
    """Draw what a new quotation is made from, and for whom."""
    st.header("New quotation", anchor=False)
    current.start()
    sources = _sources()
    if not sources:
        st.html(aside("There is nothing to quote yet: read a letter or a list, or fill in an "
                      "enquiry."))  # fmt: skip
        return
    if is_edited(settings.price_book()):
        st.html(aside("Priced with an edited price book that is not saved. Save it as a version, "
                      "or go back to the saved one, before this is sent.", "review"))  # fmt: skip
    left, right = st.columns([3, 2], gap="medium")
    with left:
        st.text_area("To", key=_TO, placeholder="Name and address, a line each", height=110,
                     persist_state="session")  # fmt: skip
        st.text_input("Priced at other quantities too", key=_BREAKS, placeholder="as 5, 10",
                      persist_state="session")  # fmt: skip
    with right:
        made_from: str = st.segmented_control(
            "Made from", sources, default=sources[0], required=True, key=_FROM, width="stretch",
            persist_state="session", wrap=True,
        )  # fmt: skip
        st.text_input("Their reference", key=_REFERENCE, persist_state="session")
        st.segmented_control("Language", LANGUAGES, default=state.terms().language, required=True,
                             format_func=lambda name: _LANGUAGE_WORDS[name], key=_LANGUAGE,
                             persist_state="session", width="stretch", wrap=True)  # fmt: skip
    with st.container(key="quotation_way"):
        _ask_way(made_from)
    with st.container(horizontal=True):
        st.button("Draft the quotation", icon=":material/draft:", key="quotation_draft",
                  type="primary", on_click=state.do,
                  args=(partial(_draft, made_from),))  # fmt: skip
        if state.chosen():
            st.button(f"Save as a revision of {state.chosen()}", icon=":material/history:",
                      key="quotation_revise", on_click=state.do,
                      args=(partial(_revise, made_from, state.chosen()),))  # fmt: skip
    if state.chosen():
        st.checkbox("The revision takes the address, reference, language and terms of above, not "
                    f"those of {state.chosen()}", key=_OWN_WORDS)  # fmt: skip


def begin_from(letter: Letter) -> None:
    """Fill in what a letter says of its sender; to be called before the fields are drawn."""
    sender, reference = letter.header.get("sender"), letter.header.get("reference")
    settling.write({
        _FROM: _LETTER,
        _TO: sender.text if sender else "",
        _REFERENCE: reference.text if reference else "",
    } | ({_LANGUAGE: letter.language} if letter.language in LANGUAGES else {}))  # fmt: skip


def _sources() -> list[str]:
    there = {
        _LIST: list_source.current()[0] is not None,
        _ENQUIRY: not enquiry_form.is_empty(),
        options_panel.OPTIONS: options_panel.is_ready(),
        _LETTER: priced_letter.in_hand() is not None,
    }
    return [name for name, is_there in there.items() if is_there]


def _ask_way(made_from: str) -> None:
    """Ask which alloy is quoted, where a letter leaves the choice."""
    priced = priced_letter.current() if made_from == _LETTER else None
    if priced is None or not priced.choices:
        return
    names = _ways(priced)
    st.segmented_control("Quoted in", range(len(names)), default=0, required=True, key=_WAY,
                         format_func=names.__getitem__, persist_state="session")  # fmt: skip


def _ways(priced: PricedLetter) -> list[str]:
    """Name each way to quote by the alloys that its lines of choice are then of."""
    return [
        ", ".join(dict.fromkeys(named[min(way, len(named) - 1)]
                                for named in priced.choices.values()))
        for way in range(len(priced.ways))
    ]  # fmt: skip


def _draft(made_from: str) -> str:
    facts, estimates = _made(made_from)
    # The register is made here at the latest: whoever only looks makes none.
    filed = file_quotation(open_register(), facts, estimates, came=_came(made_from))
    state.choose(filed.number)
    return f"Drafted as {filed.number}.{_open(facts, estimates)}"


def _came(made_from: str) -> Came | None:
    """Return the letter or list in hand, to be filed as it came."""
    letter = priced_letter.in_hand() if made_from == _LETTER else None
    if letter is not None:
        return Came("letter", "letter.txt", letter.text.encode("utf-8", "replace"), letter.text)
    source = list_source.current()[0] if made_from == _LIST else None
    return Came("list", source.name, source.upload.content) if source is not None else None


def _revise(made_from: str, number: str) -> str:
    register = open_register(create=False)
    opened = entry(register, "quotation", number)
    old = quoted(opened)
    # What is typed above may be meant for another quotation than the one that is looked at.
    facts, estimates = _made(made_from, None if st.session_state.get(_OWN_WORDS) else old)
    revised = revise_quotation(register, opened, facts, estimates)
    told = " ".join(changed_terms(old, facts)) or f"It is for {old.to.name or 'nobody named'}."
    named = f"{number}, revision {revised.head.revision}"
    return f"Saved as {named}, a draft. {told}{_open(facts, estimates)}"


def _made(made_from: str, old: Quotation | None = None) -> tuple[Quotation, EstimateSet]:
    """Quote what is in hand: in the words above, or in those of a quotation that is revised."""
    estimates = _estimates(made_from)
    letter = priced_letter.in_hand() if made_from == _LETTER else None
    wish = letter.header.get("wanted_by") if letter is not None else None
    facts = quotation(
        estimates, old.terms if old else state.terms(), to=str(st.session_state[_TO]),
        reference=str(st.session_state[_REFERENCE]),
        language=old.language if old else str(st.session_state[_LANGUAGE]),
        wanted_by=wish.text if wish else "",
        breaks=break_quantities(str(st.session_state.get(_BREAKS, ""))),
    )  # fmt: skip
    if old:
        facts = replace(facts, to=old.to, reference=old.reference)
    return facts, estimates


def _open(facts: Quotation, estimates: EstimateSet) -> str:
    count = len(to_settle(estimates, facts))
    return f" {counted(count, 'open point')} to look at beside it." if count else ""


def _estimates(made_from: str) -> EstimateSet:
    if made_from == _LETTER and (letter := priced_letter.current()) is not None:
        way = int(st.session_state.get(_WAY) or 0)
        return letter.ways[min(way, len(letter.ways) - 1)]
    if made_from == options_panel.OPTIONS and options_panel.is_ready():
        return options_panel.estimates()
    source = list_source.current()[0]
    if made_from == _ENQUIRY or source is None:
        line = current.line()
        if line is None:
            raise RecordsError("the enquiry is empty now. Fill it in, and draft again.")
        return line.estimates
    return estimate_list(source.enquiries, settings.price_book(), settings.supply_policy())
