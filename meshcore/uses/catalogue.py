"""All uses by name."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from types import MappingProxyType

from meshcore.messages import Message
from meshcore.reading.uses import USES, use_named
from meshcore.reading.vocabulary import fold, words
from meshcore.uses.sentences.reading import uses_of
from meshcore.uses.statement import Statement
from meshcore.uses.statements import air, apart, bearing, shields, sizing, through_flow

STATEMENTS: Mapping[str, Statement] = MappingProxyType(
    {
        one.use: one
        for one in (
            sizing.STATEMENT, through_flow.FILTRATION, air.VENTILATION,
            air.INSECTS, apart.GUARDING, apart.TEST_SIEVING, bearing.SUPPORT,
            bearing.REINFORCEMENT, bearing.CONVEYING, shields.SHIELDING,
        )
    }
)  # fmt: skip


def read_use(text: str) -> Statement | Message:
    """Find a use by its name, or by a word of the trade for it.

    Examples
    --------
    >>> read_use("Vibrating screen").use
    'screening'
    >>> print(read_use("knitting"))
    use: read "knitting" — no use known here. Write one of: screening, filtration, ventilation, \
insects, guarding, test sieving, support, reinforcement, conveying, shielding.
    """
    word = fold(text)
    if word in STATEMENTS:
        return STATEMENTS[word]
    named = use_named(text)[1] if word in words("use") else ""
    said = (named,) if named else uses_of(text)
    if len(said) == 1:
        return STATEMENTS[said[0]]
    if said:
        mend = f"it may be {' or '.join(said)}. Write one of them, with its figures."
        return Message("use", text, mend, code="use.in_doubt")
    near = difflib.get_close_matches(word, USES, 1)
    mend = f"Write {near[0]}." if near else f"Write one of: {', '.join(USES)}."
    return Message("use", text, f"no use known here. {mend}", code="use.unknown")
