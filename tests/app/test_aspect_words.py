"""Every aspect that alloys are compared by has a name on the screen."""

from __future__ import annotations

from meshcore.alloys.comparison import judging
from meshcore_estimator.alloys.wording import ASPECT_WORDS


def test_every_aspect_is_named() -> None:
    assert set(judging.ASPECTS) <= set(ASPECT_WORDS)
