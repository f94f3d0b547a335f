"""A service as it is typed: words that mean more than one, numbers that cannot be, and units."""

from __future__ import annotations

import pytest

from meshcore.alloys.comparison.conditions import CHOICES, ENVIRONMENTS, Conditions
from meshcore.alloys.comparison.reading_conditions import AMOUNTS, read_conditions
from meshcore.alloys.comparison.surroundings import unclear_words
from meshcore.alloys.comparison.windows import windows
from meshcore.messages import Message
from meshcore.reading.vocabulary import fold


def refused(**texts: str) -> Message:
    read = read_conditions(texts)
    assert isinstance(read, tuple)
    (message,) = read
    return message


@pytest.mark.parametrize(
    ("typed", "means"),
    [
        ("swimming pool", ("pool hall", "swimming-pool water")),
        ("Chlorine", ("dry chlorine", "wet chlorine", "bleach")),
        ("Outdoor", ("rural", "urban", "industrial", "coastal", "shore", "offshore")),
        ("salt water", ("sea water", "brackish water", "brine")),
        ("hydrogen", ("hot hydrogen", "hydrogen chloride", "sour brine")),
        ("furnace", ("hot air", "flue gas", "carburising gas", "sulphurous gas, reducing")),
        ("HCl", ("hydrochloric acid", "hydrogen chloride")),
        ("food", ("milk", "salted food", "dry food and sugar")),
        ("solvent", ("solvents without chlorine", "chlorinated solvents")),
    ],
)
def test_a_word_that_means_more_than_one_is_asked(typed: str, means: tuple[str, ...]) -> None:
    message = refused(environment=typed)
    assert message.code == "service.surroundings_unclear"
    for name in means:
        assert f'"{name}" ({ENVIRONMENTS[name].about})' in message.text


def test_unclear_words_are_no_names_and_mean_surroundings_that_are() -> None:
    names = {fold(w) for n, e in ENVIRONMENTS.items() for w in (n, *e.also)}
    assert not names & set(unclear_words())
    for word, means in unclear_words().items():
        assert word == fold(word)
        assert len(means) > 1
        assert set(means) <= set(ENVIRONMENTS)


def test_no_word_names_two_surroundings() -> None:
    words = [fold(w) for n, e in ENVIRONMENTS.items() for w in (n, *e.also)]
    assert len(words) == len(set(words))


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("temperature", "9000 °C"), ("temperature", "-500 °C"), ("years_wanted", "0"),
        ("years_wanted", "-3 years"), ("years_wanted", "5000 years"), ("ph", "-1"), ("ph", "15"),
        ("chloride", "-5 mg/l"), ("chlorine", "900 g/l"), ("hours", "0 h"), ("flow", "900 m/s"),
        ("concentration", "120 %"), ("concentration", "0 %"), ("zinc", "90000 g/m²"),
        ("so2", "-1 µg/m³"), ("distance_to_sea", "-5 m"), ("lost_share", "100 %"),
    ],
)  # fmt: skip
def test_a_number_that_cannot_be_is_refused_with_its_window(field: str, typed: str) -> None:
    message = refused(**{field: typed})
    assert message.field == field
    assert str(windows()[AMOUNTS[field].window]) in message.text


@pytest.mark.parametrize(
    ("field", "value"),
    [("temperature_c", 9000.0), ("years_wanted", 0.0), ("ph", -1.0), ("hours", -2.0),
     ("concentration_pct", 120.0), ("chloride_mg_l", -1.0), ("lost_share", 1.0)],
)  # fmt: skip
def test_a_program_is_told_the_window_too(field: str, value: float) -> None:
    with pytest.raises(ValueError, match=f"{field}: .* must lie between"):
        Conditions(**{field: value})  # type: ignore[arg-type]


def test_every_number_of_a_service_has_a_window() -> None:
    assert {amount.window for amount in AMOUNTS.values()} == set(windows())
    assert not set(CHOICES) & set(windows())


@pytest.mark.parametrize(
    ("typed", "pct"),
    [("50 g/l", 5.0), ("500 ppm", 0.05), ("250 mg/l", 0.025), ("20 %", 20.0), ("100 g/l", 10.0)],
)
def test_weak_strength_may_be_by_volume(typed: str, pct: float) -> None:
    read = read_conditions({"concentration": typed})
    assert isinstance(read, Conditions)
    assert read.concentration_pct == pytest.approx(pct)


def test_strong_strength_by_volume_is_asked_by_mass() -> None:
    message = refused(concentration="300 g/l")
    assert message.code == "service.strength_by_volume"


@pytest.mark.parametrize(
    ("typed", "mg_l"), [("2 g/l", 2000.0), ("300 ppm", 300.0), ("3 %", 30_000.0)]
)
def test_chloride_is_read_in_every_unit(typed: str, mg_l: float) -> None:
    read = read_conditions({"environment": "brine", "chloride": typed})
    assert isinstance(read, Conditions)
    assert read.chloride_mg_l == pytest.approx(mg_l)


@pytest.mark.parametrize(
    "typed",
    ["hydrobromic acid", "perchloric acid", "potassium chloride", "sodium chlorate",
     "sodium sulphite", "nitrous acid", "phosphorous acid", "ferrous chloride", "bromine",
     "methane", "zinc sulphate", "magnesium sulphate"],
)  # fmt: skip
def test_no_other_substance_is_offered_for_one_that_is_not_known(typed: str) -> None:
    message = refused(environment=typed)
    assert message.code == "service.choice_unknown"
    assert "Nearest" not in message.text


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("sulphric acid", "sulphuric acid"), ("caostic soda", "caustic soda"),
     ("sea watre", "sea water"), ("coastl", "coastal"), ("drinking watr", "drinking water")],
)  # fmt: skip
def test_a_slip_of_the_pen_is_answered_with_what_was_meant(typed: str, meant: str) -> None:
    assert refused(environment=typed).text.startswith(f'Nearest: "{meant}". ')


def test_a_hyphen_left_out_is_no_slip() -> None:
    read = read_conditions({"temper": "Hard drawn"})
    assert isinstance(read, Conditions)
    assert read.temper == "hard-drawn"


@pytest.mark.parametrize(
    ("typed", "hint"),
    [
        ("50 % caustic at 110 °C", 'Nearest: "caustic soda"'),
        ("tunnel", "A road tunnel is a field of air"),
    ],
)
def test_words_beside_a_name_are_answered_by_what_is_near(typed: str, hint: str) -> None:
    refused = read_conditions({"environment": typed})
    assert not isinstance(refused, Conditions)
    assert refused[0].text.startswith(hint)


def test_acid_in_another_tongue_is_that_acid() -> None:
    read = read_conditions({"environment": "Salzsäure"})
    assert isinstance(read, Conditions)
    assert read.environment == "hydrochloric acid"
