"""Words of the trade by language, and a mill's own beside them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from meshcore.enquiry import WEAVES
from meshcore.reading import vocabulary
from meshcore.reading.vocabulary import VocabularyError, add_words, doubtful, phrases, words


@pytest.fixture(autouse=True)
def _own_words_are_forgotten() -> Iterator[None]:
    yield
    vocabulary._OWN.clear()
    vocabulary.forget()


def test_every_language_names_every_weave() -> None:
    for language in vocabulary.languages():
        assert set(words("weave", language).values()) == set(WEAVES), language


@pytest.mark.parametrize(
    ("topic", "word", "meaning"),
    [
        ("weave", "Köperbindung", "twilled"),
        ("weave", "soudée", "welded"),
        ("weave", "SARGA", "twilled"),
        ("unit_length", "pulgadas", "in"),
        ("form", "demi-rouleau", "half roll"),
        ("alloy", "acier galvanisé", "galvanized steel"),
        ("service", "entfettet", "clean"),
        ("number", "vierundzwanzig", "24"),
    ],
)
def test_words_in_four_languages(topic: str, word: str, meaning: str) -> None:
    assert words(topic)[vocabulary.fold(word)] == meaning


def test_a_word_of_two_meanings_is_in_doubt_and_not_guessed() -> None:
    assert "w" not in words("label")
    assert set(doubtful("label")["w"]) == {"aperture", "width"}


def test_a_mill_adds_words_and_its_own_win(tmp_path: Path) -> None:
    own = tmp_path / "mill.toml"
    own.write_text('language = "en"\n[weave]\n"lock crimp" = ["house crimp", "twill"]\n', "utf-8")
    add_words(own)
    assert words("weave")["house crimp"] == "lock crimp"
    assert words("weave")["twill"] == "lock crimp"
    assert "house crimp" in phrases("weave")


def test_a_mill_names_its_words_in_the_environment(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    own = tmp_path / "mill.toml"
    own.write_text('language = "nl"\n[weave]\ntwilled = ["keper"]\n', "utf-8")
    monkeypatch.setenv(vocabulary.OWN_WORDS, str(own))
    vocabulary.forget()
    assert words("weave")["keper"] == "twilled"
    assert words("weave", "nl") == {"keper": "twilled"}


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[weave]\nplain = ['a']\n", "says no language"),
        ("language = 'en'\n[weave]\nplain = 'a'\n", "is written meaning"),
        ("language = ", "not a TOML file"),
    ],
)
def test_a_word_file_that_cannot_stand_is_named(tmp_path: Path, text: str, says: str) -> None:
    own = tmp_path / "mill.toml"
    own.write_text(text, "utf-8")
    with pytest.raises(VocabularyError, match=says):
        add_words(own)
    assert words("weave")["twill"] == "twilled"


def test_a_word_file_that_is_missing_is_named(tmp_path: Path) -> None:
    with pytest.raises(VocabularyError, match=r"gone\.toml: cannot be opened"):
        add_words(tmp_path / "gone.toml")
