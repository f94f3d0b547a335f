"""Who writes, under which reference, where to and by when: each with where it stands."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from meshcore.reading.letters.never import MONTH as _MONTH

_CODE = (
    r"(?:[A-Z]{1,6}[ ]?)?(?=[\w/.-]{0,30}\d)[\w/.-]{1,40}(?:[ ]/[ ]\d{1,6})?(?:[ ]\d{2,4}-\d{2,6})?"
    r"(?:[ ]rev\.?[ ]?\d{1,2})?"
)
#: Words before a reference, the surest first: the sender's own, any reference, an enquiry, and what
#: an enquiry is filed under.
_KINDS = (
    r"(?:our|my|client|customer|internal|unsere?s?|mein|notre|n\.|nuestra?|mi) (?:ref(?:erence|erencia|erenz)?|r[ée]f(?:[ée]rence)?|enquiry|number|order|no|file|zeichen|anfrage|kommission|rfq(?: no)?)"  # noqa: E501
    r"|(?:please )?quote our(?: number| ref)?|ref of ours|ours is|under",
    r"r[ée]f(?:[ée]rence|erencia|erenz)?(?: client| no| number)?|zeichen|rfq ref|order ref|enquiry ref|kommission|vorgang",  # noqa: E501
    r"rfq|r\.f\.q\.|enq(?:uiry)?|inquiry|quotation request|price request|request(?: for quotation)?|material requisition|requisition|(?:preis)?anfrage|demande(?: de (?:prix|cotation|devis))?"  # noqa: E501
    r"|solicitud(?: de (?:oferta|precios|cotizaci[óo]n))?|petici[óo]n de precios|consulta|cotaci[óo]n|cotizaci[óo]n|stock order|order book|tender|contract|expediente|affaire|file",  # noqa: E501
    r"req|job|project|pr|mr|da|po number|po|purchase order|order(?: no| number)?|commande|bestellung|pedido|grant code",  # noqa: E501
)
_NUMBER_WORD = r"(?:[-\s]{0,3}(?:no|nr|n°|nº|number|num|nummer)\b\.?)?"
_NOT_OURS = re.compile(
    r"(?i)(?:\byour|\bvotre|\bihre?|\bsu|\bold|\bpart|invoice|\bjob|\blast|as our|repeat|ordered under|offer|customer|vendor|supplier)[ \t]{0,3}$"  # noqa: E501
)
_REFERENCES = tuple(
    re.compile(
        rf"(?i)(?<![\w-])(?:{words})\b\.?{_NUMBER_WORD}[ \t]{{0,3}}(?:[:#.)=]|\.{{3,30}})?[ \t]{{0,3}}(?:is |ist |est |es )?\(?(?-i:(?P<code>{_CODE}))"  # noqa: E501
    )
    for words in _KINDS
)
#: A code alone in a subject, or in brackets after an enquiry.
_BARE = re.compile(
    r"(?im)^(?:subject|betreff|objet|asunto|re)[ \t]*:[^\n]{0,120}?(?<![\w/.-])(?-i:(?P<code>(?:[A-Z]{1,5}[-/])?\d{2,}[-/][\w/-]{2,20}|[A-Z]{1,5}[-/]?\d{3,}[\w/-]{0,12}|[A-Z]{1,4}/[\w/]{0,6}\d[\w/]{0,10}))(?![\w/])"  # noqa: E501
)
_BRACKETED = re.compile(
    r"(?i)(?:enquiry|anfrage|demande|solicitud)[^\n.()]{0,40}\((?-i:(?P<code>[A-Z]{1,5}[-/ ]?\d[\w/-]{1,12}))\)"  # noqa: E501
)
#: A reference has so many signs; shorter numbers are quantities and sizes.
_SHORTEST = 4
_AFTER_SIZE = re.compile(
    r"(?i)^[ \t]{0,3}(?:mm|cm|m|in|ft|inch|\"|'|mesh|rolls?|discs?|pcs|pieces|panels|strips|sheets|rollen|stück|rouleaux|rollos|x[ \t]{0,3}\d)\b"  # noqa: E501
)
_SENDER = re.compile(
    r"(?im)^[ \t]{0,9}(?:from|von|de|remitente|gesendet von)[ \t]*:?[ \t]{1,8}(?P<text>\S[^\n]{0,200})$"  # noqa: E501
)
_KEY_END = r"[ \t]{0,3}(?::|\.{3,30}|=)[ \t\n]{1,6}"
_PLACE_KEY = re.compile(
    r"(?im)^[ \t]{0,9}(?:[-*][ ])?(?:deliver(?:y)?(?: to| address)?|ship(?:ping)?(?: to| address)?|destination|consignee|where to|lieferanschrift|lieferadresse|lieferort|lieferung(?: an)?"  # noqa: E501
    r"|versand(?: an)?|empfänger|adresse de livraison|lieu de livraison|livraison|lugar de entrega|dirección de entrega|entrega|site)"  # noqa: E501
    rf"{_KEY_END}(?P<text>[^\n]{{3,120}})"
)
_TO = re.compile(
    r"(?i)\b(?:(?:to be )?deliver(?:ed|y|ies)?(?: address)?(?: before [a-z ]{3,40}?(?=:))?(?:,? please,?)?(?: to| at|:)?|ship(?:ped)?(?: to|:)|send (?:it |them |all )?to|drops? (?:to|at)|drop (?:it|them|em) at"  # noqa: E501
    r"|del(?:iv)?\.? to|address the goods to|carriage to|all to be at|goods? (?:would go |go )?to|fob|dap|(?:reach|with) us[^.\n]{0,40}? at|req'?d? on|required on|liefer(?:ung|n)?(?: frei haus| an| nach| in|:)(?: die| den| das)?"  # noqa: E501
    r"|nach(?= werk)|versand an|lieferadresse:?|lieferanschrift:?|livraison(?: à| au| aux|:| :)|livre[rz] (?:à|au)|entreg(?:ar|a)(?: en|:)|se entrega en|alles nach)[ \t\n]{1,3}"  # noqa: E501
    r"(?P<text>[^\n;?!]{3,90})"
)
_TO_PLACE = re.compile(
    r"(?i)(?:^|[.:,>]\s+)(?P<text>(?:to )?(?:the )?[^\n.,:;]{2,40} (?:depot|stores|works|plant|dryer house|yard)(?: not[^\n.,]{0,30})?)(?=,|\.?\s*$|\.\s)",  # noqa: E501
    re.MULTILINE,
)
#: "To the press house at Russet Bank, by 30 October", "everything at the stage door by 4 December".
_TO_THE = re.compile(
    r"(?im)(?:^|(?<=[.!?] )|(?<=[.!?]  )|please,? |everything |it all |all of it |goods )(?:to|at|an|à|al?) (?P<text>(?:the|our|die|das|den|la|le)\s(?!following|same|above|attention|first|second|last|left|right|moment|best|price|mill)[^\n.!?(:]{4,40}(?:\s?\n?[^\n.!?(:]{0,40})?)"  # noqa: E501
)
_COLLECTS = re.compile(
    r"(?i)\b(?P<text>(?:we |he |she |i )?(?:will )?collects? (?:himself|herself|ourselves|from you[^.\n]*|it)|(?:er |sie )?holt (?:selbst |die ware |sie )[^.\n]{0,20}ab|wird abgeholt|abholung|selbstabholer|collecting|recogemos[^.\n]{0,20}|nous (?:venons|passons) [^.\n]{0,20}chercher)\b"  # noqa: E501
)
_DAY = (
    r"(?:(?:mon|tue|tues|wed|weds|wednes|thu|thur|thurs|fri|sat|satur|sun)(?:day)?|montag|dienstag|mittwoch|donnerstag|freitag|samstag|sonntag"
    r"|lundi|mardi|mercredi|jeudi|vendredi|samedi|lunes|martes|miércoles|jueves|viernes|sábado)\b\.?"
)
_NTH = r"\d{1,2}(?:st|nd|rd|th|\.|er)?"
_DM = r"(?:0?[1-9]|[12]\d|3[01])[./-](?:0?[1-9]|1[0-2])"
_NUMERIC = rf"(?<![\d.,/]){_DM}[./-](?:20\d\d|\d\d(?!\d))"
#: A day and month alone could be a size: it must follow a day's name or "by".
_SHORT = rf"(?<![\d.,/]){_DM}\.?(?![\d/\"'])(?![ \t]?(?:mm|cm|m|in|inch|mesh|ft)\b)"
_SEASON = r"(?:easter|christmas|ostern|weihnachten|pâques|noël|navidad|semana santa|candlemas|whitsun|pfingsten)"  # noqa: E501
_PART = (
    rf"(?:(?:the )?(?:end|beginning|start|middle|first week|second week|third week|last week|\d(?:st|nd|rd|th) week) of (?:the )?[a-z]{{3,10}}|(?:early|mid|late)[ -](?:{_MONTH}|week|month|summer|autumn|spring|winter)"  # noqa: E501
    rf"|(?:mitte|anfang|ende) (?:{_MONTH}|des monats|der woche)|(?:début|fin|mi)[ -](?:{_MONTH}|du mois|de mois)|(?:a mediados|a finales|a principios|fin|finales|mediados|principios) de [a-z]+|any time in [a-z]+|in the new year)"  # noqa: E501
)
_WEEK = (
    r"(?:(?:calendar week|kw|week|wk|semaine|semana|w/c|week commencing)[ \t]{0,3}\d{1,2}"
    r"(?:[ \t\n]{1,3}" + _MONTH + r")?)"
)
_DATE = (
    rf"(?:(?:{_DAY}[ \t]{{0,2}},?[ \t]{{0,2}})?(?:the )?(?:{_NTH}[ \t\n]{{1,3}}(?:of |de )?{_MONTH}(?![a-z])(?:,?[ \t\n]{{1,3}}(?:del? )?\d{{4}}\b)?|{_NUMERIC}|(?<=day ){_SHORT}|(?<=by ){_SHORT}|(?<=bis ){_SHORT}|(?<=on ){_SHORT}|(?<=vor ){_SHORT}|(?<=before ){_SHORT}|(?<=le ){_SHORT}|\d{{1,2}}(?:st|nd|rd|th)\b)"  # noqa: E501
    rf"|{_MONTH}[ ]\d{{1,2}}(?:st|nd|rd|th)?\b(?:,? \d{{4}})?|{_WEEK}|{_PART}|{_SEASON}|the [a-z-]+ of {_MONTH}|next (?:week|month|{_DAY})|{_DAY})"  # noqa: E501
    r"(?: at the latest| latest| au plus tard)?"
)
_SPAN = r"(?:within|in|innert|innerhalb von|binnen|sous|dentro de|en|höchstens|máximo|maximum|max\.?)[ \t\n]{1,3}(?:\w+)[ \t\n]{1,3}(?:weeks?|wks|wochen|semaines|semanas|days|tagen|tage|jours|días)(?:['’] time| of order)?"  # noqa: E501
_WANTED_KEY = re.compile(
    r"(?im)^[ \t]{0,9}(?:[-*][ ])?(?:required(?: by| date)?|wanted(?: by)?|needed(?: by)?|need date|date (?:required|wanted|needed)|when|delivery(?: date| required| by)?|liefertermin|wunschtermin|termin|lieferdatum|lieferung"  # noqa: E501
    r"|livraison|délai(?: souhaité)?|date (?:de livraison|souhaitée)|entrega|fecha de entrega|plazo)"  # noqa: E501
    rf"{_KEY_END}(?P<text>(?:by |before |bis |avant |antes |spätestens )?[^\n,;]{{0,30}}?(?:{_DATE}|{_SPAN}|\d(?:-\d)? (?:weeks|wochen|semaines|semanas)|asap)[^\n,;.]{{0,20}})"  # noqa: E501
)
_WANTED = (
    re.compile(
        rf"(?i)\b(?:(?:required|req'?d|needed|needs?|wanted|wants?|want(?:s)? (?:it|them)|need(?:s)? (?:it|them|em|date)|deliver[a-z]*|reach us|on site|termin|liefertermin(?: jetzt)?:?|wunschtermin:?|lieferung|livraison|à livrer|entrega)"  # noqa: E501
        rf"\b[^.\n;]{{0,45}}?[ \t\n:,])(?:(?:by|for|in|on|latest|no later than|not later than|bis(?: zum| zur)?|spätestens(?: bis)?|pour le|le|para el|el|am)[ \t\n]{{1,3}})?(?P<text>(?:before |vor |avant (?:le )?|antes del? )?{_DATE}|asap)"  # noqa: E501
    ),
    re.compile(
        rf"(?i)\b(?:by|no later than|not later than|latest|bis(?: zum| zur)?|para el|pour le|spätestens(?: bis)?)[ \t\n]{{1,3}}(?P<text>{_DATE})"  # noqa: E501
    ),
    re.compile(
        rf"(?i)\b(?P<text>(?:before|vor|avant(?: le)?|antes del?)[ \t\n]{{1,3}}{_DATE}|{_SPAN}|{_WEEK}|\d(?:-\d)? w(?:ee)?ks(?: aro)|in time for [^.\n]{{3,30}}|asap|as soon as possible|tom+or+ow(?: if poss\w*)?)"  # noqa: E501
        rf"|\b(?:,|can u do|abholung|to the [a-z ]{{3,25}},)[ ](?P<day>next {_DAY}|{_DAY}(?: \d{{1,2}}(?:st|nd|rd|th))?)"  # noqa: E501
    ),
)
_RETURN = re.compile(
    r"(?i)(?:return|reply|answer|quote[sd]?|offer|closes?|closing|respond|réponse|antwort|angebot|anbieten|paid|pay|took|start(?:s)?|opens?|on file|placed|valid(?:ity)?|lasted|not|until|sent|call(?:ed)?|ring|on leave|since|ago|last)\W+(?:\w+\W+){0,4}$"  # noqa: E501
)
_AFTER_DATE = re.compile(
    r"(?i)^,? \d{1,2}[:.]\d\d|^[^.\n]{0,12}\b(?:anbieten|offerieren|antworten|feet|foot|inch(?:es)?|mm|cm|ft)\b"  # noqa: E501
)


@dataclass(frozen=True, slots=True)
class Found:
    """One thing of the head: the letter's own words, and where they stand."""

    text: str
    start: int
    end: int


