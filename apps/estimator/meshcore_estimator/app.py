"""The app's script: streamlit runs it anew for each change on the screen."""

from __future__ import annotations

from pathlib import Path

import streamlit as st

from meshcore.costing.book.price_book import PriceBookError
from meshcore.estimates.wording import CAUTION
from meshcore.supply.policy import SupplyPolicyError
from meshcore_estimator.about import page as page_about
from meshcore_estimator.alloys import page as page_alloys
from meshcore_estimator.cutting import page as page_cutting
from meshcore_estimator.enquiry import page as page_enquiry
from meshcore_estimator.lists import page as page_list
from meshcore_estimator.price_book import page as page_price_book
from meshcore_estimator.reasons_page import page as page_reasons
from meshcore_estimator.shared import navigation, settings
from meshcore_estimator.shared.parts import aside

HERE = Path(__file__).parent


def main() -> None:
    """Draw the page that the user is on."""
    st.set_page_config(
        page_title="meshcore",
        page_icon=str(HERE / "icon.svg"),
        layout="wide",
        initial_sidebar_state="collapsed",
    )
    st.html(HERE / "style.css")
    st.logo(str(HERE / "logo.svg"), size="large")
    chosen = navigation.offer(
        {
            "enquiry": st.Page(
                page_enquiry.page, title="Enquiry", icon=":material/edit_note:", default=True
            ),
            "list": st.Page(
                page_list.page, title="Enquiry list", icon=":material/table_rows:", url_path="list"
            ),
            "cutting": st.Page(
                page_cutting.page,
                title="Cutting",
                icon=":material/content_cut:",
                url_path="cutting",
            ),
            "reasons": st.Page(
                page_reasons.page,
                title="Range and reasons",
                icon=":material/query_stats:",
                url_path="reasons",
            ),
            "price_book": st.Page(
                page_price_book.page,
                title="Price book",
                icon=":material/sell:",
                url_path="price-book",
            ),
            "alloys": st.Page(
                page_alloys.page, title="Alloys", icon=":material/shield:", url_path="alloys"
            ),
            "about": st.Page(
                page_about.page, title="About", icon=":material/info:", url_path="about"
            ),
        }
    )
    try:
        settings.price_book()
        settings.supply_policy()
    except (PriceBookError, SupplyPolicyError) as error:
        st.html(aside(f"Nothing can be estimated: {error}", "refused"))
        return
    chosen.run()
    if chosen.url_path != "about":
        st.caption(CAUTION)


main()
