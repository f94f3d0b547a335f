"""What the reader says of wire: of its gauge, and of wire with two sizes."""

from __future__ import annotations

from meshcore.messages import Message


def gauge_conflict(gauge: str, size: str) -> Message:
    """Refuse a gauge and a size beside it that do not agree."""
    text = f"the gauge is {gauge}, and beside it stands {size}. Write the one that is meant."
    return Message("", "", text, code="wire.gauge_conflict")


def gauge_taken(gauge: str, size: str) -> Message:
    """Note that a gauge and the size beside it differ by rounding, and which is taken."""
    text = f"taken as {gauge}, which the gauge is; beside it stands {size}, as rounded."
    return Message("", "", text, "note", code="wire.gauge_taken")


def gauge_named_by_size(size: str) -> Message:
    """Note that a gauge without its system is that of the size beside it."""
    text = f"taken as {size}, as it stands beside the gauge, which has no system of its own."
    return Message("", "", text, "note", code="wire.gauge_named_by_size")


def gauge_elsewhere() -> Message:
    """Refuse a wire gauge in a field of no wire."""
    text = "a gauge is a wire's. Write it as the wire diameter."
    return Message("", "", text, code="wire.gauge_elsewhere")


def flat_wire(size: str) -> Message:
    """Refuse a wire with two sizes: square wire, or one each for warp and shute."""
    text = (
        f"may be square wire, or round wire of {size} in warp and shute. Write round wire as one "
        f'size, such as "{size} mm", or ask for a quotation by hand.'
    )
    return Message("", "", text, code="wire.two_sizes")
