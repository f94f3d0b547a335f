"""What a revision changes beside its lines."""

from __future__ import annotations

from meshcore.documents.facts import Quotation


def changed_terms(old: Quotation, new: Quotation) -> tuple[str, ...]:
    """Tell what a revision changes beside its lines, a sentence each, for whoever revises."""
    named = [one.to.name or "nobody named" for one in (old, new)]
    pairs = (
        ("priced in", old.currency, new.currency),
        ("for", *(named if old.to != new.to else ("", ""))),
        ("of their reference", old.reference or "–", new.reference or "–"),
        ("in the language", old.language, new.language),
    )
    said = [
        f"It is {what} {now}; the one before was {what} {was}."
        for what, was, now in pairs
        if was != now
    ]
    if old.to != new.to and named[0] == named[1]:
        said.append(f"The address of {named[0]} is another.")
    if old.terms != new.terms:
        said.append("Its terms or letterhead are others than those of the one before.")
    return tuple(said)
