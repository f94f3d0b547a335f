"""What is asked besides a use is priced, judged and carried: services, the service, whose rates."""

from __future__ import annotations

import re
import shlex

import pytest

import meshcore as mc
from meshcore.cli import main
from meshcore.uses.plain import plain

SCREEN = ("screening", "cut_size=6 mm")
CLOTH = ("--aperture", "7.1 mm", "--wire", "1.6 mm", "--alloy", "304")
SEA = "sea water; temperature: 25 °C"


def printed(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert main(["specify", *words]) == 0
    return capsys.readouterr().out


def first_command(text: str) -> list[str]:
    line = next(one for one in text.splitlines() if "-m meshcore estimate" in one)
    return shlex.split(line.strip())


def test_an_alloy_that_does_not_stand_the_service_is_doubted_as_on_an_estimate(
    capsys: pytest.CaptureFixture[str],
) -> None:
    told = printed(capsys, *SCREEN, "--alloy", "304", "--must-stand", SEA, "--demo", "--count", "1")
    assert "304 does not stand it" in told
    command = first_command(told)
    assert command[command.index("--must-stand") + 1] == SEA
    main(command[3:])
    said = capsys.readouterr().out
    doubt = next(one for one in said.splitlines() if "304 does not stand it" in one)
    assert doubt.removeprefix("review: ") in told


def test_of_an_alloy_that_nobody_named_it_is_said_whether_it_stands_the_service() -> None:
    found = mc.specify("screening", cut_size="6 mm", must_stand=SEA, count=1,
                       price_book=mc.demo_price_book())  # fmt: skip
    (said,) = [one for one in found.told if one.field == "must_stand"]
    assert said.severity == "review"
    assert said.text.startswith(f"{found.alloy} does not stand it")
    dry = mc.specify("screening", cut_size="6 mm", count=1, price_book=mc.demo_price_book())
    assert dry.told == ()
    assert "must_stand" not in dry.ordered


def test_a_service_that_cannot_be_read_is_said() -> None:
    found = mc.specify("screening", cut_size="6 mm", must_stand="as before", count=1)
    assert [one.code for one in found.told if one.field == "must_stand"] == ["service.not_judged"]


def test_a_given_cloth_is_held_against_the_service(capsys: pytest.CaptureFixture[str]) -> None:
    assert "304 does not stand it" in printed(capsys, *SCREEN, *CLOTH, "--must-stand", SEA)


def test_services_are_priced_and_carried(capsys: pytest.CaptureFixture[str]) -> None:
    book = mc.demo_price_book()
    plain, certified = (
        mc.specify("screening", cut_size="6 mm", count=1, price_book=book, services=services)
        for services in ("", "certificate")
    )
    assert certified.offers[0].name == plain.offers[0].name
    assert certified.offers[0].price > plain.offers[0].price
    told = printed(capsys, *SCREEN, "--services", "certificate", "--demo", "--count", "1")
    command = first_command(told)
    assert command[command.index("--services") + 1] == "certificate"
    main(command[3:])
    price = f"{certified.offers[0].price:,.2f}"
    assert price in told
    assert price in capsys.readouterr().out


def test_an_unknown_service_is_said_as_on_an_estimate(capsys: pytest.CaptureFixture[str]) -> None:
    told = printed(capsys, *SCREEN, "--services", "gold plating", "--demo", "--count", "1")
    assert 'services: read "gold plating" — no such service here' in told


def test_the_path_rule_is_priced_and_carried(capsys: pytest.CaptureFixture[str]) -> None:
    arc, flat = (
        printed(capsys, *SCREEN, "--path", path, "--demo", "--count", "1")
        for path in ("arc", "flat")
    )
    assert [one for one in arc.splitlines() if one.startswith("1: ")] != [
        one for one in flat.splitlines() if one.startswith("1: ")
    ]
    assert first_command(flat)[-2:] == ["--path", "flat"]


def test_an_order_that_cannot_be_priced_is_refused_and_mended(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["specify", *SCREEN, "--piece", "disc: x", "--demo"]) != 0
    assert "disc: diameter 200 mm" in capsys.readouterr().err


def test_whose_rates_are_taken_where_no_book_is_named(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("MESHCORE_PRICE_BOOK")
    assert "no price book was named" in printed(capsys, *SCREEN, "--count", "1")
    assert "no price book was named" not in printed(capsys, *SCREEN, "--count", "1", "--demo")


def test_options_that_a_given_cloth_does_not_use_are_said(
    capsys: pytest.CaptureFixture[str],
) -> None:
    told = printed(capsys, *SCREEN, *CLOTH, "--services", "certificate", "--count", "2",
                   "--quantity", "3")  # fmt: skip
    assert "not used of a cloth that is given: --count, --services, --quantity" in told
    assert "Nothing is priced without --roll, --strip or --piece" in told


def test_a_given_cloth_is_priced_where_an_order_is_given(
    capsys: pytest.CaptureFixture[str],
) -> None:
    order = ("--roll", "1 m x 10 m", "--services", "certificate", "--demo")
    told = printed(capsys, *SCREEN, *CLOTH, *order)
    main(["estimate", *CLOTH, *order])
    price = next(line for line in capsys.readouterr().out.splitlines() if line.startswith("Price "))
    assert f"Price of the order: {price.split()[1]} EUR" in told


def test_a_weave_that_was_asked_for_is_offered_as_asked() -> None:
    found = mc.specify("screening", cut_size="6 mm", weave="twilled", count=1)
    assert found.offers[0].reasons == ("twilled: as asked",)


def test_great_numbers_stand_in_plain_digits(capsys: pytest.CaptureFixture[str]) -> None:
    filtering = printed(capsys, "filtration", "particle=4 mm", "speed=1 m/s", "most_drop=2 kPa",
                        "--demo")  # fmt: skip
    shielding = printed(capsys, "shielding", "frequency=100 GHz", "attenuation=20 dB", "--demo")
    assert not re.search(r"\d[eE][+-]?\d", filtering + shielding)
    assert "100000 MHz" in shielding
    assert "2000 Pa" in filtering


@pytest.mark.parametrize("rounded_up", [999.4, 999.6, 1000.0, 99999.5, 1e7])
def test_a_number_that_rounds_up_is_in_plain_digits(rounded_up: float) -> None:
    assert float(plain(rounded_up)) == round(rounded_up)
    assert plain(rounded_up).isdecimal()


def test_a_given_guard_says_how_near_it_may_be_without_a_distance(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """The same distance as where one is asked for: it hangs on the cloth alone."""
    cloth = ("--aperture", "10 mm", "--wire", "2 mm", "--weave", "double crimp")
    told = printed(capsys, "guarding", *cloth)
    assert "least distance: " in told
    assert "keeps all of it" not in told
    asked = printed(capsys, "guarding", "distance=200 mm", *cloth)
    line = next(one for one in asked.splitlines() if one.startswith("least distance"))
    assert line in told


def test_the_bare_name_of_insects_names_none() -> None:
    found = mc.specify("insects")
    assert [one.code for one in found.messages] == ["use.figure_missing"]
