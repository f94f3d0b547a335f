"""Who writes, under which reference, where to and by when: each with where it stands."""

from __future__ import annotations

import re
from dataclasses import dataclass

_CODE = r"(?:[A-Z]{1,6}[ ]?)?(?=[\w/.-]{0,30}\d)[\w/.-]{1,40}"
_OWN = (
    r"our (?:ref(?:erence)?|enquiry|number|order|no)|(?:please )?quote our(?: number| ref)?|unser(?:e)? (?:zeichen|referenz|anfrage)"  # noqa: E501
    r"|(?:notre|n\.) r[ée]f(?:[ée]rence)?|nuestra? (?:referencia|ref)|ref of ours|under|réf|ref(?:erence|erencia|erenz)?|zeichen|rfq ref"  # noqa: E501
)
_ENQUIRY = (
    r"rfq|r\.f\.q\.|enquiry|inquiry|request for quotation|material requisition|requisition|anfrage|demande de (?:prix|cotation|devis)"  # noqa: E501
    r"|solicitud(?: de (?:oferta|precios))?|petici[óo]n de precios|demande|consulta|cotaci[óo]n|stock order|tender|pr|mr|da|po number|po|purchase order"  # noqa: E501
    r"|order(?: no| number)?|commande|bestellung|pedido"
)
_NUMBER_WORD = r"(?:[ \t]{0,3}(?:no|nr|n°|nº|number|num|nummer)\b\.?)?"
_NOT_OURS = re.compile(
    r"(?i)(?:\byour|\bvotre|\bihre?|\bsu|\bold|\bpart|invoice|\bjob|\blast|as our)[ \t]{0,3}$"
)
_REFERENCES = tuple(
    re.compile(
        rf"(?i)(?<![\w-])(?:{words})\b\.?{_NUMBER_WORD}[ \t]{{0,3}}[:#.)]?[ \t]{{0,3}}\(?(?-i:(?P<code>{_CODE}))"  # noqa: E501
    )
    for words in (_OWN, _ENQUIRY)
)
#: A reference has so many signs; shorter numbers are quantities and sizes.
_SHORTEST = 4
_AFTER_SIZE = re.compile(
    r"(?i)^[ \t]{0,3}(?:mm|cm|m|in|ft|inch|\"|'|mesh|rolls?|discs?|pcs|pieces|panels|strips|sheets|rollen|stück|rouleaux|rollos|x[ \t]{0,3}\d)"  # noqa: E501
)
_SENDER = re.compile(
    r"(?im)^[ \t]{0,9}(?:from|von|de|remitente|gesendet von)[ \t]*:?[ \t]{1,8}(?P<text>\S[^\n]{0,200})$"  # noqa: E501
)
_TO = re.compile(
    r"(?i)\b(?:(?:to be )?deliver(?:ed|y)?(?: address)?(?:,? please,?)?(?: to| at|:)?|ship(?:ped)?(?: to|:)|send (?:it |them |all )?to|drops? to"  # noqa: E501
    r"|address the goods to|carriage to|all to be at|goods? (?:would go |go )?to|fob|liefer(?:ung|n)?(?: frei haus| an| nach| in|:)(?: die| den| das)?"  # noqa: E501
    r"|livraison(?: à| au| aux|:| :)?|livrer (?:à|au)|entreg(?:ar|a)(?: en|:)|se entrega en|alles nach)[ \t\n]{1,3}"  # noqa: E501
    r"(?P<text>[^\n;?!]{3,90})"
)
_COLLECTS = re.compile(
    r"(?i)\b(?P<text>(?:we |he |i )?(?:will )?collects? (?:himself|ourselves|from you[^.\n]*|it)|holt selbst ab|abholung|collecting)\b"  # noqa: E501
)
_DATE = (
    r"(?:\d{1,2}(?:st|nd|rd|th|\.|er)?[ \t\n]{1,3}(?:de[ \t\n]{1,3})?[A-Za-zäéûÀ-ÿ]{3,10}\.?(?:[ \t\n]{1,3}(?:de[ \t\n]{1,3})?\d{4})?|\d{1,2}[./]\d{1,2}(?:[./]\d{2,4})?"  # noqa: E501
    r"|(?:kw|week|wk|semaine|semana|w/c)[ \t]{0,3}\d{1,2}(?:[ \t\n]{1,3}[A-Za-z]+)?|(?:the )?(?:end|beginning|middle) of [a-z ]{3,14}|(?:early|mid|late)[ -]\w+"  # noqa: E501
    r"|easter|christmas|ostern|weihnachten|pâques|navidad|[a-z]+day(?: \d{1,2}(?:st|nd|rd|th))?|the \w+ of \w+|next \w+|a mediados de \w+|début \w+|fin \w+|ende \w+)"  # noqa: E501
)
_WANTED = re.compile(
    rf"(?i)\b(?:(?:required|needed|wanted|want (?:it|them)|need date|latest)[ :]*(?:by|for|in)?[ \t]{{0,3}}|by|no later than|not later than|bis(?: zum)?|para el|pour le"  # noqa: E501
    rf"|spätestens(?: bis)?|wunschtermin:?|liefertermin(?: jetzt)?)[ \t\n]{{1,3}}(?P<text>{_DATE}(?: at the latest)?)"  # noqa: E501
    rf"|\b(?P<kept>(?:before|vor|avant(?: le)?|antes del?)[ \t\n]{{1,3}}{_DATE}|(?:within|in|innert|innerhalb von|sous|dentro de)[ \t\n]{{1,3}}(?:\w+)[ \t\n]{{1,3}}(?:weeks?|wochen|semaines|semanas|days|tagen|jours|días)(?:['’] time)?"  # noqa: E501
    rf"|(?:w/c|week|wk|kw|semaine|semana)[ \t]{{0,3}}\d{{1,2}}(?:[ \t\n]{{1,3}}[A-Za-z]+)?|\d(?:-\d)? w(?:ee)?ks(?: aro)?|asap|as soon as possible|tom+or+ow(?: if poss\w*)?)"  # noqa: E501
)
_RETURN = re.compile(
    r"(?i)(?:return|reply|answer|quote|offer|closes?|closing|respond|réponse|antwort|angebot|paid|pay|took|start(?:s)?|opens?|on file)\W+(?:\w+\W+){0,6}$"  # noqa: E501
)


