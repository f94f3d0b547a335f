"""How the page of alloys words aspects, amounts and margins."""

from __future__ import annotations

import numpy as np
import pandas as pd

from meshcore.costing.money import minor_digits, money_text
from meshcore_estimator.shared.numbers import NONE

#: Question → how the screen words it.
ASPECT_WORDS = {
    "outdoor_air": "Outdoor air",
    "chloride_water": "Water",
    "medium": "Medium",
    "heat": "Heat",
    "scale": "Wire outlasts its scale",
    "ruled_out": "Rules that rule out",
    "within_rows": "Within what is tabled",
    "not_known": "What is not known here",
    "contact": "Contact with the other metal",
    "wire": "Wire can be drawn",
    "non_magnetic": "Non-magnetic",
    "food_contact": "Food contact",
    "drinking_water": "Drinking water",
    "weld": "Welding",
    "form": "Forming",
    "anneal": "Annealing",
    "coat": "Coating",
}
#: Decimal places of margins.
_PLACES = 1


def amount(value: float, table: pd.DataFrame, unit: bool = True) -> str:
    """Write an amount in the currency of a comparison."""
    currency = str(table["currency"].iloc[0])
    if np.isnan(value):
        return NONE
    return money_text(value, currency if unit else "", minor_digits(currency)).strip()


def margin(value: float) -> str:
    """Write a margin in steps, with its sign."""
    if np.isnan(value):
        return NONE
    if np.isinf(value):
        return "no limit"
    return f"{value:+.{_PLACES}f}".replace("-", "−").replace("+0.0", "0").replace("−0.0", "0")
