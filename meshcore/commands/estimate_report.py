"""One estimate as a page of text."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from meshcore.costing.money import minor_digits, money_text
from meshcore.estimates.summary import path_comparison
from meshcore.estimates.unit_prices import unit_prices
from meshcore.estimates.wording import CAUTION, book_text, policy_text
from meshcore.weave.geometry import strength
from meshcore.weave.geometry.details import ClothDetails, cloth_details
from meshcore.weave.geometry.tolerances import APERTURE_STANDARDS
from meshcore.weave.judging.practicality import VERDICTS

if TYPE_CHECKING:
    import pandas as pd

    from meshcore.estimates.results import Estimate

_LABEL_WIDTH = 22
_MM, _PERCENT, _KILO = 1e3, 100.0, 1e3


def estimate_text(one: Estimate, per: str | None = None) -> str:
    """One estimate as a page of text: specification, verdict, mass, price and how it is made up.

    Parameters
    ----------
    one
        The estimate.
    per
        A unit whose price is told besides, of ``meshcore.estimates.unit_prices``.
    """
    sections = [
        _facts({"Status": one.status} | _specification(one) | _quantities(one)),
        "\n".join(f"{m.severity}: {m}" for m in one.messages),
        _verdict(one),
        "" if one.status == "refused" else _price(one),
        "" if one.status == "refused" or per is None else _per_unit(one, per),
        "\n".join(str(fault) for fault in one.estimates.faults),
        CAUTION,
    ]
    return "\n\n".join(section for section in sections if section)


def _per_unit(one: Estimate, per: str) -> str:
    price = float(unit_prices(one.estimates, per)[one.line])
    currency = one.estimates.ledger.currency
    told = "not sold by it" if math.isnan(price) else money_text(price, currency)
    return _facts({f"Price per {per}": told})


def _facts(facts: dict[str, str]) -> str:
    """Facts under their labels; what could not be worked out is left away."""
    return "\n".join(f"{k:<{_LABEL_WIDTH}}{v}" for k, v in facts.items() if "nan" not in v.split())


def _row(one: Estimate) -> dict[str, Any]:
    return {str(name): cell for name, cell in one.row.items()}


def _specification(one: Estimate) -> dict[str, str]:
    row, details = _row(one), cloth_details(one.estimates.orders.cloth)
    return {
        "Mesh count": f"{row['mesh_count_per_in']:.4g} per in",
        "Pitch": f"{row['pitch_mm']:.4g} mm",
        "Aperture": f"{row['aperture_mm']:.4g} mm {_aperture_way(one, details)}",
        "Wire diameter": f"{row['wire_diameter_mm']:.4g} mm {_wire_way(details)}",
        "Open area": f"{row['open_area_pct']:.1f} %{_open_ends(details)}",
        "Weave": f"{row['weave']}, wire {row['path_ratio']:.4f} times the cloth's length",
        "Thickness": f"{row['thickness_mm']:.3g} mm",
    }


def _aperture_way(one: Estimate, details: ClothDetails) -> str:
    """How far the average aperture may be off, by the standard of the weave."""
    way, sieve = (
        float(x[0]) * _MM for x in (details.aperture_tolerance_m, details.sieve_average_m)
    )
    if math.isnan(way):
        standard = APERTURE_STANDARDS[int(one.estimates.orders.cloth.weave[one.line])]
        return f"(tolerance not covered: that of {standard})"
    beside = "" if math.isnan(sieve) else f"; test sieve ± {sieve:.2g} mm"
    return f"± {way:.2g} mm on average, industrial cloth{beside}"


def _wire_way(details: ClothDetails) -> str:
    way = float(details.wire_tolerance_m[0]) * _MM
    return "(tolerance not covered)" if math.isnan(way) else f"± {way:.2g} mm"


def _open_ends(details: ClothDetails) -> str:
    low, high = (float(x[0]) * _PERCENT for x in (details.open_area_low, details.open_area_high))
    return "" if math.isnan(low) else f" ({low:.1f} to {high:.1f} at those tolerances)"


def _quantities(one: Estimate) -> dict[str, str]:
    row, estimates = _row(one), one.estimates
    details = cloth_details(estimates.orders.cloth)
    own = float(estimates.mass_per_area_kg_m2[0])
    paths = path_comparison(estimates)
    low, high = (
        float(share[0]) * own for share in (details.mass_share_low, details.mass_share_high)
    )
    return {
        "Density": f"{row['density_kg_m3']:.0f} kg/m³",
        "Mass per area": f"{own:.4f} kg/m² (flat 3 % rule: "
        f"{float(paths.flat_kg_m2[0]):.4f}, {float(paths.flat_over_arc[0]):+.2%}; "
        f"{low:.3f} to {high:.3f} at those tolerances)",
        "Breaking load": f"{float(details.breaking_load_low_n_m[0]) / _KILO:.3g} to "
        f"{float(details.breaking_load_high_n_m[0]) / _KILO:.3g} kN per metre of width. "
        f"{strength.CAUTION}",
        "Area": f"{row['net_area_m2']:.3f} m² from {row['gross_area_m2']:.3f} m² of cloth "
        f"({row['yield_pct']:.1f} %)",
        "Mass": f"{row['mass_kg']:.1f} kg ({row['mass_min_kg']:.1f} to {row['mass_max_kg']:.1f} "
        "at the delivery tolerances)",
    }


def _verdict(one: Estimate) -> str:
    """Write what each weave rule found, the least margin first."""
    practicality = one.estimates.practicality
    findings = practicality.findings(0)
    if not findings:
        return ""
    rows = [f"Verdict: {VERDICTS[int(practicality.verdict[0])]}"]
    rows.extend(
        f"  {f.rule}: {f.measured}, limit {f.limit} ({f.margin:+.0%}; {f.origin})" for f in findings
    )
    return "\n".join(rows)


def _price(one: Estimate) -> str:
    row, currency = _row(one), one.currency
    low, high = (money_text(float(row[f"price_{end}"]), currency) for end in ("min", "max"))
    facts = {
        "Price": f"{money_text(one.price, currency)} ({low} to {high} at the delivery tolerances)",
        "Price each": money_text(float(row["unit_price"]), currency),
        "Price book": book_text(one.estimates.book),
        "Supply policy": policy_text(one.estimates.policy),
    }
    return "\n".join([_facts(facts), "", items_text(one.cost_items, currency)])


def items_text(items: pd.DataFrame, currency: str) -> str:
    """Cost items as a table whose amounts add up."""
    digits = minor_digits(currency)
    heads = f"{'stage':<20}{'item':<28}{'quantity':>14} {'unit':<10}{'rate':>12}{'amount':>14}"
    rows = [heads, "-" * len(heads)]
    for item in items.to_dict("records"):
        in_money = item["unit"] == currency
        quantity = (
            money_text(item["quantity"], digits=digits) if in_money else f"{item['quantity']:,.4g}"
        )
        rows.append(
            f"{item['stage']:<20}{item['label'][:27]:<28}{quantity:>14} {item['unit'][:9]:<10}"
            f"{item['rate']:>12.5g}{money_text(item['amount'], digits=digits):>14}"
        )
    rows.append(f"{'':<20}{'total':<64}{money_text(items['amount'].sum(), digits=digits):>14}")
    return "\n".join(rows)
