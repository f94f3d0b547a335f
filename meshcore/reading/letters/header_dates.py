"""By when goods are wanted."""

from __future__ import annotations

import re
from collections.abc import Iterator

from meshcore.reading.letters.found import Found, trimmed
from meshcore.reading.letters.never import MONTH as _MONTH

#: What ends the word before a value: a colon, dots or a sign of equality.
KEY_END = r"[ \t]{0,3}(?::|\.{3,30}|=)[ \t\n]{1,6}"
_DAY = (
    r"(?:(?:mon|tue|tues|wed|weds|wednes|thu|thur|thurs|fri|sat|satur|sun)(?:day)?|montag|dienstag|mittwoch|donnerstag|freitag|samstag|sonntag"
    r"|lundi|mardi|mercredi|jeudi|vendredi|samedi|lunes|martes|miércoles|jueves|viernes|sábado)\b\.?"
)
_NTH = r"\d{1,2}(?:st|nd|rd|th|\.|er)?"
_DM = r"(?:0?[1-9]|[12]\d|3[01])[./-](?:0?[1-9]|1[0-2])"
_NUMERIC = rf"(?:(?<![\d.,/]){_DM}[./-](?:20\d\d|\d\d(?!\d))|\b20\d\d-\d\d-\d\d\b)"
#: Month and day, as written in North America.
_US = r"(?<![\d.,/])(?:0?[1-9]|1[0-2])/(?:1[3-9]|2\d|3[01])(?:/(?:20)?\d\d)?(?![\d/\"'])"
#: A day and month alone could be a size: it must follow a day's name or "by".
_SHORT = rf"(?<![\d.,/]){_DM}\.?(?![\d/\"'])(?![ \t]?(?:mm|cm|m|in|inch|mesh|ft)\b)"
_SEASON = (
    r"(?:(?:xmas|christmas|summer) (?:shutdown|stop)|xmas|easter|christmas|ostern|weihnachten|pâques|noël|navidad|semana santa|candlemas|whitsun|pfingsten"  # noqa: E501
    r"|bonfire night|half[- ]term|hallowe'?en|thanksgiving|labor day|memorial day|michaelmas|lammas|shrovetide"  # noqa: E501
    r"|(?:the )?(?:harvest|frost|lambing|season|summer (?:stop|break|holidays?)|autumn|winter|spring|grape harvest|first frost)"  # noqa: E501
    r"|la rentrée|les vendanges|la toussaint|la pentecôte|la vendimia|la campaña|la cosecha|la temporada|der ernte|der kampagne|dem winter|den ferien|fasching)(?![a-z])"  # noqa: E501
)
_PART = (
    rf"(?:(?:the )?(?:end|beginning|start|middle|first week|second week|third week|last week|\d(?:st|nd|rd|th) week) of (?:the |next |nxt |this )?(?!our |my |these |those |this |it\b)[a-z]{{3,10}}|(?:early|mid|late)[ -](?:{_MONTH}|week|month|summer|autumn|spring|winter)"  # noqa: E501
    rf"|(?:mitte|anfang|ende) (?:{_MONTH}|des monats|der woche)|(?:début|fin|mi)[ -](?:{_MONTH}|du mois|de mois)|(?:a mediados|a finales|a principios|fin|finales|mediados|principios) de [a-z]+|any time in [a-z]+|in the new year"  # noqa: E501
    rf"|(?:erste|zweite|dritte|letzte)[nr]? woche (?:im )?(?:{_MONTH})|(?:première|deuxième|troisième|dernière) semaine d[e'’] ?(?:{_MONTH})|(?:primera|segunda|tercera|última) semana de (?:{_MONTH})"  # noqa: E501
    rf"|(?:première|seconde) quinzaine d[e'’] ?(?:{_MONTH})|(?:primera|segunda) quincena de (?:{_MONTH}))"  # noqa: E501
)
_WEEK = (
    r"(?:\b\d{1,2}\. ?(?:(?-i:KW)|kalenderwoche)\b"
    r"|(?:calendar week|kw|week|wk|semaine|semana|w/c|week commencing)[ \t]{0,3}\d{1,2}"
    r"(?:[ \t\n]{1,3}" + _MONTH + r")?)"
)
DATE = (
    rf"(?:(?:{_DAY}[ \t]{{0,2}},?[ \t]{{0,2}})?(?:the )?(?:{_NTH}[ \t\n]{{1,3}}(?:of |de )?{_MONTH}(?![a-z])(?:,?[ \t\n]{{1,3}}(?:del? )?\d{{4}}\b)?|{_NUMERIC}|(?<=day ){_SHORT}|(?<=by ){_SHORT}|(?<=bis ){_SHORT}|(?<=on ){_SHORT}|(?<=vor ){_SHORT}|(?<=before ){_SHORT}|(?<=le ){_SHORT}|(?<=by ){_US}|(?<=by: ){_US}|(?<=date: ){_US}|(?<=delivery ){_SHORT}|(?<=date: ){_SHORT}|(?<=before ){_US}|(?<=by: ){_SHORT}|(?<=latest ){_SHORT}|\d{{1,2}}(?:st|nd|rd|th)\b(?! week)(?: of (?:the|next|this) month)?)"  # noqa: E501
    rf"|{_MONTH}[ ]\d{{1,2}}(?:st|nd|rd|th)?\b(?:,? \d{{4}})?|{_WEEK}|{_PART}|{_SEASON}|the [a-z-]+ of {_MONTH}|(?:next|nxt|nächste[rn]?) (?:week|month|woche|{_DAY})|{_DAY}(?: (?:week|wk)\b)?)"  # noqa: E501
    r"(?: at the latest| latest| au plus tard)?"
)
_SPAN = r"(?:within(?: about)?|in(?: about)?|innert|innerhalb von|binnen|sous|dentro de|en|höchstens|máximo|maximum|max\.?)[ \t\n]{1,3}(?:\w+[ \t\n]{1,3}(?:weeks?|wks|wochen|semaines|semanas|days|tagen|tage|jours|días)|a fortnight)(?:['’] time| of order)?"  # noqa: E501
_WANTED_KEY = re.compile(
    r"(?im)^[ \t]{0,9}(?:[-*][ ])?(?:requested date|required(?: by| date)?|requested delivery(?: date)?|deliv\.? date|date of delivery|need by|latest|wanted(?: by)?|needed(?: by)?|need date|date (?:required|wanted|needed)|when|delivery(?: date| required| by)?|liefertermin|wunschtermin|termin|lieferdatum|lieferung"  # noqa: E501
    r"|livraison|délai(?: souhaité)?|date (?:de livraison|souhaitée)|entrega|fecha de entrega|plazo)"  # noqa: E501
    rf"{KEY_END}(?P<text>(?:by |before |bis |avant |antes |spätestens )?[^\n,;]{{0,30}}?(?:{DATE}|{_US}|{_SHORT}|{_SPAN}|\d(?:-\d)? (?:weeks|wochen|semaines|semanas)|\d{{1,3}} (?:working )?(?:days|tage|jours|días)|asap)[^\n,;.]{{0,20}})"  # noqa: E501
)
_WANTED = (
    re.compile(
        rf"(?i)\b(?:(?:release|delivery|due|target) date (?:is|will be)|(?<=[.;,] )(?:fecha|date|datum|termin):) ?(?P<text>{DATE})"  # noqa: E501
    ),
    re.compile(
        rf"(?i)\b(?:(?:required|req'?d|needed|needs?|wanted|wants?|want(?:s)? (?:it|them)|need(?:s)? (?:it|them|em|date)|deliver[a-z]*|reach us|on site|termin|liefertermin(?: jetzt)?:?|wunschtermin:?|lieferung|livraison|à livrer|entrega)"  # noqa: E501
        rf"\b[^.\n;]{{0,45}}?[ \t\n:,])(?:(?:by|for|in|on|latest|no later than|not later than|bis(?: zum| zur)?|spätestens(?: bis)?|pour le|le|para el|el|am)[ \t\n]{{1,3}})?(?P<text>(?:before |vor |avant (?:le )?|antes del? )?{DATE}|asap)"  # noqa: E501
    ),
    re.compile(
        rf"(?i)\b(?:by|no later than|not later than|latest|bis(?: zum| zur)?|para el|pour le|au plus tard(?: le)?|a más tardar el|spätestens(?: bis)?)[ \t\n]{{1,3}}(?P<text>{DATE})"  # noqa: E501
    ),
    re.compile(
        rf"(?i)\b(?P<text>(?:before|befor|b4|vor|avant(?: le| la)?|antes del?(?: la)?)[ \t\n]{{1,3}}{DATE}|{_SPAN}|{_WEEK}|\d(?:-\d)? w(?:ee)?ks(?: aro)|in time for [^.\n]{{3,30}}|asap|as soon as possible|tom+or+ow(?: if poss\w*)?)"  # noqa: E501
        rf"|\b(?:,|can u do|abholung|to the [a-z ]{{3,25}},)[ ](?P<day>next {_DAY}|{_DAY}(?: \d{{1,2}}(?:st|nd|rd|th))?)"  # noqa: E501
    ),
)
#: Ways of saying when goods are wanted that need no word of delivery.
_LOOSE = (
    re.compile(rf"(?i)\bdeliver[a-z]*\b[^.\n]{{0,30}} in (?P<text>{_MONTH})(?![a-z])"),
    re.compile(rf"(?im)^(?:\[[^\]\n]*\][ ]?)?(?:[^:\n]{{1,30}}: )?(?P<text>{_PART}),? to "),
    re.compile(
        r"(?i)(?P<text>(?:the )?(?:end|middle|beginning|start) of [a-z ]{3,20}?)(?=,? (?:is|would be|will be)? ?"  # noqa: E501
        r"(?:fine|ok\b|okay|soon enough|early enough|good|will do|would do|if you can))"
    ),
    re.compile(rf"(?i)\bany ?time (?P<text>(?:till|until|up to|before) (?:the )?{DATE})"),
    re.compile(rf"(?i)\b(?P<text>any ?time (?:after|in) (?:the )?{DATE})"),
    re.compile(
        rf"(?i)\b(?:recoj[eo]\w*(?: yo)?|recogemos(?: nosotros)?|abholung(?: durch uns)?(?: am)?|h[oo]l\w{{1,3}} [^.\n]{{0,20}}?"  # noqa: E501
        rf"|collect\w*(?: it| them| ourselves)?(?: on)?|pick(?:s|ed)? (?:it |them )?up(?: on)?|selbst ab,?|passerai[^.\n]{{0,20}}?)"  # noqa: E501
        rf" (?P<text>(?:el |le )?(?:next |nächste woche )?{_DAY}(?: \d{{1,2}}(?:st|nd|rd|th)?)?)"
    ),
    re.compile(
        rf"(?i)(?P<text>para (?:finales|principios|mediados) de [a-z]+|courant {_MONTH}(?![a-z])|im {_MONTH}(?![a-z]))"  # noqa: E501
    ),
    re.compile(r"(?i)\b(?:pour|für|para|for)[ \t\n](?P<text>" + _PART + r")"),
    re.compile(
        r"(?i)(?P<text>lo (?:antes|más pronto) posible|so bald wie möglich|schnellstmöglich|dès que possible|au plus vite|so schnell wie möglich)"  # noqa: E501
    ),
    re.compile(
        r"(?i)(?:delivery|lieferzeit|délai|plazo)[ :]{1,3}(?P<text>(?:höchstens |máximo |maximum )?(?:\d{1,2}|\w{2,6})(?: (?:to|-|bis) \d{1,2})? (?:weeks|wochen|semaines|semanas))"  # noqa: E501
        r"|(?P<day>(?:\d{1,2}|two|three|four|five|six) weeks)(?= (?:would be|is|are|will be) (?:good|nice|fine|ok))"  # noqa: E501
    ),
)
#: A sentence of what others offer says nothing of what is wanted.
_OTHERS = re.compile(
    r"(?i)someone else|somebody else|elsewhere|competitor|another (?:supplier|firm|mill|maker)|other supplier"  # noqa: E501
    r"|anderswo|mitbewerb|wettbewerb|andere[rn]? (?:anbieter|lieferant)|concurrent|autre fournisseur|ailleurs"  # noqa: E501
    r"|otro proveedor|competencia|otra empresa"
)
#: A day that dates a letter, an order or a call.
_DATED = re.compile(
    r"(?i)(?:letter|mail|e-?mail|email|note|fax|message|quote|quotation|offer|enquiry|order|call|invoice|lettre|courrier"
    r"|brief|schreiben|nachricht|anfrage|carta|correo|oferta)\W+(?:of|from|dated|vom|von|du|del|de)\W*(?:the\W*)?$"
)
_RETURN = re.compile(
    r"(?i)(?:return|reply|answer|quote[sd]?|offer|closes?|closing|respond|réponse|antwort|angebot|anbieten|paid|pay|took|start(?:s)?|opens?|on file|placed|valid(?:ity)?|lasted|not|until|sent|none|nothing|nobody|nichts|keine|rien|nada|call(?:ed)?|ring|on leave|since|ago|last)\W+(?:\w+\W+){0,4}$"  # noqa: E501
)
_AFTER_DATE = re.compile(
    r"(?i)^,? \d{1,2}[:.]\d\d|^[^.\n]{0,12}\b(?:anbieten|offerieren|antworten|feet|foot|inch(?:es)?|mm|cm|ft)\b"  # noqa: E501
)


