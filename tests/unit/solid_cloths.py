"""Cloths drawn at random for the tests of solids: every weave, from the finest wire to bars."""

from __future__ import annotations

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.enquiry import WEAVES
from meshcore.weave.geometry.path import jam_wire_to_pitch

#: How many, and of which draw.
COUNT, SEED = 30, 14


def random_cloths() -> tuple[IntArray, FloatArray, FloatArray]:
    """Weave, wire and pitch [m] of each: wires of 25 µm to 12 mm, up to a hair below the jam."""
    draw = np.random.default_rng(SEED)
    weave = np.arange(COUNT) % len(WEAVES)
    share = draw.uniform(0.15, 0.995, COUNT)
    jam = np.array([jam_wire_to_pitch(code) for code in weave.tolist()])
    wire = 10.0 ** draw.uniform(np.log10(25e-6), np.log10(12e-3), COUNT)
    return weave, wire, wire / (share * jam)


#: Number, weave, wire [m] and pitch [m] of each.
CLOTHS = tuple(
    (number, int(weave), float(wire), float(pitch))
    for number, (weave, wire, pitch) in enumerate(zip(*random_cloths(), strict=True))
)
