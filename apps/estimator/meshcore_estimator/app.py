"""The app's script: streamlit runs it anew for each change on the screen."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import streamlit as st
from streamlit.navigation.page import StreamlitPage

from meshcore.costing.book.price_book import PriceBookError
from meshcore.estimates.wording import CAUTION
from meshcore.supply.policy import SupplyPolicyError
from meshcore_estimator.about import page as page_about
from meshcore_estimator.alloys import page as page_alloys
from meshcore_estimator.alloys import service_form
from meshcore_estimator.cutting import drawings as cutting_drawings
from meshcore_estimator.cutting import order as cutting_order
from meshcore_estimator.cutting import page as page_cutting
from meshcore_estimator.enquiry import bill_panel, options_panel
from meshcore_estimator.enquiry import page as page_enquiry
from meshcore_estimator.letter import page as page_letter
from meshcore_estimator.letter import source as letter_source
from meshcore_estimator.lists import origin as enquiry_origin
from meshcore_estimator.lists import page as page_list
from meshcore_estimator.lists import source as list_source
from meshcore_estimator.price_book import page as page_price_book
from meshcore_estimator.price_book import versions_panel
from meshcore_estimator.quotations import detail as quotation_detail
from meshcore_estimator.quotations import drafting as quotation_drafting
from meshcore_estimator.quotations import finding as quotation_finding
from meshcore_estimator.quotations import page as page_quotations
from meshcore_estimator.quotations import repeat_panel as quotation_repeat
from meshcore_estimator.reasons_page import page as page_reasons
from meshcore_estimator.reasons_page import uncertainty_form
from meshcore_estimator.shared import (
    aloud,
    current,
    keeping,
    known_first,
    navigation,
    roles,
    settings,
    settling,
    signing_in,
    unbroken,
    watching,
)
from meshcore_estimator.shared.keeping import Part, choices
from meshcore_estimator.shared.parts import aside
from meshcore_estimator.shared.roles import Deed
from meshcore_estimator.uses import form as use_form
from meshcore_estimator.uses import page as page_uses
from meshcore_estimator.weaves import page as page_weaves

HERE = Path(__file__).parent
#: What a reload, a restarted server or a lost connection must not take away.
PARTS = (
    Part("letter", letter_source.to_text, letter_source.restore),
    Part("enquiry", current.to_text, current.from_text),
    Part("use", use_form.to_text, use_form.from_text),
    Part("service", service_form.to_text, service_form.from_text),
    Part("list", list_source.file_text, list_source.restore_file),
    Part("list changes", list_source.changes_text, list_source.restore_changes),
    Part("enquiry origin", enquiry_origin.to_text, enquiry_origin.from_text),
    Part("enquiry options", options_panel.to_text, options_panel.from_text),
    Part("book in use", settings.book_text, settings.restore_book, Deed.COSTS),
    Part("customer", settings.customer_text, settings.restore_customer, Deed.COSTS),
    Part("book", page_price_book.to_text, page_price_book.from_text, Deed.COSTS),
    Part("cutting", cutting_order.to_text, cutting_order.from_text),
    Part("drawings", cutting_drawings.to_text, cutting_drawings.from_text),
    Part("uncertain", uncertainty_form.to_text, uncertainty_form.from_text, Deed.COSTS),
    choices("choices", (
        "list_path", "list_sender", "nearest_hold", "purpose", *bill_panel.KEPT, "cutting_form",
        "cutting_services", "cutting_bias", "cutting_along", "cutting_seconds", "cutting_seed",
        "uncertain_draws", "uncertain_seed", "save_title", "save_note", *versions_panel.KEPT,
        *quotation_detail.KEPT, *quotation_drafting.KEPT,
        *quotation_finding.KEPT, *quotation_repeat.KEPT,
    )),
)  # fmt: skip


def main() -> None:
    """Draw the page that the user is on."""
    st.set_page_config(
        page_title="meshcore",
        page_icon=str(HERE / "icon.svg"),
        layout="wide",
        initial_sidebar_state="collapsed",
    )
    role = roles.role()
    if not signing_in.is_passed(is_admitted=role is not None) or role is None:
        return
    roles.begin_anew_where_changed(role)
    parts = [part for part in PARTS if part.of is None or part.of in role.may]
    unbroken.install()
    keeping.restore(parts)
    settling.begin(partial(keeping.keep, parts))
    st.html(HERE / "style.css")
    aloud.listen()
    known_first.listen()
    keeping.say()
    st.logo(str(HERE / "logo.svg"), size="large")
    # In the order of the day, and what is asked seldom behind them.
    chosen = navigation.offer(
        {
            "letter": st.Page(
                page_letter.page, title="Letter", icon=":material/mail:", default=True
            ),
            "enquiry": st.Page(
                page_enquiry.page,
                title="Enquiry",
                icon=":material/edit_note:",
                url_path="enquiry",
            ),
            "uses": st.Page(
                page_uses.page,
                title="Use",
                icon=":material/target:",
                url_path="use",
            ),
            "weaves": st.Page(
                page_weaves.page,
                title="Weaves",
                icon=":material/grid_4x4:",
                url_path="weaves",
            ),
            "list": st.Page(
                page_list.page, title="List", icon=":material/table_rows:", url_path="list"
            ),
            "cutting": st.Page(
                page_cutting.page,
                title="Cutting",
                icon=":material/content_cut:",
                url_path="cutting",
            ),
            "alloys": st.Page(
                page_alloys.page, title="Alloys", icon=":material/shield:", url_path="alloys"
            ),
            "quotations": st.Page(
                page_quotations.page,
                title="Quotations",
                icon=":material/request_quote:",
                url_path="quotations",
            ),
            **(_of_the_mill() if Deed.COSTS in role.may else {}),
            "about": st.Page(
                page_about.page, title="About", icon=":material/info:", url_path="about"
            ),
        }
    )
    st.html(aloud.heading(chosen.title))
    try:
        settings.price_book()
        settings.supply_policy()
    except (PriceBookError, SupplyPolicyError) as error:
        st.html(aside(f"Nothing can be estimated: {error}", "refused"))
        return
    with watching.watched(chosen.title):
        chosen.run()
    if chosen.url_path != "about":
        st.caption(CAUTION)
    signing_in.sign_out_button(role.name)
    settling.done()


def _of_the_mill() -> dict[str, StreamlitPage]:
    """Return the pages that tell costs and rates: to others they are not there at all."""
    return {
        "price_book": st.Page(
            page_price_book.page, title="Price book", icon=":material/sell:", url_path="price-book"
        ),
        "reasons": st.Page(
            page_reasons.page,
            title="Range and reasons",
            icon=":material/query_stats:",
            url_path="reasons",
        ),
    }


main()
