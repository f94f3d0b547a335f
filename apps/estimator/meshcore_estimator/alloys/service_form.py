"""The service as it is typed: what the cloth must stand, and for how long."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence

import streamlit as st

from meshcore.alloys.comparison.assumptions import FIELD_WORDS, written
from meshcore.alloys.comparison.conditions import (
    CHOICES,
    ENVIRONMENTS,
    NOT_KNOWN,
    SERVICES,
    THREE_WAY,
    WATERS_MG_L,
)
from meshcore.alloys.comparison.reading_conditions import AMOUNTS, CONDITION_FIELDS
from meshcore.alloys.comparison.surroundings import Environment
from meshcore.alloys.methods.outdoor_loss import DEFAULT_LOST_SHARE
from meshcore.estimates.life_cost_reading import COST_FIELDS
from meshcore.messages import Message
from meshcore_estimator.shared import fields, settling
from meshcore_estimator.shared.numbers import short
from meshcore_estimator.shared.parts import field_notes

#: Every field of the form is kept in the session under its own name after this.
_KEY = "service_"
_KEPT = "service_kept"
#: Pause in typing after which a field is read.
_PAUSE = "500ms"
#: What the form opens with, and what besides on the demonstration data.
_FIRST = {"washing": NOT_KNOWN}
_DEMO = {"environment": "coastal", "years_wanted": "15 years"}
LABELS: Mapping[str, str] = {
    "environment": "Surroundings",
    "years_wanted": "Years wanted",
    "distance_to_sea": "Distance to the sea",
    "distance_to_salted_road": "Distance to a salted road",
    "so2": "Sulphur dioxide",
    "washing": "Washed by",
    "corrosivity": "ISO 9223 category",
    "lost_share": "Section that may be lost",
    "temperature": "Metal temperature",
    "chloride": "Chloride of the liquid",
    "water_temperature": "Water temperature",
    "contact_metal": "Metal of frame or fasteners",
    "concentration": "Strength",
    "ph": "pH",
    "chlorine": "Free chlorine",
    "flow": "Speed of the liquid",
    "hours": "Hours at temperature",
    "zinc": "Zinc on the wire",
    "coating": "Coating of the wire",
    "temper": "Temper of the wire",
    "load": "In tension",
    "stagnant": "Stands still",
    "abrasion": "Rubs",
    "oxidisers": "Oxidising ions",
    "ammonia": "Ammonia",
    "h2s": "Hydrogen sulphide",
    "fitting": "Fitting, each time",
    "down_time": "Down time, each time",
    "discount": "Discount a year",
}
#: Fields in pairs, by the kind of surroundings; what is not shown is not read.
_PAIRS: Mapping[str, tuple[tuple[str, ...], ...]] = {
    "": (("chloride", "water_temperature"),),
    "air": (("chloride", "water_temperature"),),
    "water": (("chloride", "ph"), ("chlorine", "flow")),
    "chemical": (("concentration", "chloride"), ("chlorine", "ph")),
    "ground": (("chloride", "ph"),),
    "gas": (("hours", "chlorine"),),
    "hot air": (("hours", "chlorine"),),
}
_WORDS = {"yes": "Yes", "no": "No", NOT_KNOWN: "Not known"}
_SINGLE = ("distance_to_sea", "distance_to_salted_road", "so2", "lost_share")
_WASHINGS = {"rain": "Rain", "cleaned": "Cleaning", "neither": "Neither", NOT_KNOWN: "Not known"}
_PLACES = {"sheltered_coast": "Baltic or German North Sea coast", "road_tunnel": "road tunnel"}
_NEEDS = {
    "non_magnetic": "non-magnetic", "food_contact": "fit for food",
    "drinking_water": "fit for drinking water",
}  # fmt: skip
_AFTER = {"weld": "welded", "form": "formed", "anneal": "annealed", "coat": "coated"}
_CHOSEN = {"place": _PLACES, "must_be": _NEEDS, "after_weaving": {s: _AFTER[s] for s in SERVICES}}

Notes = Mapping[str, Sequence[Message]]


def restore(is_demo: bool) -> None:
    """Bring back what was chosen before the user looked at another page."""
    first = _FIRST | (_DEMO if is_demo else {})
    first = {_KEY + name: text for name, text in first.items()}
    fields.restore(_KEY, st.session_state.setdefault(_KEPT, first))


def keep() -> None:
    """Remember what is chosen; the session forgets fields that are not on the screen."""
    st.session_state[_KEPT].update(fields.shown(_KEY))


def to_text() -> str:
    """Return what is chosen as text, to be kept over a reload."""
    kept = st.session_state.get(_KEPT)
    return json.dumps(kept) if kept else ""


def from_text(text: str) -> None:
    """Put back what `to_text` returned, into a session that has nothing yet."""
    st.session_state[_KEPT] = json.loads(text)


def texts() -> dict[str, str]:
    """Return the service as `read_conditions` of the library reads it."""
    hidden = {name for pairs in _PAIRS.values() for pair in pairs for name in pair}
    hidden -= {*_SINGLE, *(name for pair in _pairs() for name in pair)}
    typed = {name: "" if name in hidden else _typed(name) for name in CONDITION_FIELDS}
    for group, flags in _CHOSEN.items():
        for flag in flags:
            typed[flag] = "yes" if flag in (st.session_state.get(_KEY + group) or ()) else ""
    return typed


def cost_texts() -> dict[str, str]:
    """Return what a replacement costs as `read_life_cost` of the library reads it."""
    return {name: _typed(name) for name in COST_FIELDS}


def _typed(name: str) -> str:
    value = st.session_state.get(_KEY + name)
    return "" if value is None else str(value).strip()


def _shown(name: str) -> str:
    return fields.show(_KEY, _KEY + name)


def draw(notes: Notes) -> None:
    """Draw the form.

    Parameters
    ----------
    notes
        Field → what is said of it, shown below it.
    """
    st.header("Service", anchor=False)
    _choice("environment", "Choose the air around the cloth")
    with st.container(key="surroundings"):
        if place := ENVIRONMENTS.get(_typed("environment")):
            said = f" ISO 9223 category taken as {place.category}." if place.category else ""
            st.caption(f"{place.about[:1].upper()}{place.about[1:]}.{said}")
    _row(notes, "years_wanted", "temperature")
    for pair in _pairs():
        _row(notes, *pair)
    _three("load")
    _choice("contact_metal", "None, or insulated")
    _flags("must_be", "Must be")
    _flags("after_weaving", "After weaving, to be")
    with st.expander("What else is known", key="more_known"):
        for name in THREE_WAY:
            if name != "load":
                _three(name)
        _choice("temper", "Not named")
        _choice("coating", "Zinc, where the metal is coated")
        _row(notes, "zinc")
    is_priced = any(notes.get(name) for name in COST_FIELDS)
    with st.expander("Cost over the years", expanded=is_priced, key="cost_over_years"):
        st.caption("What each replacement costs besides the cloth, in the currency of the book.")
        _row(notes, "fitting", "down_time")
        _row(notes, "discount")
    is_said = any(notes.get(name) for name in _SINGLE)
    with st.expander("Single values, if known better", expanded=is_said, key="single_values"):
        _air(notes)


def refusal(messages: Sequence[Message]) -> str:
    """Word why nothing is judged."""
    said = " ".join(f"{LABELS.get(m.field, m.field)}: {m.text}" for m in messages)
    return f"The service is not understood. {said}"


def _air(notes: Notes) -> None:
    """Draw the single values that may be known better than the surroundings tell."""
    _row(notes, *_SINGLE[:2])
    _row(notes, *_SINGLE[2:])
    st.segmented_control(
        LABELS["washing"], list(_WASHINGS), key=_shown("washing"), persist_state="session",
        required=True,
        format_func=lambda name: _WASHINGS[name], width="stretch",
        help="What washes deposits off. Out of the rain and never cleaned is the worst.",
    )  # fmt: skip
    place = ENVIRONMENTS.get(_typed("environment"))
    category = place.category if place else ""
    _choice("corrosivity", f"{category}, by the surroundings" if category else "Not known")
    _flags("place", "Place")


def _pairs() -> tuple[tuple[str, ...], ...]:
    place = ENVIRONMENTS.get(_typed("environment"))
    pairs = _PAIRS[place.kind if place else ""]
    # Of few chemicals the speed counts: strong sulphuric acid is one.
    runs = place is not None and place.kind == "chemical" and "flow_m_s" in place.assumed
    return (*pairs, ("flow",)) if runs else pairs


def _three(name: str) -> None:
    place = ENVIRONMENTS.get(_typed("environment"))
    assumed = place.assumed.get(name) if place else None
    st.segmented_control(
        LABELS[name], list(_WORDS), key=_shown(name), persist_state="session",
        format_func=lambda word: _WORDS[word],
        help=f"Taken as “{assumed}” where nothing is chosen." if assumed else
        "Where nothing is chosen it is not known.", width="stretch",
    )  # fmt: skip


def _row(notes: Notes, *names: str) -> None:
    """Draw text fields side by side, and below them what is said of them."""
    for column, name in zip(st.columns(len(names), wrap=False), names, strict=True):
        with column, st.container(key=f"field_{name}"):
            _water(name) if name == "chloride" else _text(name)
    said = [m for name in names for m in notes.get(name, ())]
    with st.container(key=f"said_{'_'.join(names)}"):
        st.html(field_notes(said, LABELS))


def _text(name: str) -> None:
    st.text_input(
        LABELS[name],
        key=_shown(name),
        persist_state="session",
        placeholder=_typical(name) or f"e.g. {_example(name)}",
        live=_PAUSE,
        autocomplete="off",
    )


def _example(name: str) -> str:
    return COST_FIELDS[name][0].split(",")[0] if name in COST_FIELDS else CONDITION_FIELDS[name]


def _typical(name: str) -> str:
    """Value that the surroundings give a field that is left blank."""
    place = ENVIRONMENTS.get(_typed("environment"))
    if place is None:
        return ""
    match name:
        case "distance_to_sea":
            return _distance(place.distance_to_sea_m)
        case "distance_to_salted_road":
            return _distance(place.distance_to_salted_road_m)
        case "so2":
            return f"{short(place.so2_ug_m3)} µg/m³"
        case "lost_share":
            return f"{DEFAULT_LOST_SHARE:.0%}"
        case _:
            return _assumed(name, place)


def _assumed(name: str, place: Environment) -> str:
    """Value that a blank number is taken to have, as it is written."""
    field = AMOUNTS[name].window if name in AMOUNTS else name
    value = place.assumed.get(field)
    return written(field, value) if isinstance(value, float) and field in FIELD_WORDS else ""


def _distance(metres: float) -> str:
    return f"{short(metres)} m" if metres < float("inf") else "none near"


def _water(name: str) -> None:
    amounts = {water: f"{water.capitalize()}, {short(mg_l, 6)} mg/l"
               for water, mg_l in WATERS_MG_L.items()}  # fmt: skip
    st.selectbox(
        LABELS[name], list(amounts), index=None, key=settling.takes_new(_shown(name)),
        persist_state="session", accept_new_options=True,
        format_func=lambda water: amounts.get(water, str(water)),
        placeholder=_typical(name) or f"e.g. {CONDITION_FIELDS[name]}",
    )  # fmt: skip


def _choice(name: str, blank: str) -> None:
    with st.container(key=f"field_{name}"):
        st.selectbox(
            LABELS[name], CHOICES[name], index=None, key=_shown(name), persist_state="session",
            placeholder=blank,
            format_func=lambda choice: f"{choice[:1].upper()}{choice[1:]}",
        )  # fmt: skip


def _flags(group: str, label: str) -> None:
    st.pills(
        label, list(_CHOSEN[group]), selection_mode="multi", key=_shown(group),
        persist_state="session",
        format_func=lambda flag: _CHOSEN[group][flag],
    )  # fmt: skip
