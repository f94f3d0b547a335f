"""Names of alloys, reduced to what is compared."""

from __future__ import annotations

import re

_IGNORED = re.compile(r"[\W_]+")


def normalise(name: str) -> str:
    """Reduce a name to what is compared: letters and digits, one case.

    Examples
    --------
    >>> normalise("SS-316 L"), normalise("1.4404")
    ('ss316l', '14404')
    """
    return _IGNORED.sub("", name).casefold()
