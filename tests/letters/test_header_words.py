"""Reference, day and place of a letter in the words that buyers use for them.

What the letters mean is common practice of the trade, no source.
"""

from __future__ import annotations

import pytest

import meshcore as mc

LINE = "2 rolls 10 mesh 0.5 mm wire 304, 1 m x 30 m."


def _header(text: str) -> dict[str, str | None]:
    header = mc.read_letter(f"{LINE} {text}\n").header
    return {name: found.text if found is not None else None for name, found in header.items()}


@pytest.mark.parametrize(
    ("text", "reference"),
    [
        ("Our order reference will be ST/18.", "ST/18"),
        ("PO ref will be HB-0091.", "HB-0091"),
        ("Please quote our enquiry number 4471-B in your reply.", "4471-B"),
        ("Buyer's ref: MX-2210", "MX-2210"),
        ("Same as PO 88120 of last year.", None),
        ("Ordered last time as PO 88120 from last year.", None),
        ("Bestellung 55120 vom letzten Jahr war gut.", None),
    ],
)
def test_a_reference_is_read_and_last_year_s_is_none(text: str, reference: str | None) -> None:
    assert _header(text)["reference"] == reference


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("Delivered all together, not later than calendar week 40.", "calendar week 40"),
        ("\nNeed date: 02/28/2026", "02/28/2026"),
        ("Deadline for delivery 20.02.", "20.02."),
        ("Wunschtermin 15. KW.", "15. KW"),
        ("\nPlazo: primera semana de marzo.", "primera semana de marzo"),
        ("\nLivraison : première semaine de mars.", "première semaine de mars"),
        ("Firm price needed by the 5th.", None),
        ("Send your quote to pam@quayside.example by Thurs.", None),
        ("Reply by 3 May.", None),
        ("The drive has 30 kW.", None),
    ],
)
def test_a_day_is_that_of_the_goods(text: str, day: str | None) -> None:
    assert _header(text)["wanted_by"] == day


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("Please deliver to Brackhollow Quarry, needed by 21 June.", "Brackhollow Quarry"),
        ("Delivered to plant A all together, not later than week 40.", "plant A"),
        ("Deliver by 30 June to Wexmoor Analytical, Bay 7.", "Wexmoor Analytical, Bay 7"),
        ("Goods to go to Unit 4, Mill Lane, Ashby.", "Unit 4, Mill Lane, Ashby"),
        ("Goods should be sent to our Lower Quay works.", "our Lower Quay works"),
        ("Deliver to site: 12 Harbour Rise, Penmoor.", "12 Harbour Rise, Penmoor"),
        ("\nDEL: FREE TO SKARNHOLM PORT", "SKARNHOLM PORT"),
        ("Livraison souhaitée le 12 mai à l'usine de Montcerf.", "l'usine de Montcerf"),
        ("La livraison est toujours à l'atelier, rue des Forges.", "l'atelier, rue des Forges"),
        ("La entrega es siempre en el taller de Almenara.", "el taller de Almenara"),
    ],
)
def test_a_place_ends_where_something_else_is_said(text: str, place: str) -> None:
    assert _header(text)["deliver_to"] == place