_MAIL = re.compile(r"\S+@\S+")
#: A "not" that denies nothing.
_NOT_LATER = re.compile(r"(?i)\b(?:not|no) later than\b")
#: By when a price is wanted, not the goods: "firm price needed by the 5th".
_PRICE = re.compile(
    r"(?i)\b(?:prices?|pricing|quotations?|bids?|tenders?|preise?|prix|precios?|offerte?|devis)\W+"
    r"(?:(?:needed|required|wanted|due|please|is|are|benötigt|erbeten|souhaité)\W+){0,2}"
    r"(?:(?:by|for|on|before|bis|zum|pour|avant|para|antes)\W+){0,2}(?:the\W+|le\W+|el\W+)?$"
)


def find_date(body: str) -> Found | None:
    """Return by when goods are wanted."""
    return next(_dates(body), None)


def _dates(body: str) -> Iterator[Found]:
    """Dates that goods are wanted by, the surest way of saying so first."""
    for found in _WANTED_KEY.finditer(body):
        yield _with_dot(body, found, "text")
    for pattern in (*_WANTED, *_LOOSE):
        for found in pattern.finditer(body):
            name = "text" if found["text"] else "day"
            start = found.start(name)
            if _is_of_else(body, start, found.end(name)):
                continue
            if re.search(r"(?i)\d (?:feet|foot|inch|mm|cm|m|ft|in)\b", found[name]):
                continue
            yield _with_dot(body, found, name)


def _with_dot(body: str, found: re.Match[str], name: str) -> Found:
    """Return what is found, with the dot after it: a day may be written with one."""
    dot = "." if body[found.end(name) :][:1] == "." else ""
    return trimmed(found[name] + dot, found.start(name))


def _is_of_else(body: str, start: int, end: int) -> bool:
    """Whether a day is that of a reply, a letter or of what others offer."""
    before = body[max(start - 60, 0) : start].rsplit("\n", maxsplit=1)[-1]
    before = re.split(r"[.!?] ", _MAIL.sub("mail", before))[-1]
    before = _NOT_LATER.sub("by", before)
    if _PRICE.search(before):
        return True
    if _RETURN.search(before) or _DATED.search(before) or _AFTER_DATE.match(body[end:][:30]):
        return True
    low = max(body.rfind(sign, 0, start) for sign in (". ", ".\n", "\n\n", "? ", "! "))
    return bool(_OTHERS.search(body[low + 1 : end]))
