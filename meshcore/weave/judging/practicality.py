"""Whether cloth can be woven: named rules, each with its value, limit, margin and origin."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from meshcore.arrays import BoolArray, IntArray, frozen
from meshcore.contained import within_time
from meshcore.enquiry import WEAVES
from meshcore.plugins import PLUGIN_ERRORS, PluginFault, PluginSet
from meshcore.rounding import SLACK
from meshcore.weave.cloth import ClothColumns, Judgement, WeaveRule
from meshcore.weave.judging.limits import value_text

#: Hook through which weave rules come.
HOOK = "meshcore_weave_rules"
#: Distribution whose rules give way to a mill's own rule of the same name.
BUNDLED_DISTRIBUTION = "wirecloth-meshcore"
#: Verdicts in the order of their codes.
VERDICTS: tuple[str, ...] = ("can be woven", "review", "cannot be woven", "not judged")
CAN_BE_WOVEN, REVIEW, CANNOT, NOT_JUDGED = range(len(VERDICTS))


@dataclass(frozen=True, slots=True)
class Finding:
    """What one rule says of one line, ready to show.

    Parameters
    ----------
    rule, field, plugin, origin
        Which rule, the enquiry column that it concerns, who brought it, where its limit is from.
    measured, limit
        Value found and value allowed, as text with units; the limit says ``at least``
        or ``at most``.
    margin
        How far inside the limit, as a share of it [-]; negative is outside.
    verdict
        Index into ``VERDICTS``.
    advice
        What would mend it; empty inside the limit.
    """

    rule: str
    field: str
    plugin: str
    origin: str
    measured: str
    limit: str
    margin: float
    verdict: int
    advice: str


@dataclass(frozen=True, slots=True)
class RuleResult:
    """One rule's judgement of all lines, and which of them are outside its limit."""

    plugin: str
    rule: WeaveRule
    judgement: Judgement
    outside: BoolArray

    def __reduce__(self) -> tuple[type[RuleResult], tuple[object, ...]]:
        """Leave the rule's function behind: it has judged, and a plugin's may not pickle."""
        told = replace(self.rule, judge=_judged_elsewhere)
        return RuleResult, (self.plugin, told, self.judgement, self.outside)


def _judged_elsewhere(_cloth: ClothColumns) -> Judgement:
    raise RuntimeError("this rule judged in another process; ask the plugin there for its function")


@dataclass(frozen=True, slots=True)
class Practicality:
    """The verdict on every line, and the rules that it is made of.

    Parameters
    ----------
    results
        One for each rule that could be used, in the order given.
    verdict
        Index into ``VERDICTS``, one a line.
    faults
        Rules set aside, and why.
    remedy
        Index into ``WEAVES`` of the weave that can be woven in the sizes of each line that cannot
        be as it is; -1 where none can or none is wanted. None where none was looked for.
    """

    results: tuple[RuleResult, ...]
    verdict: IntArray
    faults: tuple[PluginFault, ...]
    remedy: IntArray | None = None

    def findings(self, row: int) -> list[Finding]:
        """Return what each rule that speaks of line `row` found, the least margin first."""
        findings = [
            _finding(result, row, -1 if self.remedy is None else int(self.remedy[row]))
            for result in self.results
            if result.judgement.applies[row] and np.isfinite(result.judgement.margin[row])
        ]
        return sorted(findings, key=lambda f: f.margin)


def weave_rules(plugins: PluginSet) -> list[tuple[str, WeaveRule]]:
    """Rules of all plugins, each with its plugin's name.

    Notes
    -----
    A mill's rule stands in for the bundled rule of the same name, so that a mill can widen a
    customary limit as well as narrow it. Where two mills' plugins share a name, both judge.
    """
    rules = plugins.collect(HOOK, WeaveRule, _rule_fault)
    bundled = {r.name for r in plugins.records if r.distribution == BUNDLED_DISTRIBUTION}
    own = {rule.name for plugin, rule in rules if plugin not in bundled}
    return [
        (plugin, rule) for plugin, rule in rules if plugin not in bundled or rule.name not in own
    ]


def _rule_fault(rule: WeaveRule) -> str:
    if rule.severity not in _VERDICT_OF:
        return f'rule "{rule.name}" has severity {rule.severity!r}; use "review" or "refused"'
    if not callable(rule.judge):
        return f'rule "{rule.name}" has no function to judge with'
    return "" if rule.name and rule.origin else "a rule needs a name and the origin of its limit"


