"""Where goods are to go."""

from __future__ import annotations

import re

from meshcore.reading.letters.found import Found, first_found
from meshcore.reading.letters.header_dates import DATE, KEY_END

_PLACE_KEY = re.compile(
    r"(?im)^[ \t]{0,9}(?:[-*][ ])?(?:deliver(?:y)?(?: to| address)?|ship(?:ping)?(?: to| address)?|destination|consignee|where to|lieferanschrift|lieferadresse|lieferort|lieferung(?: an)?"  # noqa: E501
    r"|versand(?: an)?|anlieferung(?: an)?|freight(?: to)?|to|empfänger|adresse de livraison|lieu de livraison|livraison|del|deliv|delivered|lugar de entrega|dirección de entrega|entrega|site)"  # noqa: E501
    rf"{KEY_END}(?P<text>[^\n]{{3,120}})"
)
_TO = re.compile(
    r"(?i)\b(?:(?:to be )?deliver(?:ed|y|ies)?(?: address)?(?: before [a-z ]{3,40}?(?=:))?(?:,? please,?)?(?: to| at|:)?|ship(?:ped)?(?: to|:)|send (?:it |them |all )?to|drops? (?:to|at)|drop (?:it|them|em) at"  # noqa: E501
    r"|del(?:iv)?\.? to|address the goods to|carriage to|all to be at|goods (?:(?:are|should|would|will|must|shall) )?(?:to )?(?:be )?(?:go |sent |delivered |shipped )?to|fob|dap|ddp|(?:reach|with) us[^.\n]{0,40}? at|req'?d? on|required on|liefer(?:ung|n)?(?: frei haus| an| nach| in|:)(?: die| den| das)?"  # noqa: E501
    r"|nach(?= werk)|versand an|lieferadresse:?|lieferanschrift:?|livraison(?: à| au| aux|:| :)|livre[rz] (?:à|au)|entreg(?:ar|a|uen)(?: en|:)|entréguese en|se entrega en|alles nach)[ \t\n]{1,3}"  # noqa: E501
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
    r"(?im)\b(?P<text>(?:we |he |she |i |i'll |we'll |ill |their van |our van |our lorry |my brother )?(?:will |would )?(?:(?<!frt )(?<!freight )collects?|pick(?:s)? (?:it |them )?up)"  # noqa: E501
    r"(?: (?:himself|herself|ourselves|it with [^.\n,]{3,25}|from you[^.\n]*?(?= on |[.,\n]|$)|it|them))?"  # noqa: E501
    r"|(?:er |sie |wir )?hol(?:t|en) (?:selbst |die ware |sie )[^.\n]{0,20}ab|wird abgeholt|abholung(?: durch uns)?|selbstabholer|collecting"  # noqa: E501
    r"|(?:our|my|his|her|their) (?:driver|husband|wife|son|man|van|lorry|truck) (?:will )?(?:collects?|picks? (?:it |them )?up)"  # noqa: E501
    r"|à retirer chez vous[^.\n,]{0,30}|unser fahrer holt[^.\n]{0,15}|collection from your works|will send the lad with a van|lo recojo yo|recogemos[^.\n]{0,20}|pasamos a recoger(?:lo)?"  # noqa: E501
    r"|je (?:peux passer|passerai) [^.\n]{0,8}(?:chercher|prendre)(?: le tout)?|nous (?:venons|passons|passerons) [^.\n]{0,20}?chercher(?: nous-mêmes)?"  # noqa: E501
    r"|(?:(?<=^)|(?<=[.!?] ))ex works(?= is (?:fine|ok)| ok| please))\b"
)