def find_header(plain: str, body: str) -> dict[str, Found | None]:
    """Return sender, reference, place and date, each as `Found` or None."""
    newest = _newest(plain, body)
    return {
        "reference": _reference(plain),
        "wanted_by": _wanted(newest) or _wanted(body),
        "deliver_to": _place(newest) or _place(body),
        "sender": _first(_SENDER, plain),
    }


def _newest(plain: str, body: str) -> str:
    """Return the text without what is quoted: a date in the answer stands for one before it."""
    lines = zip(plain.split("\n"), body.split("\n"), strict=True)
    return "\n".join(
        " " * len(kept) if line.lstrip().startswith(">") else kept for line, kept in lines
    )


def _first(pattern: re.Pattern[str], text: str) -> Found | None:
    found = pattern.search(text)
    return None if found is None else _trimmed(found["text"], found.start("text"))


def _trimmed(text: str, start: int) -> Found:
    lead = len(text) - len(text.lstrip(" \t\n,:"))
    kept = text[lead:].rstrip(" \t\n,.:-")
    return Found(kept, start + lead, start + lead + len(kept))


def references(text: str) -> list[tuple[int, Found]]:
    """Every reference of the letter, with its rank: own words first."""
    out = []
    for rank, pattern in enumerate((*_REFERENCES, _BRACKETED, _BARE)):
        for found in pattern.finditer(text):
            code = found["code"].rstrip("./-")
            start = found.start("code")
            before = text[max(found.start() - 16, 0) : found.start()]
            if (
                len(code) < _SHORTEST
                or not any(c.isdigit() for c in code)
                or _NOT_OURS.search(before)
                or re.fullmatch(r"\d{1,2}[./-]\d{1,2}[./-]\d{2,4}|(?:19|20)\d\d", code)
            ):
                continue
            if _AFTER_SIZE.match(text[start + len(code) : start + len(code) + 12]) or (
                re.fullmatch(r"[\d.,]+(?:mm|cm|m|in)?", code) and not code.isdigit()
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
    return next(_dates(body), None)


def _dates(body: str) -> Iterator[Found]:
    """Dates that goods are wanted by, the surest way of saying so first."""
    for found in _WANTED_KEY.finditer(body):
        yield _trimmed(found["text"], found.start("text"))
    for pattern in _WANTED:
        for found in pattern.finditer(body):
            name = "text" if found["text"] else "day"
            start = found.start(name)
            before = body[max(start - 60, 0) : start].rsplit("\n", maxsplit=1)[-1]
            if _RETURN.search(before) or _AFTER_DATE.match(body[found.end(name) :][:30]):
                continue
            if re.search(r"(?i)\d (?:feet|foot|inch|mm|cm|m|ft|in)\b", found[name]):
                continue
            yield _trimmed(found[name], start)


#: Where a place ends: at a full stop, a date, or what else is asked for.
_PLACE_END = re.compile(
    rf"(?i)[.;](?:\s|$)|,? (?:by|before|no later|latest|within|not later|bis|avant|antes|please|wanted|w/c|required|in week|in time|on|until|need|and) |,? (?:semaine|semana|kw|calendar week) |,? (?=w/c)|[(]|,? (?:{_DATE})(?=\W|$)"  # noqa: E501
)
_NO_PLACE = re.compile(
    r"(?i)^(?:by|before|within|please|in|time|times?|is|would|for|date|as soon|asap|your works|\d+ (?:weeks|wochen|semaines|semanas)|ab werk|ex works|urgent)\b"  # noqa: E501
)


def _place(body: str) -> Found | None:
    for pattern in (_PLACE_KEY, _TO, _TO_PLACE, _TO_THE):
        for found in pattern.finditer(body):
            text = _PLACE_END.split(found["text"] + " ")[0].strip(" ,.:-")
            text = re.sub(r"(?i)^to (?=the\b)", "", text)
            if len(text) <= 2 or _NO_PLACE.match(text) or re.fullmatch(rf"(?i){_DATE}", text):  # noqa: PLR2004
                continue
            start = found.start("text") + found["text"].find(text)
            return Found(text, start, start + len(text))
    return _first(_COLLECTS, body)
