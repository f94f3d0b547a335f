"""Whether a few words of a longer text are the name of an alloy."""

from __future__ import annotations

import re

from meshcore.alloys.records.naming import normalise
from meshcore.alloys.records.registry import Registry
from meshcore.reading.vocabulary import fold, words

#: A bare number is an alloy where it is one of the four-figure or three-figure steel numbers.
_BARE_NUMBER = re.compile(r"[23]\d\d|4[0-4]\d|2[0-9]{3}|[123]\.\d{4}")


def names_alloy(registry: Registry, text: str) -> bool:
    """Whether a text is the name of one alloy, or a name that several share.

    Examples
    --------
    >>> from meshcore.alloys.records.registry import installed_registry
    >>> [names_alloy(installed_registry(), t) for t in ("316L", "galvanised", "1200", "brass")]
    [True, True, False, True]
    """
    key = normalise(text)
    worded = any(c.isalpha() for c in text)
    if not key or not (worded or _BARE_NUMBER.fullmatch(text.strip())):
        return False
    word = fold(text)
    return (
        key in registry.names
        or key in registry.shared_names
        or word in words("alloy")
        or word in words("alloy_shared")
    )
