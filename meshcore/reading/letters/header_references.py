"""Under which reference a letter is written."""

from __future__ import annotations

import re

from meshcore.reading.letters.found import Found

_CODE = (
    r"(?:[A-Z]{1,6}[ ]?)?(?=[\w/.-]{0,30}\d)[\w/.-]{1,40}(?:[ ]/[ ]\d{1,6})?(?:[ ]\d{2,4}-\d{2,6})?"
    r"(?:[ ]rev\.?[ ]?\d{1,2})?"
)
#: Words before a reference, the surest first: the sender's own, any reference, an enquiry, and what
#: an enquiry is filed under.
_KINDS = (
    r"(?:our|my|client|customer|internal|unsere?s?|mein|notre|n\.|nuestra?|mi) (?:ref(?:erence|erencia|erenz)?|r[ée]f(?:[ée]rence)?|enquiry|number|order|no|file|zeichen|anfrage|kommission|rfq(?: no)?)"  # noqa: E501
    r"|(?:please )?quote our(?: number| ref)?|ref of ours|ours is|under|our (?:po|purchase order|order|reference|ref|enquiry)(?: number| no\.?)? will be|(?:this one|it) will be",  # noqa: E501
    r"r[ée]f(?:[ée]rence|erencia|erenz)?(?: client| no| number| à rappeler)?|zeichen|rfq ref|(?:order|po|purchase|buyer'?s?|customer) ref(?:erence)?(?: when placed)?|enquiry ref|kommission|vorgang|bestellzeichen|az|aktenzeichen|anfragenummer|document(?: no\.?)?|bedarfsmeldung|w\.?o\.?|belegnummer|dokument(?: nr\.?)?",  # noqa: E501
    r"rfq|r\.f\.q\.|enq(?:uiry)?|inquiry|quotation request|price request|request(?: for quotation)?|material requisition|requisition|(?:preis)?anfrage|demande(?: de (?:prix|cotation|devis))?"  # noqa: E501
    r"|solicitud(?: de (?:oferta|precios|cotizaci[óo]n))?|petici[óo]n de precios|consulta|cotaci[óo]n|cotizaci[óo]n|stock order|order book|tender|contract|expediente|affaire|file",  # noqa: E501
    r"req|job|project|pr|mr|da|po number|po|purchase order|order(?: no| number)?|commande|bestellung|pedido|grant code",  # noqa: E501
)
_NUMBER_WORD = (
    r"(?:[-\s]{0,60}(?:(?:no|nr|number|num|nummer)\b\.?|n°|nº)(?: (?:will be|is|ist|est|es))?)?"
)
_NOT_OURS = re.compile(
    r"(?i)(?:\byour|\bvotre|\bihre?|\bsu|\bold|\bpart|invoice|\bjob|\blast|as our|repeat|ordered under|offer|customer|vendor|supplier|same as|as per|like|wie|comme|como)[ \t]{0,3}$"  # noqa: E501
)
_REFERENCES = tuple(
    re.compile(
        rf"(?i)(?<![\w-])(?:{words})\b\.?{_NUMBER_WORD}[ \t]{{0,3}}(?:[:#.)=]|\.{{3,30}})?[ \t]{{0,3}}(?:(?:is|will be|shall be|ist|wird|est|sera|es|será) )?\(?(?-i:(?P<code>{_CODE}))"  # noqa: E501
    )
    for words in _KINDS
)
#: A code alone in a subject, or in brackets after an enquiry.
_BARE = re.compile(
    r"(?im)^(?:subject|betreff|objet|asunto|re)[ \t]*:[^\n]{0,120}?(?<![\w/.-])(?-i:(?P<code>(?:[A-Z]{1,5}[-/])?\d{2,}[-/][\w/-]{2,20}|[A-Z]{1,5}[-/]?\d{3,}[\w/-]{0,12}|\d{3,}/[A-Z]{1,3}|[A-Z]{1,4}/[\w/]{0,6}\d[\w/]{0,10}))(?![\w/])"  # noqa: E501
)
_BRACKETED = re.compile(
    r"(?i)(?:enquiry|anfrage|demande|solicitud)[^\n.()]{0,40}\((?-i:(?P<code>[A-Z]{1,5}[-/ ]?\d[\w/-]{1,12}))\)"  # noqa: E501
)
#: A code that the answer, the bill or all papers are to name.
_TO_NAME = (
    re.compile(
        r"(?i)(?:mention|quot(?:e|ing)|cite|state|use|give|show|nennen|angeben|rappeler|indiquer|mencionar|citar|indicar|mark your offer|put)"  # noqa: E501
        r"(?: us| always| the| our| reference| ref\.?| no\.?| number){0,3} "
        r"(?-i:(?P<code>[A-Z]{1,6}[-/][\w/-]{1,24}))(?= (?:in|on|when|auf|dans|sur|en) |\.|$)",
        re.MULTILINE,
    ),
    re.compile(
        r"(?i)(?<![\w/-])(?-i:(?P<code>[A-Z]{1,6}[-/]\d[\w/-]{0,20})) (?:on|auf|sur|en) (?:your|the|all|der|die|la|votre|su) "  # noqa: E501
        r"(?:bill|invoice|delivery note|papers|quote|label|answer|rechnung|facture|factura|papiere)"
    ),
    re.compile(
        r"(?i)\bour (?:project|job|order|enquiry|rfq|contract|file|commission) (?:number|no\.?)(?:,[^,\n]{3,30},)? is "  # noqa: E501
        r"(?-i:(?P<code>(?:[A-Z]{1,6}[-/]?)?(?=[\w/.-]{0,12}\d)[\w/.-]{3,24}))"
    ),
    re.compile(
        r"(?im)^[ \t]{0,9}your ref(?:erence)?[ ]?\.{3,30}[ ]?(?-i:(?P<code>[\w/.-]{4,24}))[ \t]*$"
    ),
    re.compile(
        r"(?i)(?<![\w-])(?<!your )ref(?:erence|\.)?:? (?-i:(?:[A-Z][\w.]* ){1,3}(?P<code>[A-Z]{1,5}[-/]\d[\w/-]{0,12}))"  # noqa: E501
    ),
    re.compile(r"(?im)on all papers(?: please)?: ?(?-i:(?P<code>[\w/-]{4,20}))"),
)
#: A code in brackets at the end of a subject.
_SUBJECT_END = re.compile(
    r"(?im)^(?:subject|betreff|objet|asunto|re)[ \t]*:[^\n]{0,120}\((?-i:(?P<code>[A-Z]{1,6}[-/][\w/-]{1,16}))\)[ \t]*$"  # noqa: E501
)
#: An order told of the past.
_PAST = re.compile(
    r"(?i)last y(?:ea)?r|last time|we had|we bought|previous|old order|letzte[sn]? (?:jahr|mal)|damals|l'an dernier"  # noqa: E501
    r"|la dernière fois|año pasado|última vez|back then|(?:19|20)\d\d on"
)
#: An order that the words after it tell of the past: "PO 88120 of last year".
_PAST_AFTER = re.compile(
    r"(?i)^\W{0,3}(?:of|from|in|vom|aus|de|du|del)?[ \t]?"
    r"(?:last (?:year|time|month|spring|summer|autumn|winter)|(?:im |dem )?letzten (?:jahr|mal)"
    r"|vorjahr|l'an dernier|l'année dernière|año pasado|19\d\d|20\d\d\b)"
)
#: A reference has so many signs; shorter numbers are quantities and sizes.
_SHORTEST = 4
_AFTER_SIZE = re.compile(
    r"(?i)^[ \t]{0,3}(?:mm|cm|m|in|ft|inch|\"|'|mesh|rolls?|discs?|pcs|pieces|panels|strips|sheets|rollen|stück|rouleaux|rollos|x[ \t]{0,3}\d)\b"  # noqa: E501
)