_END_OF = r"(?P<text>[^\n;?!]{3,90})"
#: Further ways of telling a place, the surest first.
_MORE = (
    re.compile(
        r"(?i)\bdeliver(?:y|ies) (?:(?:is|are|should|must|shall|will|has) to be made|as (?:before|usual|always|last time)|is) "  # noqa: E501
        r"(?:to|at) (?=our |the |(?-i:[A-Z]))" + _END_OF
    ),
    re.compile(
        r"(?i)\b(?:the )?(?:place|address|site|destination)(?: of delivery)? (?:is|will be|shall be) "  # noqa: E501
        r"(?=our |the |(?-i:[A-Z]))" + _END_OF
    ),
    re.compile(
        r"(?m)(?:^|[.] )For (?P<text>(?:the |our )?[A-Z][^\n.,;]{3,50})(?=,? (?:wanted|needed|required))"  # noqa: E501
    ),
    re.compile(rf"(?i)\b(?:{DATE}),? to (?=our |the |(?-i:[A-Z])){_END_OF}"),
    re.compile(r"(?i)\bship\b[^.\n]{3,50}, to (?=our |the |(?-i:[A-Z]))" + _END_OF),
    re.compile(
        r"(?im)(?:^|[.!?;] )[ \t]{0,9}(?:[-*] )?(?:ship-?to|send(?: it| them)? to|site|goods to|place of delivery|delivery place"  # noqa: E501
        r"|where(?: to| shall we send it)?\??|versandadresse|lieferort|destino|destinatario|(?:for )?(?:the )?label|wohin)"  # noqa: E501
        r"[ \t]{0,3}(?::|=|\.{3,})[ \t]{1,6}[\"“]?(?P<text>[^\n\"”;]{3,90})"
    ),
    re.compile(
        r"(?i)(?:delivery address|lieferadresse|adresse de livraison|dirección de entrega) (?:is|ist|est|es) "  # noqa: E501
        + _END_OF
    ),
    re.compile(r"(?i)\bdeliver(?:y|ed)? (?:within|in|by|before|on) [^.\n]{3,24}? to " + _END_OF),
    re.compile(
        r"(?i)\blivraison (?:souhaitée|prévue|toujours|est|se|à faire|impérative|le|pour|avant|en)\b[^.\n]{0,35}? "  # noqa: E501
        r"(?:à|au|aux|chez) (?=(?:l['’]|la |le |notre |nos )|(?-i:[A-ZÉÈÀ]))" + _END_OF
    ),
    re.compile(
        r"(?i)\b(?:la )?entrega (?:deseada|prevista|siempre|es|será|el|para|antes)\b[^.\n]{0,35}? "
        r"en (?=(?:el |la |los |nuestr[oa] )|(?-i:[A-ZÁÉÍÓÚÑ]))" + _END_OF
    ),
    re.compile(r"(?i)\b(?:material|mesh|goods|them|it|these) (?:here )?at " + _END_OF),
    re.compile(r"(?i)lieferort:? " + _END_OF),
    re.compile(
        r"(?i)\b(?:they|it|these|those|that|everything|all|goods|parcel|mesh|lot)(?: all)?"
        r"(?: should| must| will| would| shall| are| is|'ll)?(?: to)?(?: be)? ?(?:go(?:es)?|come|sent|delivered|shipped)"  # noqa: E501
        r"(?: with \w+| by \w+)? (?:to|at) " + _END_OF
    ),
    re.compile(
        r"(?i)\b(?:truck freight|freight prepaid|with truck|carriage paid|on the usual van|post|drop) to "  # noqa: E501
        + _END_OF
    ),
    re.compile(r"(?i)\bgoods (?:are )?(?:for|on|at|in|to) " + _END_OF),
    re.compile(
        r"(?i)\bput [\"“](?P<text>[^\"”\n]{3,60})[\"”] on the (?:label|address|parcel|ticket)"
    ),
    re.compile(r"(?i)\b(?:on site|where (?:it|that|this|all) goes) \((?P<text>[^)\n]{3,60})\)"),
    re.compile(r"(?i)\breach us,? (?:that is|i\.e\.|at|in),? " + _END_OF),
    re.compile(
        r"(?i)\b(?:needed|required|need (?:it|them)|want (?:it|them)|like (?:it|them)|to be|must be) (?:at|in) "  # noqa: E501
        r"(?!least|most|the (?:end|first|same|middle)|all|order|touch|stock|hand|\d|[a-z]+ (?:weeks|days|with))"  # noqa: E501
        + _END_OF
    ),
    re.compile(
        r"(?i)\b(?:à envoyer|envoyer|expédier|à expédier|à livrer|mandar(?:lo|la|los|las)?|manden|enviar(?:lo|la|los|las)?"  # noqa: E501
        r"|envíen(?:lo|la)?|entregar|schicken|senden) (?:à|au|aux|a|en|al|chez|nach|an) " + _END_OF
    ),
    re.compile(
        r"(?i)\b(?:livraison (?=(?:usine|atelier|chantier|dépôt|magasin|entrepôt|site)\b)|chez nous à |preise frei )"  # noqa: E501
        + _END_OF
    ),
    re.compile(
        r"(?i)\b(?:in (?=unserer? (?:werkstatt|halle|filiale))|(?:an|in|nach|ins|auf|für) (?=unser\w{0,2} (?:lager|werk|betrieb))"  # noqa: E501
        r"|ins (?=werk )|, (?=werk [A-ZÄÖÜ])|an (?:die|den|das) (?=hof |baustelle ))" + _END_OF
    ),
    re.compile(
        r"(?m)^[ \t>]*(?:(?i:all )?[Tt]o|[Nn]ach|[Aa]n|À|[Aa]t) (?P<text>(?:the |our |la |le |den |die )?[A-ZÄÖÜÉ0-9][^\n]{2,70}?)"  # noqa: E501
        r"(?=,? (?:by|before|until|bis|avant|antes|pour|para|needed|please|spätestens)\b|,? ref\b|\.?\s*$)"  # noqa: E501
    ),
    re.compile(
        r"(?im)(?<=, )to (?P<text>(?:the|our) (?!attention|above|drawing|following|same|size|nearest|usual)[^\n.!?;]{3,60})"  # noqa: E501
    ),
    re.compile(
        r"(?im)(?:where to|where shall|deliver(?:y)?(?: address| to)?|ship(?:ping)?(?: to| where| address)?|lieferadresse|wohin|lieferung"  # noqa: E501
        r"|livraison|adresse|a?dónde|entrega|envío)[^\n?]{0,25}\?[^\n]*\n(?:\[?[\d:., /-]{4,20}\]?[ ]?-?[ ]?)?"  # noqa: E501
        r"(?:<?[^\W\d_][\w .()-]{1,30}>?[:>] )?(?P<text>[^\n]{4,80})"
    ),
    re.compile(
        r"(?im)\bfor (?P<text>our (?:new )?[^\n.,;]{4,50}?(?: at [^\n.,;]{3,40})?)(?=,? wanted|,? needed|,? by)"  # noqa: E501
    ),
)
#: Where a place ends: at a full stop, a date, or what else is asked for.
_PLACE_END = re.compile(
    r"(?i),? (?:pls|whenever|carriage paid|at your|if you can|this month|next (?:week|month)|which(?:ever)?\b|thanks|thx|latest"  # noqa: E501
    r"|late|spätestens|innert|innerhalb|binnen|pour (?=le|la|fin|début)|au plus tard|d'ici|para (?=el|la|finales|principios)"  # noqa: E501
    r"|cuando|lo antes|antes|gate code|door code|attn|tel|angeben|sailing|tom+or+ow|nxt|approx|befor|b4|anlieferung|please|as soon|asap|any ?time|where|so that|when|that's)\b"  # noqa: E501
    r"|,? all (?:together|at once|in one)\b|,? (?:not|no) later\b|,? (?:needed|due)\b"
    r"|,? (?:not|nicht|pas|no) (?:the|to|our|die|das|in|an|à|a|at|la|el)\b|,? in$|,? in (?:the )?(?:first|second|third|last|week|calendar)\b"  # noqa: E501
    rf"|(?<!\bNo)(?<!\bno)(?<!\bCo)(?<!\bSt)[.;](?:\s|$)|,? (?:by|before|no later|latest|within|not later|bis|avant|antes|please|wanted|w/c|required|in week|in time|on|until|need|and) |,? (?:semaine|semana|kw|calendar week) |,? (?=w/c)|[(]|,? (?:{DATE})(?=\W|$)"  # noqa: E501
)
_NO_PLACE = re.compile(
    r"(?i)^(?:has|have|had|was|were|may|could|must|should|can|moved|as before|as usual|as always|by|before|within|please|in|time|times?|is|would|for|date|as soon|asap|your works|\d+ (?:weeks|wochen|semaines|semanas)|ab werk|ex works|urgent)\b"  # noqa: E501
)