_VERDICT_OF = {"review": REVIEW, "refused": CANNOT}


def assess(cloth: ClothColumns, rules: Sequence[tuple[str, WeaveRule]]) -> Practicality:
    """Judge every line by every rule, silently.

    Parameters
    ----------
    cloth
        The cloth; lines with NaN sizes are not judged.
    rules
        Each with the name of the plugin that brought it.

    Returns
    -------
    The verdicts, with the judgements behind them.

    Notes
    -----
    A rule that raises, writes to its input or returns the wrong shape is set aside and named in
    `faults`; the others go on.
    """
    guarded = frozen(cloth)
    results: list[RuleResult] = []
    faults: list[PluginFault] = []
    for plugin, rule in rules:
        try:
            judgement = _checked(rule, guarded)
        except PLUGIN_ERRORS as error:
            where = f'{HOOK}, rule "{rule.name}"'
            faults.append(PluginFault(plugin, where, f"{type(error).__name__}: {error}"))
            continue
        outside = judgement.applies
        if outside.any():
            outside = judgement.margin < -SLACK
            outside &= judgement.applies
        results.append(RuleResult(plugin, rule, judgement, outside))
    return Practicality(tuple(results), _verdict(cloth, results), tuple(faults))


def _checked(rule: WeaveRule, cloth: ClothColumns) -> Judgement:
    with np.errstate(all="ignore"):
        judgement = within_time(partial(rule.judge, cloth), rule.judge, len(cloth.pitch_m))
    if not isinstance(judgement, Judgement):
        raise TypeError(f"returned {type(judgement).__name__}, not a Judgement")
    lines = cloth.pitch_m.shape
    for name, kind in (("applies", "b"), ("measured", "f"), ("limit", "f"), ("margin", "f")):
        column = getattr(judgement, name)
        if not isinstance(column, np.ndarray) or column.shape != lines or column.dtype.kind != kind:
            wanted = "bool" if kind == "b" else "float"
            raise TypeError(f"{name} must be a {wanted} array of {lines[0]} lines")
    return judgement


def _verdict(cloth: ClothColumns, results: Sequence[RuleResult]) -> IntArray:
    verdict = np.full(len(cloth.pitch_m), CAN_BE_WOVEN, dtype=np.int64)
    for code in (REVIEW, CANNOT):
        for result in results:
            if _VERDICT_OF[result.rule.severity] == code and result.outside.any():
                verdict[result.outside] = code
    verdict[np.isnan(cloth.pitch_m) | np.isnan(cloth.wire_diameter_m)] = NOT_JUDGED
    return verdict


def _finding(result: RuleResult, row: int, remedy: int) -> Finding:
    rule, judgement = result.rule, result.judgement
    measured, limit = float(judgement.measured[row]), float(judgement.limit[row])
    margin, outside = float(judgement.margin[row]), bool(result.outside[row])
    sense = _sense(measured, limit, margin)
    return Finding(
        rule=rule.name,
        field=rule.field,
        plugin=result.plugin,
        origin=rule.origin,
        measured=value_text(measured, judgement.unit),
        limit=sense + value_text(limit, judgement.unit),
        margin=margin,
        verdict=_VERDICT_OF[rule.severity] if outside else CAN_BE_WOVEN,
        advice=advice_text(rule, judgement, remedy) if outside else "",
    )


#: Fields that another weave may mend.
_MENDED_BY_WEAVE = ("weave", "wire_diameter", "aperture", "pitch", "mesh_count", "open_area")


def advice_text(rule: WeaveRule, judgement: Judgement, remedy: int) -> str:
    """Say what a line outside a rule's limit should do, and which weave takes its sizes.

    Parameters
    ----------
    rule, judgement
        The rule, and what it found.
    remedy
        As `Practicality.remedy` has it.

    Returns
    -------
    The rule's own advice, then the weave that can be woven as it stands. A rule sees its own limit
    alone; what it advised by name another rule might be against, and send the enquiry in a circle.
    """
    if rule.field not in _MENDED_BY_WEAVE or remedy < 0:
        return judgement.advice
    name = WEAVES[remedy]
    return f"{judgement.advice} {name[:1].upper()}{name[1:]} can be woven in these sizes."


def _sense(measured: float, limit: float, margin: float) -> str:
    """Tell an upper limit from a lower one; exactly at the limit, either reading is true."""
    if measured == limit:
        return ""
    return "at most " if (measured > limit) == (margin < 0) else "at least "
