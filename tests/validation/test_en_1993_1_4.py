"""EN 1993-1-4:2006+A1:2015, Annex A: F1, F2, F3, classes and grades (from memory).

The edition is superseded; its procedure is the widely published one. The values are small whole
numbers, so each must agree exactly. Every cell and every boundary of the tables stands here,
written out once more apart from the code.
"""

from __future__ import annotations

import numpy as np
import pytest

from meshcore.alloys.comparison.columns import condition_columns
from meshcore.alloys.comparison.conditions import Conditions
from meshcore.alloys.methods.outdoor_stainless import (
    CLASSES,
    WASHINGS,
    chloride_factor,
    class_needed,
    class_of_grades,
    judge,
    resistance_factor,
    sulphur_factor,
    washing_factor,
)
from meshcore.alloys.methods.verdicts import FAILS, MEETS, NOT_JUDGED

KM = 1000.0
FAR = np.inf


def f1(
    sea: float = FAR,
    road: float = FAR,
    indoor: bool = False,
    tunnel: bool = False,
    sheltered: bool = False,
) -> float:
    found = chloride_factor(
        np.array([sea]), np.array([road]), np.array([indoor]), np.array([tunnel]),
        np.array([sheltered]),
    )  # fmt: skip
    return float(found[0])


@pytest.mark.parametrize(
    ("sea_m", "expected"),
    [
        (FAR, 0), (10 * KM + 1, 0),
        (10 * KM, -3), (5 * KM, -3), (1 * KM + 1, -3),
        (1 * KM, -7), (500, -7), (251, -7),
        (250, -15), (100, -15), (0, -15),
    ],
)  # fmt: skip
def test_f1_by_distance_to_the_sea(sea_m: float, expected: float) -> None:
    assert f1(sea=sea_m) == expected


@pytest.mark.parametrize(("sea_m", "expected"), [(251, -7), (250, -10), (0, -10)])
def test_f1_on_the_german_north_sea_and_baltic_coasts(sea_m: float, expected: float) -> None:
    assert f1(sea=sea_m, sheltered=True) == expected


@pytest.mark.parametrize(
    ("road_m", "expected"), [(FAR, 0), (101, 0), (100, -3), (11, -3), (10, -7), (0, -7)]
)
def test_f1_by_distance_to_roads_with_de_icing_salt(road_m: float, expected: float) -> None:
    assert f1(road=road_m) == expected


def test_f1_in_road_tunnels_and_indoors() -> None:
    assert f1(tunnel=True) == -10
    assert f1(indoor=True) == 1


def test_f1_takes_the_graver_of_sea_and_road() -> None:
    assert f1(sea=5 * KM, road=5) == -7
    assert f1(sea=100, tunnel=True) == -15


@pytest.mark.parametrize(
    ("so2", "expected"),
    [(0, 0), (9.99, 0), (10, -5), (50, -5), (90, -5), (90.01, -10), (250, -10)],
)
def test_f2_by_sulphur_dioxide(so2: float, expected: float) -> None:
    assert sulphur_factor(np.array([so2]))[0] == expected


def test_f2_ends_where_the_table_ends() -> None:
    assert np.isnan(sulphur_factor(np.array([250.01, np.nan]))).all()


@pytest.mark.parametrize(("washing", "expected"), [("rain", 0), ("cleaned", -2), ("neither", -7)])
def test_f3_by_washing(washing: str, expected: float) -> None:
    code = np.array([WASHINGS.index(washing)])
    assert washing_factor(code, np.array([-3.0]))[0] == expected
    assert washing_factor(code, np.array([0.0]))[0] == 0
    assert washing_factor(code, np.array([1.0]))[0] == 0


@pytest.mark.parametrize(
    ("crf", "expected"),
    [
        (1, "I"), (0, "II"), (-6, "II"), (-6.999, "II"), (-7, "III"), (-14, "III"),
        (-14.999, "III"), (-15, "IV"), (-20, "IV"), (-20.001, "V"), (-32, "V"), (np.nan, "none"),
    ],
)  # fmt: skip
def test_every_class_boundary(crf: float, expected: str) -> None:
    assert CLASSES[class_needed(np.array([crf]))[0]] == expected


@pytest.mark.parametrize(
    ("sea_m", "so2", "washing", "total"),
    [
        (20 * KM, 5, "neither", 0), (5 * KM, 5, "rain", -3), (5 * KM, 20, "cleaned", -10),
        (500, 5, "neither", -14), (500, 20, "neither", -19), (100, 100, "neither", -32),
    ],
)  # fmt: skip
def test_factor_is_the_sum(sea_m: float, so2: float, washing: str, total: float) -> None:
    no = np.array([False])
    found = resistance_factor(
        np.array([sea_m]), np.array([FAR]), np.array([so2], dtype=float),
        np.array([WASHINGS.index(washing)]), no, no, no,
    )  # fmt: skip
    assert found[0] == total


GRADES = {
    "I": "1.4003 1.4016 1.4512",
    "II": "1.4301 1.4306 1.4307 1.4311 1.4318 1.4541 1.4567 1.4482",
    "III": "1.4401 1.4404 1.4429 1.4432 1.4435 1.4571 1.4578 1.4062 1.4162 1.4362 1.4662",
    "IV": "1.4439 1.4462 1.4539",
    "V": "1.4410 1.4501 1.4507 1.4529 1.4547 1.4565",
}


@pytest.mark.parametrize(
    ("expected", "grade"), [(c, g) for c, grades in GRADES.items() for g in grades.split()]
)
def test_every_grade(expected: str, grade: str) -> None:
    assert CLASSES[class_of_grades([grade])[0]] == expected


def test_grades_are_judged_by_class_and_unlisted_ones_are_not_judged() -> None:
    grades = ["1.4301", "1.4404", "1.4462", "1.4845", ""]
    names = np.array(grades, dtype=object)
    found = judge(np.array([True]), np.array([-7.0]), grades, names)
    assert found.verdict[0].tolist() == [FAILS, MEETS, MEETS, NOT_JUDGED, NOT_JUDGED]
    assert found.margin[0][:3].tolist() == [-1.0, 0.0, 1.0]
    assert "class II falls short of class III" in found.say(0, 0)
    assert "does not list 1.4845" in found.say(0, 3)


def test_unknown_distance_is_not_taken_for_far() -> None:
    columns = condition_columns([Conditions(so2_ug_m3=5.0)])
    assert np.isnan(columns.distance_to_sea_m[0])
    assert np.isnan(f1(sea=np.nan))
