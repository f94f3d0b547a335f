"""Services in a running text, and those that it says are not wanted."""

from __future__ import annotations

from meshcore.reading.running_text import size_texts as sizes
from meshcore.reading.running_text.scanning import Scan
from meshcore.reading.vocabulary import fold, phrases, words

#: Stands where a service was found, until it is known whether it is wanted.
_SERVICE = "§"
#: How a denied service is written for the reader of services, and what joins two of them.
_NO = "no"
_JOINS = frozenset(
    {"or", "and", "nor", "oder", "und", "noch", "ou", "et", "ni", "o", "y", "/", ","}
)  # fmt: skip


def take_services(scan: Scan) -> None:
    """Take services that are no forms or weaves too; one that is not wanted says so."""
    other = {**words("form"), **words("weave"), **words("alloy_aside")}
    spans: list[tuple[int, int]] = []
    for phrase in (*phrases("service_kind"), *phrases("service")):
        if phrase in other or phrase in sizes.EVERYDAY or len(phrase) < 3:  # noqa: PLR2004
            continue
        found = scan.search_phrase(phrase)
        if found:
            spans.append(found.span())
            scan.blank(*found.span(), sign=_SERVICE)
    for phrase in phrases("service"):  # everyday words are services where they are denied
        found = scan.search_phrase(phrase) if phrase in sizes.EVERYDAY else None
        if found and (scan.denial_before(found.start()) or scan.denial_after(found.end())):
            spans.append(found.span())
            scan.blank(*found.span(), sign=_SERVICE)
    taken: list[str] = []
    denied_to = -1
    for start, end in sorted(spans):
        begins, ends = scan.denial_before(start), scan.denial_after(end)
        joined = denied_to >= 0 and fold(scan.low[denied_to:start]) in _JOINS
        if begins:
            taken.append(scan.text[start - begins : end])
            denied_to = end
        elif ends or joined:
            taken.append(f"{_NO} {scan.text[start:end]}")
            denied_to = end
        else:
            taken.append(scan.text[start:end])
        scan.blank(start - begins, end + ends)
    if taken:
        scan.fields["services"] = "; ".join(taken)
