"""A letter priced: whole orders for each choice of alloy, and a reply that asks what is open."""

from __future__ import annotations

from email import message_from_bytes, policy

import pytest

import meshcore as mc
from meshcore.estimates.letters import mended, price_letter, reply_mail
from meshcore.reading.letters.letter import read_text_of_letter

CHOICE = """From: Works Office <works@quarry.example>

Please quote, delivered to Top Quarry by 3 March, our ref. TQ 12:
- 3 rolls 10 mesh, .025 in wire, 304 or 316L, 48 in x 100 ft
- 2 rolls 8 mesh, .028 in wire, 304, 48 in x 100 ft
"""
GAUGE = "Please quote 2 rolls of 4 mesh, 16 gauge wire, 304, 48 in wide, full rolls."


def test_a_choice_of_alloys_is_priced_as_whole_orders() -> None:
    priced = price_letter(read_text_of_letter(CHOICE))
    assert priced.choices == {0: ("304", "316L")}
    for way, alloy in zip(priced.ways, ("304", "316L"), strict=True):
        lines = priced.letter.lines.copy()
        lines.loc[0, "alloy"] = alloy
        alone = mc.estimate_list(lines)
        assert [one.price for one in way] == [one.price for one in alone]
        assert {one.status for one in way} == {"ok"}


def test_a_letter_without_a_choice_is_priced_once() -> None:
    letter = read_text_of_letter(CHOICE.replace(" or 316L", ""))
    priced = price_letter(letter)
    assert [one.price for one in priced.ways[0]] == [
        one.price for one in mc.estimate_list(letter.lines)
    ]
    assert len(priced.ways) == 1


def test_what_the_letter_leaves_open_is_asked_in_its_own_words() -> None:
    reply = price_letter(read_text_of_letter(CHOICE)).reply()
    assert 'Line 1: You wrote "304 or 316L": which of them?' in reply
    assert "Which alloy" not in reply
    assert reply.startswith("Thank you for your enquiry TQ 12.")


def test_what_the_letter_says_is_not_asked_again() -> None:
    assert "Where to" not in price_letter(read_text_of_letter(CHOICE)).reply()
    no_date = CHOICE.replace(" by 3 March", "")
    reply = price_letter(read_text_of_letter(no_date)).reply()
    assert "By when?" in reply
    assert "Where to" not in reply


def test_an_open_gauge_is_asked_once() -> None:
    reply = price_letter(read_text_of_letter(GAUGE)).reply()
    assert reply.count("gauge") == 2, reply  # what was written, and what it may mean
    assert "Which wire diameter" not in reply


def test_goods_of_another_kind_are_named_as_left_out() -> None:
    letter = read_text_of_letter(f"{GAUGE}\nAlso 4 sheets of perforated plate, 2 mm, 1 x 2 m.")
    assert len(letter.not_square)
    assert "perforated plate" in price_letter(letter).reply()


def test_a_mended_cell_settles_what_was_asked_of_it() -> None:
    letter = read_text_of_letter(GAUGE)
    lines = letter.lines.copy()
    lines.loc[0, "wire_diameter"] = "16 SWG"
    priced = price_letter(mended(letter, lines))
    assert priced.estimates[0].status == "ok"
    assert "gauge" not in priced.reply()
    kept = letter.lines.copy()
    kept.loc[0, "quantity"] = "5"
    assert "gauge" in price_letter(mended(letter, kept)).reply()


def test_a_choice_that_was_made_is_no_choice() -> None:
    letter = read_text_of_letter(CHOICE)
    lines = letter.lines.copy()
    lines.loc[0, "alloy"] = "316L"
    assert price_letter(mended(letter, lines)).choices == {}


def test_a_line_taken_out_is_asked_of_no_more() -> None:
    letter = read_text_of_letter(CHOICE)
    priced = price_letter(mended(letter, letter.lines.iloc[1:]))
    assert priced.choices == {}
    assert [one.row["line"] for one in priced.estimates] == [2]
    assert "You wrote" not in priced.reply()


def test_the_reply_is_a_draft_to_the_sender() -> None:
    priced = price_letter(read_text_of_letter(CHOICE))
    mail = message_from_bytes(reply_mail(priced.letter, priced.reply()), policy=policy.default)
    assert mail["To"] == "works@quarry.example"
    assert mail["Subject"] == "Your enquiry TQ 12"
    body = mail.get_body()
    assert body is not None
    assert body.get_content().replace("\r\n", "\n") == priced.reply()


@pytest.mark.parametrize(
    "sender", ["From: A\nBcc: other@x.example <a@b.example>", "From: <a@b.example\x0b>"]
)
def test_no_header_is_written_by_a_letter(sender: str) -> None:
    priced = price_letter(read_text_of_letter(f"{sender}\n\n{GAUGE}"))
    mail = message_from_bytes(reply_mail(priced.letter, priced.reply()), policy=policy.default)
    assert mail["Bcc"] is None
    assert set(mail.keys()) <= {
        "To", "Subject", "X-Unsent", "Content-Type", "Content-Transfer-Encoding", "MIME-Version",
    }  # fmt: skip
