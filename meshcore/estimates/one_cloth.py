"""The cloth of one line by itself: the weave advised for a purpose, and its drawing."""

from __future__ import annotations

import numpy as np

from meshcore import plugins
from meshcore.messages import Message
from meshcore.weave.cloth import WEAVES, ClothColumns
from meshcore.weave.drawing.sheet import draw_cloth
from meshcore.weave.judging.practicality import weave_rules
from meshcore.weave.judging.purpose import read_purpose, recommend


def advised_weave(cloth: ClothColumns, purpose: str) -> str:
    """Recommend a weave for the sizes of one line and a purpose, and say why.

    Parameters
    ----------
    cloth
        One line.
    purpose
        One of ``meshcore.weave.judging.purpose.PURPOSES``; another text is answered with what
        they are.
    """
    code = read_purpose(purpose)
    if isinstance(code, Message):
        return str(code)
    advised = recommend(cloth, np.array([code]), weave_rules(plugins.installed()))
    weave = int(advised.weave[0])
    return f"{WEAVES[weave]}: {advised.reason(0)}" if weave >= 0 else advised.reason(0)


def cloth_drawing(cloth: ClothColumns) -> str:
    """Plan and section of the cloth of one line to scale, as SVG; empty where none can be woven."""
    if not np.isfinite(cloth.path_ratio[0]):
        return ""
    weave, wire, pitch = cloth.weave[0], cloth.wire_diameter_m[0], cloth.pitch_m[0]
    return draw_cloth(int(weave), float(wire), float(pitch))