def references(text: str) -> list[tuple[int, Found]]:
    """Every reference of the letter, with its rank: own words first."""
    out = []
    for rank, pattern in enumerate(
        (_TO_NAME[0], *_REFERENCES, *_TO_NAME[1:], _SUBJECT_END, _BRACKETED, _BARE)
    ):
        for found in pattern.finditer(text):
            code = found["code"].rstrip("./-")
            start = found.start("code")
            before = text[max(found.start() - 16, 0) : found.start()]
            told = text[max(found.start() - 45, 0) : found.start()].rsplit("\n", maxsplit=1)[-1]
            after = text[start + len(code) : start + len(code) + 30]
            if _PAST.search(told) or _PAST_AFTER.match(after):
                continue
            if (
                len(code) < _SHORTEST
                or not any(c.isdigit() for c in code)
                or _NOT_OURS.search(before)
                or re.fullmatch(r"\d{1,2}[./-]\d{1,2}[./-]\d{2,4}|(?:19|20)\d\d", code)
            ):
                continue
            sized = not re.search(r"[A-Za-z]", code)
            if (rank and sized and _AFTER_SIZE.match(after[:12])) or (
                re.fullmatch(r"[\d.,]+(?:mm|cm|m|in)?", code) and not code.isdigit()
            ):
                continue
            out.append((rank, Found(code, start, start + len(code))))
    return out


def find_reference(text: str) -> Found | None:
    """Return the surest reference of a letter."""
    found = references(text)
    return min(found, key=lambda one: (one[0], one[1].start))[1] if found else None


def without_references(body: str) -> str:
    """Return the text with blanks where references stand: their digits are no sizes."""
    signs = list(body)
    for _, found in references(body):
        signs[found.start : found.end] = " " * (found.end - found.start)
    return "".join(signs)
