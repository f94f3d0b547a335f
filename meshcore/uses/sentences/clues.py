"""Which use a sentence speaks of, by the words and amounts in it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from meshcore.uses.sentences.amounts import AmountSaid
from meshcore.uses.sentences.negations import Span, without_denied
from meshcore.uses.sentences.phrases import phrases_in
from meshcore.uses.statements.air import INSECTS

#: What a word weighs that says a use and nothing else, that names it, and that hints at it; what an
#: animal or an amount of a kind weighs that only one use is stated by, and one of flow: judgements,
#: no source.
_SURE, _NAMED, _HINTED, _ANIMAL, _AMOUNT, _OF_FLOW = 4, 3, 1, 4, 3, 1
_TOPICS = (("use_sure", _SURE), ("use", _NAMED), ("use_hint", _HINTED))
#: Kinds of amount that only one use is stated by.
_ONLY_OF = {
    "frequency": "shielding", "decibel": "shielding", "section": "reinforcement",
}  # fmt: skip
#: Kinds of amount that flow is stated by, and the uses that are about flow.
_FLOW_KINDS, _FLOW = frozenset({"speed", "pressure"}), ("filtration", "ventilation")
_ANIMALS = frozenset(INSECTS.figures[0].choices)
#: Weight from which a use is spoken of among other matters: a judgement, no source.
PLAINLY = 3


def uses_said(sentence: str, amounts: Sequence[AmountSaid], least: int = 1) -> tuple[str, ...]:
    """Return the uses that a folded sentence speaks of most; none where it speaks of none.

    Parameters
    ----------
    sentence, amounts
        The sentence, and the amounts in it.
    least
        Weight that says a use: 1 where the sentence is known to be of one.

    Examples
    --------
    >>> uses_said("to keep mosquitoes out of an air intake", ())
    ('insects',)
    >>> uses_said("filter or machine guard, it depends", ())
    ('guarding',)
    >>> uses_said("blue", ()), uses_said("screen at 6 mm", ())
    ((), ('screening',))
    """
    weight = _weights(sentence, amounts)
    most = max(weight.values(), default=0)
    if not most and any(phrases_in(sentence, "use_else")):
        weight, most = _else_said(sentence), _HINTED
    return tuple(use for use, worth in weight.items() if worth == most) if most >= least else ()


def _else_said(sentence: str) -> Counter[str]:
    """Weigh words that are of most uses, and say one where nothing else does: a screen."""
    return Counter({use: _HINTED for p in phrases_in(sentence, "use_else") for use in p.meanings})


def uses_besides(sentence: str, amounts: Sequence[AmountSaid], use: str) -> tuple[str, ...]:
    """Return the other uses than one that a folded sentence plainly speaks of.

    Examples
    --------
    >>> uses_besides("machine guard behind a vibrating screen", (), "screening")
    ('guarding',)
    """
    weight = _weights(sentence, amounts)
    return tuple(name for name, worth in weight.items() if worth >= PLAINLY and name != use)


def _weights(sentence: str, amounts: Sequence[AmountSaid]) -> Counter[str]:
    sentence = without_denied(sentence, _deniable(sentence)).sentence
    weight: Counter[str] = Counter()
    for topic, worth in _TOPICS:
        for meant in {(p.meanings, p.text) for p in phrases_in(sentence, topic)}:
            for use in meant[0]:
                weight[use] += worth
    chosen = {name for p in phrases_in(sentence, "use_choice") for name in p.meanings}
    weight["insects"] += _ANIMAL * bool(chosen & _ANIMALS)
    for kind in {one.kind for one in amounts}:
        if kind in _ONLY_OF:
            weight[_ONLY_OF[kind]] += _AMOUNT
    if weight["test sieving"] and any(one.kind == "sieve" for one in amounts):
        weight["test sieving"] += _AMOUNT
    for use in _FLOW:
        if weight[use] and _FLOW_KINDS & {one.kind for one in amounts}:
            weight[use] += _OF_FLOW
    return weight


def _deniable(sentence: str) -> tuple[Span, ...]:
    """Where uses are named that may be denied; of insects it is said that they are not wanted."""
    return tuple(
        (phrase.start, phrase.end)
        for topic in ("use", "use_sure")
        for phrase in phrases_in(sentence, topic)
        if "insects" not in phrase.meanings
    )
