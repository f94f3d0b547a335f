"""A buyer's letter: what was read where, the lines priced, and the reply that asks for the rest."""

from __future__ import annotations

import streamlit as st

from meshcore.costing.money import minor_digits, money_text
from meshcore.demo import demo_data, is_demo
from meshcore.estimates.letters import PricedLetter, reply_mail
from meshcore.estimates.results import EstimateSet
from meshcore.estimates.summary import list_totals
from meshcore.messages import Message
from meshcore.reading.letters.letter import Letter
from meshcore.reading.letters.open import SUFFIXES
from meshcore.uses.catalogue import STATEMENTS
from meshcore.uses.sentences.passages import use_passage
from meshcore_estimator.enquiry import form as enquiry_form
from meshcore_estimator.letter import grid, marks, source
from meshcore_estimator.letter import priced as priced_letter
from meshcore_estimator.lists import origin
from meshcore_estimator.lists import source as lists
from meshcore_estimator.quotations import drafting
from meshcore_estimator.shared import (
    breakdown,
    navigation,
    question_panel,
    result,
    settling,
)
from meshcore_estimator.shared.line import Line
from meshcore_estimator.shared.parts import (
    NOTHING,
    Cell,
    Markup,
    aside,
    figures,
    message_list,
    soft,
    status_word,
    table,
    tag,
)
from meshcore_estimator.shared.parts import lines as stacked
from meshcore_estimator.shared.roles import Deed, may
from meshcore_estimator.uses import form as use_form

_UPLOAD, _DEMO, _STARTED = "letter_upload", "letter_demo", "letter_started"
#: Media type of a mail (RFC 5322).
_MAIL = "message/rfc822"
_HEADER = (
    ("reference", "Reference"),
    ("sender", "From"),
    ("wanted_by", "Wanted by"),
    ("deliver_to", "Deliver to"),
)


def page() -> None:
    """Draw the page."""
    _start()
    writing, answering = st.columns([6, 7], gap="large")
    with writing, st.container(key="letter_box"):
        _ask()
    letter = source.read()
    with writing:
        _show(letter)
        with st.container(key="letter_use"):
            _lead_to_use()
    with answering, st.container(key="letter_answer"):
        _answer(letter)


def _lead_to_use() -> None:
    """Offer to start from the use, where the letter names one."""
    said, use = use_passage(source.text())
    if said:
        st.button(
            f"Start from the use: {STATEMENTS[use].title.lower()}",
            icon=":material/target:", key="letter_to_use", on_click=_to_use, args=(said,),
        )  # fmt: skip


def _to_use(said: str) -> None:
    use_form.say(said)
    navigation.go_to("uses")


def _start() -> None:
    """Where the app opens on the demonstration, the first letter of its inbox lies on the desk."""
    if is_demo() and _STARTED not in st.session_state and not source.text():
        source.give_file(*_demo_letter(_inbox()[0]))
    st.session_state[_STARTED] = True
    source.offer_again()


def _inbox() -> list[str]:
    return sorted(p.name for p in (demo_data() / "inbox").iterdir() if p.suffix in SUFFIXES)


def _demo_letter(name: str) -> tuple[str, bytes]:
    return name, (demo_data() / "inbox" / name).read_bytes()


def _ask() -> None:
    typed = st.text_area(
        "Letter", key=source.FIELD, height=220,
        placeholder="Paste the buyer's message here, or drop its file below.",
    )  # fmt: skip
    source.keep_typed(typed)
    upload, demo = st.columns([3, 2], gap="small") if is_demo() else (st.container(), None)
    upload.file_uploader(
        "File of a letter", [s.removeprefix(".") for s in SUFFIXES], key=_UPLOAD,
        on_change=_read_upload,
    )  # fmt: skip
    if demo is not None:
        demo.selectbox("Inbox of the demo mill", _inbox(), index=None, key=_DEMO,
                       placeholder="Choose a letter", on_change=_read_demo)  # fmt: skip
    problem = source.problem()
    st.html(aside(problem, "refused") if problem else NOTHING)


