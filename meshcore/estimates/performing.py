"""What the cloth of a line does for a use: the other way round of specifying."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from meshcore.enquiry import WEAVES
from meshcore.estimates.asked_use import read_asked
from meshcore.estimates.results import Estimate
from meshcore.estimates.wording import CAUTION
from meshcore.messages import Message
from meshcore.uses.statement import Measure, Wanted
from meshcore.weave.cloth import take_cloth

#: How the codes of messages about a stated service begin.
_OF_SERVICE = "service."


@dataclass(frozen=True, slots=True)
class Performance:
    """What one cloth does for a use.

    Parameters
    ----------
    measures
        What it does, one value each.
    meets
        Whether it keeps what the figures ask; None where they are not understood or not given.
    reasons
        What the figures ask, and why.
    caution
        To stand beside it.
    messages
        What was not understood.
    failing
        Which of the reasons it does not keep.
    told
        Notes and doubts, as `Specifications` has them.
    """

    measures: tuple[Measure, ...]
    meets: bool | None
    reasons: tuple[str, ...]
    caution: str
    messages: tuple[Message, ...]
    failing: tuple[str, ...] = ()
    told: tuple[Message, ...] = ()

    @property
    def weave_doubted(self) -> bool:
        """Whether the sizes may do, and the weave is none that is usual."""
        return any(one.code == "use.weave_not_usual" for one in self.told)


def performance(
    estimate: Estimate, use: str, figures: Mapping[str, str] | None = None, **more: str
) -> Performance:
    """Tell what the cloth of an estimate does for a use.

    Parameters
    ----------
    estimate
        The line; its sizes must be known.
    use, figures, more
        As for `specify`.

    Examples
    --------
    >>> import meshcore as mc
    >>> line = mc.estimate(mc.Enquiry(mesh_count="18 / in", wire_diameter="0.011 in", alloy="304"))
    >>> told = mc.performance(line, "insects", insect="mosquitoes")
    >>> told.meets, {one.name: one.text(0) for one in told.measures}["open area"]
    (True, '64.3 %')
    """
    held, line = estimate.estimates, estimate.line
    cloth = take_cloth(held.orders.cloth, np.array([line]))
    alloy = cloth.alloys[int(cloth.alloy[0])].designation if cloth.alloy[0] >= 0 else ""
    asked = read_asked(use, {**(figures or {}), **more}, alloy, cloth_given=True)
    if isinstance(asked, tuple):
        return Performance((), None, (), "", asked)
    statement, values, metal = asked.statement, asked.figures, asked.metal
    wanted = statement.ask(values, metal) if asked.complete else None
    asked_of_it = wanted.reasons if wanted else ()
    if np.isnan(cloth.path_ratio[0]):
        no_cloth = _unsized() if np.isnan(cloth.pitch_m[0]) else _unweavable()
        return Performance((), None, asked_of_it, statement.caution, (no_cloth,))
    demands = wanted.demands if wanted else ()
    another, doubted = _of_weave(wanted, int(cloth.weave[0])) if wanted else ((), ())
    failing = (*another, *(one.text for one in demands if not one.kept(cloth)[0]))
    measures = statement.measures(cloth, values, metal)
    return Performance(
        measures,
        not failing if wanted else None,
        asked_of_it,
        f"{statement.caution} {CAUTION}",
        (),
        failing=failing,
        told=(*asked.told, *doubted, *_of_service(estimate)),
    )


def _of_weave(wanted: Wanted, weave: int) -> tuple[tuple[str, ...], tuple[Message, ...]]:
    """Say that a weave is none of those of a use: as what fails, or as a doubt."""
    if weave in [code for code, _ in wanted.weaves]:
        return (), ()
    usual = "; ".join(f"{WEAVES[code]}: {why}" for code, why in wanted.weaves)
    if wanted.bound:
        return (f"{WEAVES[weave]} is none of the weaves that do it ({usual})",), ()
    text = f"not usual for this use; usual are {usual}. Ask whether it is meant."
    return (), (Message("weave", WEAVES[weave], text, "review", code="use.weave_not_usual"),)


def _of_service(estimate: Estimate) -> tuple[Message, ...]:
    """Return what the estimate says of its alloy in the service that is stated."""
    return tuple(one for one in estimate.messages if one.code.startswith(_OF_SERVICE))


def _unsized() -> Message:
    text = (
        "its sizes fix no cloth. Write two of mesh_count, pitch, aperture, wire_diameter and "
        "open_area."
    )
    return Message("aperture", "", text, code="use.no_sizes")


def _unweavable() -> Message:
    text = "the cloth cannot be woven, so it does nothing. Give sizes that can."
    return Message("aperture", "", text, code="use.no_cloth")
