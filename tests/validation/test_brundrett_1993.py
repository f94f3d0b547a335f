"""E. Brundrett, Prediction of pressure drop for incompressible flow through screens, 1993.

From memory, worked by hand; outside its range of open area it says nothing.
"""

from __future__ import annotations

import numpy as np
import pytest
from screens import screen

from meshcore.uses.relations.flow import FLUIDS, loss_coefficients

AIR = FLUIDS["air"]


def test_brundrett_by_hand() -> None:
    # Re = 5·0.4e-3/1.5158e-5 = 131.9: 0.0540 + 0.4137 + 0.1166 = 0.5843; (1 − α²)/α² = 2.8416.
    found = float(loss_coefficients(screen(1.0, 0.4), 5.0, AIR)["Brundrett 1993"][0])
    assert found == pytest.approx(1.660, abs=0.003)


def test_it_says_nothing_of_cloth_that_is_more_open() -> None:
    assert np.isnan(loss_coefficients(screen(50.0, 1.0), 1.0, AIR)["Brundrett 1993"][0])