def _read_upload() -> None:
    given = st.session_state[_UPLOAD]
    if given is not None:
        source.give_file(given.name, given.getvalue())


def _read_demo() -> None:
    if chosen := st.session_state[_DEMO]:
        source.give_file(*_demo_letter(chosen))


def _show(letter: Letter) -> None:
    """Draw the letter with what was read marked in place."""
    with st.container(key="letter_marked"):
        if not letter.text.strip():
            st.html(NOTHING)
            return
        st.header("What was read", anchor=False)
        st.html(marks.key())
        st.html(marks.marked(letter))


def _answer(letter: Letter) -> None:
    if not letter.text.strip():
        settling.taken()
        st.html(aside(
            "A message as it came is enough: prose, a list, a table, in English, German, French "
            "or Spanish. Each cell of a line is shown where it was read, and what the letter "
            "leaves open is asked, not guessed."
        ))  # fmt: skip
        return
    with st.container(key="letter_header"):
        _header(letter)
    with st.container(key="letter_grid"):
        if len(letter.lines) or source.changes().added:
            grid.draw(letter)
        else:
            st.html(aside("No line was read from this letter. Add one below, or ask back.",
                          "review"))  # fmt: skip
            grid.draw(letter)
    settling.taken()
    priced = priced_letter.current()
    if priced is None:
        return
    with st.container(key="letter_totals"):
        _totals(priced)
    with st.container(key="letter_lines"):
        _lines(priced)
    with st.container(key="letter_on"):
        _go_on(priced)
    with st.container(key="letter_reply"):
        _reply(priced)
    with st.container(key="basis"):
        breakdown.basis(priced.estimates)


def _header(letter: Letter) -> None:
    rows: list[tuple[Cell, ...]] = [
        (label, " ".join(found.text.split()))
        for name, label in _HEADER
        if (found := letter.header.get(name)) is not None
    ]
    for named, passages in (("Not read", letter.unread), ("Left out", letter.not_square)):
        rows += [
            (named, stacked(" ".join(str(text).split()), soft(str(why))))
            for text, why in zip(passages["text"], passages["why"], strict=True)
        ]
    st.html(table((), rows) if rows else NOTHING)


def _totals(priced: PricedLetter) -> None:
    every = [list_totals(way) for way in priced.ways]
    first = every[0]
    low, high = min(t.price for t in every), max(t.price for t in every)
    digits, currency = first.digits, first.currency
    price = money_text(high, currency, digits).strip()
    if low < high:
        price = f"{money_text(low, '', digits).strip()} to {price}"
    below = " or ".join(dict.fromkeys(a for named in priced.choices.values() for a in named))
    st.html(figures((
        ("Price of the priced lines", price, f"in {below}" if below else ""),
        ("Lines", str(first.lines), f"{first.ok} ok"),
        ("To review", str(first.review), "priced, but look at them"),
        ("Refused", str(first.refused), "something is to be asked or mended"),
    )))  # fmt: skip
    breakdown.priced_with(priced.estimates)


def _lines(priced: PricedLetter) -> None:
    """Draw each line's verdict, price and what is said of it."""
    rows: list[tuple[Cell, ...]] = []
    for number in range(len(priced.estimates)):
        ways = priced.ways if number in priced.choices else priced.ways[:1]
        for way, estimates in enumerate(ways[: len(priced.choices.get(number, ("",)))]):
            line = Line(estimates, estimates.table, number)
            name = line.name + (f" {'abcdefgh'[way]}" if len(ways) > 1 else "")
            rows.append((name, _asked(line), tag(status_word(line.status), line.status),
                         _price_text(line)))  # fmt: skip
            said = [*(_open(priced.letter, line.name) if not way else ()), *line.messages]
            if said:
                rows.append(("", Markup(message_list(said)), "", ""))
    st.html(table(("Line", "What is asked", "", f"Price [{priced.estimates.book.currency}]"), rows,
                  numeric=(3,)))  # fmt: skip