@dataclass(frozen=True, slots=True)
class Found:
    """One thing of the head: the letter's own words, and where they stand."""

    text: str
    start: int
    end: int


def find_header(plain: str, body: str) -> dict[str, Found | None]:
    """Return sender, reference, place and date, each as `Found` or None."""
    return {
        "reference": _reference(plain),
        "wanted_by": _wanted(body),
        "deliver_to": _place(body),
        "sender": _first(_SENDER, plain),
    }


def _first(pattern: re.Pattern[str], text: str) -> Found | None:
    found = pattern.search(text)
    return (
        None
        if found is None
        else Found(found["text"].strip(), found.start("text"), found.end("text"))
    )


def references(text: str) -> list[tuple[int, Found]]:
    """Every reference of the letter, with its rank: own words first."""
    out = []
    for rank, pattern in enumerate(_REFERENCES):
        for found in pattern.finditer(text):
            code = found["code"].rstrip("./-")
            start = found.start("code")
            digits = sum(c.isdigit() for c in code)
            plain_number = code.isdigit()
            if (
                len(code) < _SHORTEST
                or digits == 0
                or _NOT_OURS.search(text[max(found.start() - 12, 0) : found.start()])
            ):
                continue
            if _AFTER_SIZE.match(text[start + len(code) : start + len(code) + 12]) or (
                re.fullmatch(r"[\d.,]+(?:mm|cm|m|in)?", code) and not plain_number
            ):
                continue
            out.append((rank, Found(code, start, start + len(code))))
    return out


def _reference(text: str) -> Found | None:
    found = references(text)
    return min(found, key=lambda one: (one[0], one[1].start))[1] if found else None


def without_references(body: str) -> str:
    """Return the text with blanks where references stand: their digits are no sizes."""
    signs = list(body)
    for _, found in references(body):
        signs[found.start : found.end] = " " * (found.end - found.start)
    return "".join(signs)


def _wanted(body: str) -> Found | None:
    for found in _WANTED.finditer(body):
        if _RETURN.search(
            body[max(found.start() - 60, 0) : found.start()].rsplit("\n", maxsplit=1)[-1]
        ):
            continue
        name = "text" if found["text"] else "kept"
        if re.search(r"\d (?:feet|foot|inch|mm|cm|m|ft|in)\b", found[name]):
            continue
        text = found[name].rstrip(" ,.")
        return Found(text, found.start(name), found.start(name) + len(text))
    return None


def _place(body: str) -> Found | None:
    for found in _TO.finditer(body):
        text = re.split(
            r"(?i)[.;](?:\s|$)|,? (?:by|before|no later|within|not later|bis|avant|antes|please|wanted|w/c|required|in week|on)\b|,? (?:semaine|semana|kw) |\(",  # noqa: E501
            found["text"],
        )[0].strip(" ,.:-")
        if len(text) > 2 and not re.match(  # noqa: PLR2004
            r"(?i)(?:by|before|within|please|in|time|times?|is|would|for)\b", text
        ):
            start = found.start("text") + found["text"].find(text[:5])
            return Found(text, start, start + len(text))
    return _first(_COLLECTS, body)
