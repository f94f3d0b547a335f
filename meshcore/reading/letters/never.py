"""What in a letter is never a size or a quantity, and is left out before reading."""

from __future__ import annotations

import re
from collections.abc import Callable

MONTH = (
    r"(?:jan(?:uary|uar|vier|\.)?|feb(?:ruary|ruar|\.)?|f[ée]v(?:rier|\.)?|mar(?:ch|s|zo|\.)?|märz|apr(?:il|\.)?|"
    r"avril|abril|may|mai|mayo|june?|juni|juin|junio|july?|juli|juillet|julio|aug(?:ust|\.)?|août|agosto|"
    r"sept?(?:ember|embre|iembre|\.)?|o[ck]t(?:ober|obre|ubre|\.)?|nov(?:ember|embre|iembre|\.)?|"
    r"d[eé][cz](?:ember|embre|\.)?|dic(?:iembre)?|ene(?:ro)?|febrero)"
)
_NTH = r"\d{1,2}(?:st|nd|rd|th|er|\.|º|ª)?"
_PLACE = (
    r"unit|block|bay|gate|building|bldg|dock|room|house|kiln|plant|store no\.?|box|ext\.?|hatch|slip|berth|shed|"  # noqa: E501
    r"stage|tor|halle|bau|schuppen|porte|quai|muelle|nave|puerta|atelier|hangar|b[âa]timent|door|yard|floor|street|"
    r"hall|site|werk|line no\.?|rev|hutch|cell house|tower|machine|"
    r"dryer no\.|kiln no\.|no\. ?\d+ (?:mill|dryer|kiln)|job|invoice|rechnung|facture|factura|acct?\.?|a/c|account|"  # noqa: E501
    r"offer|offre|oferta|angebot|customer no\.?|konto|vat|tva|nif|cif|ust|p\.?o\.?|pr|po number|purchase order|"  # noqa: E501
    r"order no\.?|part no\.?|p/n|article no\.?|plz|cp|estate|lane|road|p\.o\. box|po box|zip|am wehr"  # noqa: E501
)
#: Numbers with strokes before what is ordered are counts: "1/3/10 rolls".
_NO_GOODS = (
    r"(?! (?i:rolls?|discs?|pcs|panels?|off|sheets?|pieces?|rollen|stück|rouleaux|pièces|rollos|"
    r"piezas)\b)"
)
#: Each pattern with what it is: all of it is general knowledge of letters, none of the trade.
_PATTERNS: tuple[tuple[str, str], ...] = (
    ("address", r"[\w.+-]{1,64}@[\w.-]{1,253}|https?://\S{1,500}|www\.\S{1,500}"),
    (
        "time of a chat",
        r"(?m)^[ \t]{0,9}\[?(?:(?<=\[)[^\W\d]{2,9}\.?,?[ ])?\d{1,2}[:.]\d{2}(?:[:.]\d{2})?\]"
        r"|^[ \t]{0,9}\[?\d{1,2}[./-]\d{1,2}[./-]\d{2,4},?[ ]\d{1,2}[:.]\d{2}(?:[:.]\d{2})?(?:[ ][ap]m)?\]?(?:[ ]-)?",  # noqa: E501
    ),
    (
        "telephone",
        r"(?i)\b(?:tel|telephone|telefon|phone|ph|fax|mob|mobile|móvil|movil|handy|t[ée]l|tfno?|[tfm](?=[:.] ?[+(0])|"  # noqa: E501
        r"[tf](?= 0)|rückruf|call)\b[.:]*[ \t]{0,3}\+?[\d(][\d ()/.-]{5,20}\d(?: ?- ?\d{1,6})?",
    ),
    (
        "telephone",
        r"(?<![\w.,])\+?\(?0\d{2,5}\)?(?: ?[/-] ?| )(?:\d(?: ?[/-] ?| )?){5,20}\d(?![.,]\d)|(?<![\w.,-])0\d{3,4} \d{3} \d{3,4}"  # noqa: E501
        r"|(?<!\d)\b555-\d{4}\b|(?<![\w.,])0\d(?: \d\d){4}",
    ),
    ("telephone", r"(?<![\w.,])\+\d{1,3}(?:[ ./-]{1,2}\(?\d{1,5}\)?){2,6}(?![\w,])"),
    (
        "date",
        rf"(?i)\b{_NTH}[ \t]{{0,3}}(?:-|to|and|bis|al|au)[ \t]{{0,3}}{_NTH}[ \t\n]{{1,3}}(?:of[ \t\n]{{1,3}}|de[ \t\n]{{1,3}})?{MONTH}\b(?:,?[ \t\n]{{1,3}}(?:de[ \t\n]{{1,3}})?\d{{4}})?",  # noqa: E501
    ),
    (
        "date",
        rf"(?i)\b{_NTH}[ \t\n]{{1,3}}(?:of[ \t\n]{{1,3}}|de[ \t\n]{{1,3}})?{MONTH}(?![a-z])(?:,?[ \t\n]{{1,3}}(?:de[ \t\n]{{1,3}}|del[ \t\n]{{1,3}})?\d{{4}})?",  # noqa: E501
    ),
    ("date", rf"(?i)\b{MONTH}[ \t\n]{{1,3}}\d{{1,2}}(?:st|nd|rd|th)?\b(?:,[ \t]{{0,3}}\d{{4}})?"),
    (
        "date",
        r"(?<![\w.,/-])\d{1,2}[./-]\d{1,2}[./-](?:\d{4}(?!\w)|\d{2}(?![\w,]))"
        + _NO_GOODS
        + r"|\b(?:19|20)\d{2}-\d{2}-\d{2}\b",
    ),
    (
        "date",
        r"(?i)(?<=by )\d{1,2}/\d{1,2}\b|(?<=by: )\d{1,2}/\d{1,2}\b|(?<=du )\d{1,2}/\d{1,2}\b|(?<=del )\d{1,2}/\d{1,2}\b|\bbis \d{1,2}\.\d{1,2}\.(?!\d)",  # noqa: E501
    ),
    (
        "year",
        r"(?i)\b(?:in|of|since|from|established|est\.?|seit|en|de|depuis|desde)[ \t\n]{1,3}(?:19|20|18)\d{2}\b"  # noqa: E501
        r"(?![ \t]{0,3}(?:[x×*]|by\b|par\b|por\b|sur\b|mm\b|cm\b|pcs\b|pieces\b|discs?\b))",
    ),
    (
        "week",
        r"(?i)\b(?:week|wk|kw|semaine|semana|sem\.?|w/c|kalenderwoche)[ \t]{0,3}\.?[ \t]{0,3}\d{1,2}\b",  # noqa: E501
    ),
    (
        "time",
        r"(?i)\b\d{1,2}[:.h]\d{2}[ \t]{0,3}(?:am|pm|h|uhr)\b|\b\d{1,2}:\d{2}\b"
        r"|\b\d{1,2}(?:[.:]\d{2})?[ \t]{0,3}(?:am|pm|uhr)\b"
        r"|\b\d{1,2}\.\d{2}[ ]?-[ ]?\d{1,2}\.\d{2}\b(?![ ]?(?:mm|m\b|in\b))"
        r"|(?<=day )\d{1,2}\.\d{2}\b|(?i:\b(?:mon|tue|tues|wed|thu|thur|thurs|fri|sat|sun)\.?[ ])\d{1,2}\.\d{2}\b",  # noqa: E501
    ),
    (
        "weekday",
        r"(?i)\b(?:mon|tues?|wed(?:nes)?|weds|thu(?:rs)?|fri|sat(?:ur)?|sun)(?:day)?[ \t\n]{1,3}\d{1,2}(?:st|nd|rd|th)\b",  # noqa: E501
    ),
    (
        "price",
        r"(?i)[£$€][ \t]?\d[\d.,]{0,12}|\b\d[\d.,]{0,12}[ \t]?(?:€|£|\$|eur\b|euros?\b|gbp\b|usd\b|chf\b|francs?\b|pesos\b)"  # noqa: E501
        r"|\bfr\.[ \t]?\d[\d.,]{0,12}|(?<![\w.,])\d{1,9}[.,]\d{2}[ \t]?(?:ea\b|each\b|a piece\b|a roll\b|per (?:roll|piece)\b|apiece\b|das stück)",  # noqa: E501
    ),
    (
        "price",
        r"(?i)(?<![\w.,])\d{1,6}(?:[.,]\d{1,2})?[ ](?:the|a|per|le|la|pro|das|die|el|por) (?:roll|piece|panel|disc|metre|sheet|set|rouleau|pièce|panneau|rolle|stück|rollo|pieza)\b(?=,? (?:was|is|were|then|last|too|which|and|but|;)|\.|,)",  # noqa: E501
    ),
    (
        "heat",
        r"(?i)(?<![\w.,])-?\d{1,5}(?:[.,]\d{1,3})?[ \t]?(?:°[ \t]?[cf]?\b|degrees?\b|deg\.?\b|grad\b|degrés\b|grados\b)|\b\d{1,5} c\b(?=[ \t\n]{1,3}(?:and|for|,))",  # noqa: E501
    ),
    (
        "place",
        rf"(?i)\b(?:{_PLACE})[ .:#]{{0,3}}(?:no\.?[ ]?|n°[ ]?)?(?:[A-Z]{{0,3}}[-/]?\d[\w/-]{{0,20}})"  # noqa: E501
        r"(?=[ \t]?(?:[,.;:)|\n]|$|and\b|of\b|in\b|for\b|due\b|rev\b|item\b|was\b|at\b|between\b|below\b|on\b|which\b|to\b))",  # noqa: E501
    ),
    (
        "drawing",
        r"(?i)\b(?P<keep>drg\.?|drawing|dwg\.?|zeichnung|plan|plano|sketch|skizze|croquis)"
        r"[ .:#]{0,3}(?:no\.?[ ]?|n°[ ]?|nr\.?[ ]?|number[ ])?(?:[A-Z]{0,5}[-/. ]?\d[\w./-]{0,20}|[A-Z]{1,5}-[\w/-]{1,20})"  # noqa: E501
        r"(?:[ ](?:rev|revision|ind(?:ex)?|blatt|sheet)\.?[ ]?\w{1,3})?"
        r"(?=[ \t]?(?:[,.;:)\n]|$|and\b|of\b|in\b|for\b|due\b|on\b|which\b|to\b|und\b|en\b|y\b|aus\b))",  # noqa: E501
    ),
    (
        "code",
        r"(?i)\b(?:(?:gate|door|entry|access|key ?pad|alarm|site|security|barrier)[ ]?(?:code|pin|no\.?|number)|code|pin"  # noqa: E501
        r"|türcode|torcode|digicode|código|code d'accès|serial(?: no\.?| number)?|s/n|seriennummer|n° de série"  # noqa: E501
        r"|baujahr|built|extension|durchwahl|poste tél|voyage(?: no\.?)?|flight|ticket(?: no\.?| number)?|case no\.?|log no\.?|net(?= (?:7|10|14|30|45|60|90)\b)|tax exempt no\.?"  # noqa: E501
        r"|vendor(?: no\.?)?|supplier no\.?|lieferantennr\.?|lieferanten-nr\.?|ph(?= ?\d\b(?![ ]?mm)))"  # noqa: E501
        r"[ ]?[:.#]?[ ]?(?:\d[\d-]{0,12}#?|#?\d[\d#*-]{1,12})(?![\d.,]*[ ]?(?:mm|cm|m|in|ft|mesh|x|rolls?|pcs)\b)",  # noqa: E501
    ),
    ("hours", r"(?<![\w.,])24[ ]?/[ ]?7(?!\w|[.,]\d)"),
    (
        "page",
        r"(?i)\b(?:page|seite|hoja|p[áa]gina)[ .:]{0,2}\d{1,3}[ ]?(?:/|of|von|de|sur)[ ]?\d{1,3}\b",
    ),
    (
        "greeting",
        r"(?im)^[ \t]{0,9}(?:dear|hello|hi|hiya|morning|good (?:morning|afternoon|evening)|"
        r"sehr geehrte[rs]?|guten (?:tag|morgen)|hallo|bonjour|madame|monsieur|ch[eè]re?|hola|"
        r"buen[oa]s (?:d[ií]as|tardes)|"
        r"estimad[oa]s?)\b[^\n,:;.!?\d]{0,40}[,!]?[ \t]*$",
    ),
    ("name", r"\b(?:Mr|Mrs|Ms|Miss|Mme|Mlle|Herr|Frau|Hr|Sra?)\.?[ ][A-ZÄÖÜÉ][a-zäöüéß]{1,30}\b"),
    ("thread", r"\bM\d{1,2}(?: ?x ?\d{1,3})?\b(?! ?m)(?=.{0,40}(?:bolt|screw|box))"),
    (
        "range",
        r"(?<![\w.,/-])\d{1,4}[ ]?-[ ]?\d{1,4}(?:[.,]\d{1,3})?[ ]?mm (?:feed|aggregate|stone|product|material|gravel|fraction)",  # noqa: E501
    ),
)
_COMPILED = tuple((what, re.compile(pattern)) for what, pattern in _PATTERNS)


def without_never(text: str, ignore: Callable[[int, int, str], None] | None = None) -> str:
    """Return the text with blanks where telephone numbers, dates, prices and places stand.

    Parameters
    ----------
    text
        Plain text.
    ignore
        Told of each stretch that is left out: start, end and what it is.

    Examples
    --------
    >>> without_never("10 rolls by 14 March, tel 01632 960 227").split()
    ['10', 'rolls', 'by', ',']
    """
    for what, pattern in _COMPILED:
        found = list(pattern.finditer(text))
        if not found:
            continue
        if ignore is not None:
            for one in found:
                ignore(one.start(), one.end(), what)
        text = pattern.sub(_blank, text)
    return text


def _blank(found: re.Match[str]) -> str:
    kept = found["keep"] if "keep" in found.re.groupindex else ""
    return kept + re.sub(r"[^\n]", " ", found[0][len(kept) :])