def _open(letter: Letter, name: str) -> list[Message]:
    """Say what the letter itself leaves open of a line, once a passage."""
    asked = letter.asked[letter.asked["line"].astype("str") == name]
    by_why = dict(zip(reversed(asked["why"].tolist()), reversed(asked["field"].tolist()),
                      strict=True))  # fmt: skip
    return [
        Message(str(field), "", f"to be asked: {why}", "review", code="letter.asked")
        for why, field in reversed(by_why.items())
    ]


def _asked(line: Line) -> Cell:
    """Name cloth and form of a line, the cloth as it was completed."""
    cloth = ", ".join(filter(None, (result.cloth(line), line.alloy.split(" · ")[0])))
    shape = line.asked("shape")
    form = shape or line.asked("form")
    sizes = " × ".join(filter(None, (line.asked("width"), line.asked("length"))))
    parts = (f"{line.asked('quantity') or '?'} × {form or '?'}", sizes, line.asked("dimensions"),
             line.asked("services"))  # fmt: skip
    return stacked(cloth, soft(", ".join(filter(None, parts))))


def _price_text(line: Line) -> Cell:
    digits = minor_digits(line.estimates.book.currency)
    text = money_text(float(line["price"]), "", digits).strip()
    return soft("none") if line.status == "refused" else text


def _go_on(priced: PricedLetter) -> None:
    """Draw the ways on: a quotation, the list, or one line as an enquiry."""
    with st.container(horizontal=True, vertical_alignment="bottom"):
        if may(Deed.REGISTER):
            st.button("Make a quotation", icon=":material/request_quote:", key="letter_quotation",
                      type="primary", on_click=_to_quotation,
                      args=(priced.letter,))  # fmt: skip
        st.button("Open as a list", icon=":material/table_rows:", key="letter_as_list",
                  on_click=_to_list, args=(priced.letter,))  # fmt: skip
        labels = [str(n) for n in priced.letter.lines["line"]]
        chosen = st.selectbox("Line to open as an enquiry", labels, index=None, key="letter_line",
                              placeholder="Line", label_visibility="collapsed", width=110)  # fmt: skip  # noqa: E501
        number = labels.index(str(chosen)) if chosen is not None else 0
        st.button("Open as an enquiry", icon=":material/edit_note:", key="letter_as_enquiry",
                  disabled=chosen is None, on_click=_to_enquiry,
                  args=(priced.estimates, number))  # fmt: skip


def _to_quotation(letter: Letter) -> None:
    drafting.begin_from(letter)
    navigation.go_to("quotations")


def _to_enquiry(estimates: EstimateSet, number: int) -> None:
    enquiry_form.fill(Line(estimates, estimates.table, number))
    origin.forget()
    navigation.go_to("enquiry")


def _to_list(letter: Letter) -> None:
    reference = letter.header.get("reference")
    named = "".join(c if c.isalnum() else "-" for c in reference.text) if reference else "letter"
    lines = letter.lines.loc[:, letter.lines.astype(bool).any()]
    lists.give(f"{named}.csv", ".csv", lines.to_csv(index=False).encode())
    navigation.go_to("list")


def _reply(priced: PricedLetter) -> None:
    st.header("Reply", anchor=False)
    text = priced.reply()
    if text:
        with st.container(horizontal=True):
            st.download_button("Mail", reply_mail(priced.letter, text), file_name="reply.eml",
                               mime=_MAIL, on_click="ignore", icon=":material/drafts:",
                               key="download_reply_mail")  # fmt: skip
            st.download_button("Text", text, file_name="reply.txt", mime="text/plain",
                               on_click="ignore", icon=":material/download:",
                               key="download_reply")  # fmt: skip
    question_panel.draw(text)
