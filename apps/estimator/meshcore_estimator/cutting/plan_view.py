"""A cutting plan on the screen: the picture, patterns, cloth to buy, what is left over."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

import streamlit as st

from meshcore.commands.cutting_report import plan_svg
from meshcore.supply.cutting import CuttingPlan
from meshcore.supply.nesting.plan import Cloth, NestPlan
from meshcore.supply.offcuts import Offcut
from meshcore.supply.slitting.plan import Lane, Run, SlitPlan
from meshcore_estimator.shared import charts
from meshcore_estimator.shared.numbers import converted, fixed, percent, size
from meshcore_estimator.shared.parts import Cell, aside, lines, soft, table, tag
from meshcore_estimator.shared.roles import Deed, may

#: How what is marked is drawn; the heavy line is seen in black and white too.
_MARK = "fill:#d98200;fill-opacity:0.85;stroke-width:3.5px"
#: Offcuts that are listed at most; beyond that they are crumbs.
_MOST_OFFCUTS = 20


def draw(plan: CuttingPlan, names: Sequence[str]) -> None:
    """Draw a plan.

    Parameters
    ----------
    plan
        The plan.
    names
        What its lines are of, in the order of ``plan.rows``.
    """
    st.header("Cutting plan", anchor=False)
    marked = _ask_marked(plan, names)
    with st.container(key="cutting_drawing_box"):
        drawn = with_marks(plan, plan_svg(plan, charts.theme()), marked)
        st.image(drawn, width="stretch", alt=_in_words(plan))
    with st.container(key="cutting_patterns"):
        match plan.layout:
            case SlitPlan() as slit:
                _slit(plan, slit, _items(slit, marked))
            case NestPlan() as nest:
                _nest(plan, nest, names, marked)


def _ask_marked(plan: CuttingPlan, names: Sequence[str]) -> int | None:
    """Draw the choice of what is marked in the drawing and the table; None for nothing."""
    numbers = range(len(names))
    chosen: int | None = st.selectbox(
        "Mark in the drawing and the table", numbers, index=None, placeholder="Nothing",
        format_func=lambda n: f"{n + 1}: {names[n]}", key=f"cutting_marked_{plan.rows[0]}",
    )  # fmt: skip
    # What was chosen of another order may not be there any more.
    return chosen if chosen in numbers else None


def _items(plan: SlitPlan, marked: int | None) -> tuple[int, ...]:
    """Items that a strip is made of."""
    return () if marked is None else tuple(item for item, _ in plan.parts_of_strip[marked])


def with_marks(plan: CuttingPlan, svg: str, marked: int | None) -> str:
    """Return the drawing with a strip or the pieces of a shape filled and heavily outlined."""
    if marked is None:
        return svg
    if isinstance(plan.layout, SlitPlan):
        chosen = [f'[data-item="{item}"]' for item in _items(plan.layout, marked)]
    else:
        chosen = [f'[data-shape="{marked + 1}"]']
    inside, end, after = svg.rpartition("</svg>")
    return f"{inside}<style>{','.join(chosen)}{{{_MARK}}}</style>{end}{after}"


def _in_words(plan: CuttingPlan) -> str:
    if isinstance(plan.layout, SlitPlan):
        return f"Slit plan in {len(plan.layout.runs)} patterns, listed below"
    return "Nest of all pieces on the cloth, to scale"


def _slit(cut: CuttingPlan, plan: SlitPlan, marked: tuple[int, ...]) -> None:
    _titled("Patterns", table(
        ("No.", "Cloth", "Length", "Lanes", "Repeats"),
        [
            (str(number), _mm(plan.terms.stocks[run.stock].width_m), _long(run.length_m),
             _lanes(plan, run, marked), f"× {run.repeats}")
            for number, run in enumerate(plan.runs, start=1)
        ],
        numeric=(4,),
    ))  # fmt: skip
    left, right = st.columns(2, gap="medium")
    with left:
        _titled("Cloth to buy", table(
            ("Stock width", "Roll", "Length", "Count", "Holds"), _rolls(plan), numeric=(0, 2, 3)
        ))  # fmt: skip
        _overs(plan)
    with right:
        _left_over(cut, plan.offcuts)


def _lanes(plan: SlitPlan, run: Run, marked: tuple[int, ...]) -> Cell:
    """Lanes of a pattern, alike ones together, and what lies end to end in each."""
    counts = Counter(run.lanes)
    edges = [soft("full width, edges as woven")] if run.as_woven else []
    return lines(*(_marked(f"{count} × {_lane(plan, lane)}", _holds(lane, marked))
                   for lane, count in counts.items()), *edges)  # fmt: skip


def _holds(lane: Lane, marked: tuple[int, ...]) -> bool:
    return any(item in marked for item, _ in lane.strips)


def _marked(words: str, is_marked: bool) -> Cell:
    return tag(f"{words} ◀ marked", "review") if is_marked else words


def _lane(plan: SlitPlan, lane: Lane) -> str:
    strips = " + ".join(
        f"{count} of {_long(float(plan.items.length_m[item]))}" for item, count in lane.strips
    )
    return f"{_mm(lane.width_m)}: {strips}"


def _rolls(plan: SlitPlan) -> Iterable[tuple[Cell, ...]]:
    for number, (stock, rolls) in enumerate(zip(plan.terms.stocks, plan.rolls, strict=True)):
        patterns = [n for n, run in enumerate(plan.runs, start=1) if run.stock == number]
        for roll in rolls:
            held = [f"{n} × no. {p}" for n, p in zip(roll.runs, patterns, strict=True) if n]
            yield (_mm(stock.width_m), roll.kind, _long(roll.length_m), str(roll.count),
                   soft(", ".join(held)))  # fmt: skip


def _overs(plan: SlitPlan) -> None:
    rows = [
        (f"{over} × {_mm(float(width))} × {_long(float(length))}",)
        for over, width, length in zip(
            plan.overs.tolist(), plan.items.width_m, plan.items.length_m, strict=True
        )
        if over
    ]
    if rows:
        _titled("Over: not ordered, not billed", table((), rows))
    if plan.joined_strips:
        st.html(aside(f"{plan.joined_strips} strips are longer than a roll and are joined.",
                      "review"))  # fmt: skip


def _nest(cut: CuttingPlan, plan: NestPlan, names: Sequence[str], marked: int | None) -> None:
    _titled("Cloth to buy", table(
        ("Cloth", "Width", "Length", "Pieces, numbered as in the picture", "Cut"),
        [
            (str(number), _mm(plan.width_m), fixed(cloth.length_m, 3, "m"),
             _pieces(cloth, names, marked), f"× {cloth.repeats}")
            for number, cloth in enumerate(plan.cloths, start=1)
        ],
        numeric=(4,),
    ))  # fmt: skip
    left, right = st.columns(2, gap="medium")
    with left:
        checked = "every outline inside the cloth, none overlapping another"
        _titled("How it was laid out", table((), [
            ("Method", plan.method),
            ("Checked", checked if plan.checked else tag("not checked: do not cut", "refused")),
            ("All cuts", fixed(plan.cut_length_m, 2, "m")),
            ("Seed", str(plan.seed)),
        ]))  # fmt: skip
    with right:
        _left_over(cut, plan.offcuts)


def _pieces(cloth: Cloth, names: Sequence[str], marked: int | None) -> Cell:
    counts = Counter(cloth.placements.shape.tolist())
    return lines(
        *(
            _marked(f"{number}: {counts[shape]} × {name}", shape == marked)
            for shape, (number, name) in enumerate(enumerate(names, start=1))
            if shape in counts
        )
    )


def _left_over(plan: CuttingPlan, offcuts: Sequence[Offcut]) -> None:
    """Draw what is left over, largest first, and what of it is kept and credited."""
    kept = set(plan.kept)
    largest = sorted(offcuts, key=lambda offcut: -offcut.area_m2)
    rows: list[tuple[Cell, ...]] = [
        (
            lines(f"{_mm(o.width_m)} × {_long(o.length_m)}", soft(o.where)),
            str(o.count),
            fixed(o.area_m2, 2, "m²"),
            tag("keep", "ok") if o in kept else "",
        )
        for o in largest[:_MOST_OFFCUTS]
    ]
    none = () if rows else ((soft("nothing but edges and what lies between pieces"),),)
    headings = ("Offcut", "Count", "Area", "") if rows else ()
    _titled("Left over", table(headings, rows or none, numeric=(1, 2)))
    if more := len(largest) - len(rows):
        st.caption(f"and {more} smaller kinds")
    if may(Deed.COSTS):
        st.caption(_credit(plan))


def _credit(plan: CuttingPlan) -> str:
    if plan.keep is None:
        return "The supply policy takes no offcuts back, so none is credited."
    least = f"{_mm(plan.keep.least_width_m)} × {_long(plan.keep.least_length_m)}"
    if not plan.kept:
        return f"None is as large as the supply policy takes back, {least}; none is credited."
    return (
        f"Offcuts of at least {least} are kept and credited at {percent(plan.keep.credit_share)} "
        f"of what their cloth cost: {percent(plan.credit_share)} of all the cloth here. The price "
        "has it, as the cost items show."
    )


def _titled(heading: str, html: str) -> None:
    st.markdown(f"**{heading}**")
    st.html(html)


def _mm(metres: float) -> str:
    return size(converted(metres, "m", "mm"), "mm", 5)


def _long(metres: float) -> str:
    return size(metres, "m", 5)
