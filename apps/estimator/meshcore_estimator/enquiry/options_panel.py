"""Ways to meet the enquiry that are kept side by side, ready to be quoted together."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace

import streamlit as st

from meshcore.costing.money import minor_digits, money_text
from meshcore.estimates.options import side_by_side
from meshcore.estimates.results import EstimateSet
from meshcore_estimator.enquiry import form as enquiry_form
from meshcore_estimator.lists import origin
from meshcore_estimator.shared import navigation, settings, settling
from meshcore_estimator.shared.line import Line
from meshcore_estimator.shared.numbers import NONE, fixed, size
from meshcore_estimator.shared.parts import Cell, lines, soft, status_word, table, tag
from meshcore_estimator.shared.pricing import priced_options
from meshcore_estimator.shared.result import cloth
from meshcore_estimator.shared.roles import Deed, may
from meshcore_estimator.shared.side_by_side import signed

_KEPT = "enquiry_options"
#: What stands under "made from" on the page of quotations for them.
MADE_FROM, OPTIONS = "quotation_from", "The options"
#: Most that stand side by side: as many as a page is wide.
_MOST = 4


@dataclass(frozen=True, slots=True)
class Options:
    """Ways kept, each as it was typed, and the one last taken out."""

    kept: tuple[dict[str, str], ...] = ()
    out: dict[str, str] | None = None


def _options() -> Options:
    held: Options = st.session_state.setdefault(_KEPT, Options())
    return held


def is_ready() -> bool:
    """Whether there are at least two ways to quote."""
    return len(_options().kept) > 1


def estimates() -> EstimateSet:
    """Price the ways kept."""
    return priced_options(
        _options().kept, settings.price_book(), settings.supply_policy(),
        enquiry_form.path_model(),
    )  # fmt: skip


def button() -> None:
    """Draw the button that keeps the enquiry as one of the ways."""
    st.button("Keep as an option", icon=":material/splitscreen_add:", key="keep_option",
              on_click=_keep, disabled=len(_options().kept) >= _MOST)  # fmt: skip


def _keep() -> None:
    asked = enquiry_form.cells()
    held = _options()
    if asked not in held.kept and len(held.kept) < _MOST:
        st.session_state[_KEPT] = replace(held, kept=(*held.kept, asked))


def draw() -> None:
    """Draw the ways side by side; nothing while there are none."""
    held = _options()
    if not held.kept and held.out is None:
        return
    st.header("Options side by side", anchor=False)
    if held.kept:
        _table(estimates())
    with st.container(horizontal=True):
        for number in range(len(held.kept)):
            _of_one(number)
        if held.out is not None:
            st.button("Put back", icon=":material/undo:", key="option_back", on_click=_put_back)
        if may(Deed.REGISTER):
            st.button("Quote them", icon=":material/request_quote:", type="primary",
                      key="quote_options", on_click=_quote, disabled=not is_ready())  # fmt: skip


def _of_one(number: int) -> None:
    with st.popover(f"Option {number + 1}", icon=":material/more_horiz:"):
        st.button("Open in the form", icon=":material/edit_note:", key=f"option_open_{number}",
                  on_click=_open, args=(number,), width="stretch")  # fmt: skip
        st.button("Take out", icon=":material/remove:", key=f"option_out_{number}",
                  on_click=_take_out, args=(number,), width="stretch")  # fmt: skip


def _table(priced: EstimateSet) -> None:
    compared = side_by_side(priced)
    currency = priced.ledger.currency
    digits = minor_digits(currency)
    ways = [Line(priced, priced.table, n) for n in range(len(priced))]
    rows: list[tuple[Cell, ...]] = [
        ("Specification", *(_specification(way) for way in ways)),
        ("Aperture", *(size(float(way["aperture_mm"]), "mm") for way in ways)),
        ("Open area", *(fixed(way["open_area_pct"], 1, "%") for way in ways)),
        ("Supply", *(_supply(way) for way in ways)),
        ("Mass", *(fixed(way["mass_kg"], 1, "kg") for way in ways)),
        ("Price", *(_price(way, currency, digits) for way in ways)),
    ]
    foot: list[Cell] = ["Difference", "–"]
    foot += [signed(d, digits) or "same" if d == d else NONE for d in compared["difference"][1:]]  # noqa: PLR0124 - not a number
    headings = ("", *(f"Option {n + 1}" for n in range(len(ways))))
    st.html(table(headings, rows, numeric=tuple(range(1, len(ways) + 1)), foot=[foot]))


def _specification(way: Line) -> Cell:
    return lines(cloth(way), soft(way.alloy.split(" · ")[0]))


def _supply(way: Line) -> str:
    sizes = " × ".join(filter(None, (way.asked(n) for n in ("width", "length", "dimensions"))))
    return " ".join(filter(None, (f"{way.asked('quantity')} ×", way.asked("form"), sizes)))


def _price(way: Line, currency: str, digits: int) -> Cell:
    if way.status == "refused":
        return tag(status_word("refused"), "refused")
    return money_text(float(way["price"]), currency, digits)


def _open(number: int) -> None:
    enquiry_form.use_all(_options().kept[number])
    origin.forget()


def _take_out(number: int) -> None:
    held = _options()
    kept = tuple(one for n, one in enumerate(held.kept) if n != number)
    st.session_state[_KEPT] = Options(kept, held.kept[number])


def _put_back() -> None:
    held = _options()
    if held.out is not None:
        st.session_state[_KEPT] = Options((*held.kept, held.out))


def _quote() -> None:
    settling.write({MADE_FROM: OPTIONS})
    navigation.go_to("quotations")


def to_text() -> str:
    """Return the ways kept as text, to be kept over a reload."""
    held = _options()
    return "" if held == Options() else json.dumps({"kept": held.kept, "out": held.out})


def from_text(text: str) -> None:
    """Put back what `to_text` returned, into a session that has nothing yet."""
    kept = json.loads(text)
    st.session_state[_KEPT] = Options(tuple(kept["kept"]), kept["out"])