#: What stands before a place and is none of it.
_LEAD = re.compile(
    r"(?i)^(?:the goods are to be sent to|to be sent to|everything to|all (?:to|for)|it all to|goes to|carriage paid to|freight prepaid to"  # noqa: E501
    r"|with the others to|(?:our |the )?(?:site|address|yard|terms):|free to|free|franco|(?-i:for(?= [A-Z]))|(?-i:site(?= [A-Z]))|dap|ddp|fca|cpt|cif|to|at|an|nach|à|au|aux|frei|ins|kw \d{1,2},? an"  # noqa: E501
    r"|semana \d{1,2},|\d{1,2} [a-z]{3,9},)\s+"
)
#: A place of the mill's own, or none at all.
_NOT_THERE = re.compile(
    r"(?i)^(?:fob |ex )?(?:your|ihr\w{0,2}|votre|su) |^(?:talk|us|you|me|that|this|it|them|be|the|our|la|le|die|das|den|der|the latest|the end|the moment|all|size|order)$"  # noqa: E501
)
#: A size, and no place.
_SIZED = re.compile(
    r"(?i)\d ?(?:mm|mesh|micron|µm)\b|\d x \d|\b(?:stainless|galvani[sz]ed|brass|edelstahl|inox|weeks?|wochen|semaines)\b"  # noqa: E501
)


#: By when, before where: "within 3 weeks at our stores".
_SOONER = re.compile(
    r"(?i)^(?:within|in|by|before) [^,.;\n]{2,25}? (?:at|to) (?=our |the |(?-i:[A-Z]))"
)


def _told_place(text: str) -> str:
    """Return the words of a place alone; nothing where they tell of none."""
    text = _SOONER.sub("", text)
    text = _PLACE_END.split(text + " ")[0].strip(" ,.:-\"'“”)")
    for _ in range(2):
        text = _LEAD.sub("", text)
    text = text.strip(" ,.:-")
    told = len(text) > 2 and any(sign.isalpha() for sign in text)  # noqa: PLR2004
    if not told or _NO_PLACE.match(text) or _NOT_THERE.search(text) or _SIZED.search(text):
        return ""
    return "" if re.fullmatch(rf"(?i){DATE}", text) else text


def find_place(body: str) -> Found | None:
    """Return where goods are to go, or that they are fetched."""
    for pattern in (_PLACE_KEY, _TO, *_MORE[:8], _TO_PLACE, _TO_THE, *_MORE[8:]):
        for found in pattern.finditer(body):
            text = _told_place(found["text"])
            if not text:
                continue
            start = found.start("text") + found["text"].find(text)
            return Found(text, start, start + len(text))
    return first_found(_COLLECTS, body)
