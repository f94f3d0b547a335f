"""Says of a line what its alloy does in the service that is stated for it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from meshcore.alloys.comparison.assumptions import FIELD_WORDS, written
from meshcore.alloys.comparison.columns import condition_columns
from meshcore.alloys.comparison.conditions import Conditions, held
from meshcore.alloys.comparison.facts import alloy_facts
from meshcore.alloys.comparison.judging import judge_alloys
from meshcore.alloys.comparison.service_text import read_service_text
from meshcore.alloys.methods.verdicts import MARGINAL, MEETS, NOT_JUDGED
from meshcore.arrays import FloatArray, ObjectArray
from meshcore.enquiry import MUST_STAND
from meshcore.messages import Message, MessageLog
from meshcore.reading.texts import is_blank
from meshcore.weave.cloth import ClothColumns

#: How a verdict short of meeting is told of an alloy.
_TOLD = {int(MARGINAL): "is marginal", int(NOT_JUDGED): "is not judged"}


@dataclass(frozen=True, slots=True)
class StatedService:
    """What is stated of one line's service.

    Parameters
    ----------
    text
        As it was written.
    service
        As it was read; None where it could not be.
    faults
        Why it could not.
    """

    text: str
    service: Conditions | None
    faults: tuple[Message, ...] = ()

    @property
    def assumed(self) -> tuple[tuple[str, float | str], ...]:
        """Fields that nobody stated, and what each is taken to be."""
        rests_on = held(self.service)[1] if self.service else ()
        return tuple((one.field, one.value) for one in rests_on if one.value is not None)

    @property
    def unknown(self) -> tuple[str, ...]:
        """Fields that nobody knows and something depends on."""
        rests_on = held(self.service)[1] if self.service else ()
        return tuple(dict.fromkeys(one.field for one in rests_on if one.value is None))


def stated_services(texts: Iterable[str]) -> tuple[StatedService | None, ...]:
    """Read what each line must stand; None where nothing is stated.

    Examples
    --------
    >>> stated = stated_services(["sea water", "", "as before"])
    >>> [one and (one.text, one.service is not None) for one in stated]
    [('sea water', True), None, ('as before', False)]
    """
    known: dict[str, StatedService | None] = {}
    lines = [str(text).strip() for text in texts]
    for text in dict.fromkeys(lines):
        read = None if is_blank(text) else read_service_text(text)
        known[text] = (
            None
            if read is None
            else StatedService(text, read)
            if isinstance(read, Conditions)
            else StatedService(text, None, read)
        )
    return tuple(known[text] for text in lines)


def say_stated_services(
    own: Mapping[str, ObjectArray | FloatArray], cloth: ClothColumns, log: MessageLog
) -> None:
    """Put lines to review whose stated service cannot be read, or whose alloy does not meet it.

    Where it meets, a note says what that rests on. No price hangs on it.
    """
    if MUST_STAND not in own:
        return
    stated = stated_services(own[MUST_STAND])
    rows_of: dict[tuple[str, int, float], list[int]] = {}
    for row, one in enumerate(stated):
        if one is not None:
            alloy = int(cloth.alloy[row]) if one.service else -1
            wire_m = float(cloth.wire_diameter_m[row])
            rows_of.setdefault((one.text, alloy, wire_m), []).append(row)
    alike = [(stated[rows[0]], alloy, wire) for (_, alloy, wire), rows in rows_of.items()]
    for said, rows in zip(_said(alike, cloth), rows_of.values(), strict=True):
        for message in said:
            log.add(np.isin(np.arange(len(stated)), rows), message)


def _said(
    lines: Sequence[tuple[StatedService | None, int, float]], cloth: ClothColumns
) -> list[list[Message]]:
    """Say what is to be said of each stated service, alloy and wire [m]."""
    judged_at = [n for n, (one, alloy, _) in enumerate(lines) if one and one.service and alloy >= 0]
    found: list[list[Message]] = [
        [_not_read(fault) for fault in one.faults] if one else [] for one, _, _ in lines
    ]
    if not judged_at:
        return found
    services = [one.service for one, alloy, _ in lines if one and one.service and alloy >= 0]
    judged = judge_alloys(
        alloy_facts(cloth.alloys),
        condition_columns(services),
        np.array([lines[n][2] for n in judged_at]),
    )
    for place, n in enumerate(judged_at):
        one, alloy, _ = lines[n]
        assert one is not None
        verdict, reason = judged.verdict[place, alloy], judged.reason(place, alloy)
        found[n].append(_verdict(one, cloth.alloys[alloy].designation, verdict, reason))
    return found


def _not_read(fault: Message) -> Message:
    text = f"the service is not judged: {fault.text}"
    return Message(MUST_STAND, fault.read, text, "review", code="service.not_judged")


def _verdict(one: StatedService, alloy: str, verdict: np.int8, reason: str) -> Message:
    if verdict == MEETS:
        text = f"{alloy} meets it: {reason}. A first screening, no promise{_rests_on(one)}"
        return Message(MUST_STAND, one.text, text, "note", code="service.alloy_meets")
    told = _TOLD.get(int(verdict), "does not stand it")
    text = (
        f"{alloy} {told}: {reason}. Compare alloys for the service, or have it confirmed by who "
        "knows the plant."
    )
    return Message(MUST_STAND, one.text, text, "review", code="service.alloy_does_not_meet")


def _rests_on(one: StatedService) -> str:
    taken = [f"{FIELD_WORDS[f][0]} {written(f, value)}" for f, value in one.assumed]
    taken += [f"{FIELD_WORDS[field][0]} not known" for field in one.unknown]
    return f"; it rests on {', '.join(taken)}." if taken else "."
