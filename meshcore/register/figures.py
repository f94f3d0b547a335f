"""How quotations do: how many of each state, how many are won, and what is open."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from meshcore.register.connecting import Register


@dataclass(frozen=True, slots=True)
class Figures:
    """How quotations do.

    Parameters
    ----------
    counts
        Number of quotations by state.
    hit_rate
        Won of those decided, won, lost or lapsed [-]; None where none is.
    open_minor
        Currency → (value of those sent and undecided in minor units, digits); of a choice, the
        least that is taken.
    """

    counts: Mapping[str, int]
    hit_rate: float | None
    open_minor: Mapping[str, tuple[int, int]]


def figures(register: Register) -> Figures:
    """Count the quotations on file."""
    from sqlalchemy import func, select  # noqa: PLC0415 - heavy: loaded when one is opened

    from meshcore.register.schema import heads  # noqa: PLC0415

    by = (heads.c.state, heads.c.currency, heads.c.digits)
    with register.reading() as connection:
        rows = connection.execute(
            select(*by, func.count(), func.sum(heads.c.total_minor + heads.c.choice_minor))
            .where(heads.c.kind == "quotation")
            .group_by(*by)
        ).all()
    counts: dict[str, int] = {}
    value: dict[str, tuple[int, int]] = {}
    for state, currency, digits, count, total in rows:
        counts[state] = counts.get(state, 0) + count
        if state == "sent":
            value[currency] = (int(total), digits)
    decided = sum(counts.get(name, 0) for name in ("won", "lost", "lapsed"))
    return Figures(counts, counts.get("won", 0) / decided if decided else None, value)
