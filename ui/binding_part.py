"""The binding of a quilt in its cloth: what to cut for it, told as a note and as a row of the list."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from textwrap import wrap

from blocks.lengths import inches_text, round_up, to_mm
from blocks.values import Draft
from cutting.binding import BindingPlan, binding_cut_in, plan_binding
from cutting.plan import metres_to_buy
from cutting.rows import SheetRow, sheet_rows
from cutting.rules import CuttingRules, is_metric, length_text
from cutting.sheet import cutting_text
from swatches.swatch import Swatch
from ui.bench import Worked
from ui.setting_words import rounded_in

__all__ = ["binding_bought", "binding_note", "binding_rows", "cutting_list_text", "cutting_rows"]

_WIDE = 96
"""As the rest of the list."""


_USUAL = CuttingRules()


def _plan(worked: Worked, rules: CuttingRules) -> tuple[BindingPlan, str, Swatch] | None:
    """The plan with its role and its cloth; None for a quilt without binding."""
    quilt = worked.drafted.quilt
    if quilt is None or quilt.setting.binding is None:
        return None
    binding = quilt.setting.binding
    swatch = worked.roles[binding.cloth]
    cut_in = round_up(binding_cut_in(binding.finished_in, seam_in=quilt.seam_in), step_in=rules.grid_in)
    plan = plan_binding(
        rounded_in(quilt.finished_width_in),
        rounded_in(quilt.finished_height_in),
        cut_in=cut_in,
        usable_in=swatch.width_of_fabric_in - rules.selvage_in,
        seam_in=quilt.seam_in,
    )
    return plan, binding.cloth, swatch


def binding_note(worked: Worked, *, rules: CuttingRules) -> tuple[str, ...]:
    """One sentence on the binding, in the ruler's own units; none for a quilt without one."""
    found = _plan(worked, rules)
    if found is None:
        return ()
    plan, role, swatch = found
    grid_in = rules.grid_in
    strips = f"{plan.strips} strip{'s' if plan.strips > 1 else ''}"
    return (
        f"Binding ({role}, {swatch.name}), double-fold: cut {strips} "
        f"{length_text(plan.cut_in, grid_in=grid_in)} wide across the cloth and join them on the diagonal to "
        f"{length_text(plan.joined_in, grid_in=grid_in)}; {length_text(plan.need_in, grid_in=grid_in)} go "
        f"once round, corners and last join included. Buy {_bought(plan, rules)} for it besides what is "
        "listed for its cloth. That is the least width: many makers cut it 1/4 to 1 in wider for the "
        "batting.",
    )


def cutting_list_text(draft: Draft, worked: Worked, *, rules: CuttingRules = _USUAL) -> str:
    """The whole cutting list as text, the strips of the binding among its cuts; draft: with its notes."""
    whole_quilt = worked.drafted.quilt is not None
    told = binding_note(worked, rules=rules)
    notes = tuple(note for note in draft.notes if note not in told)
    besides = {}
    for row in binding_rows(worked, rules=rules):
        size = f"{row.cut_width} x {row.cut_height} {row.unit}"
        besides[f"Binding: {row.cloth_name}"] = (
            f"cut  {'size':<{len(size)}}  for",
            f"{row.quantity:3}  {size}  {row.role} ({row.kind}, across the cloth)",
            "",
            *(line for note in told for line in wrap(note, _WIDE)),
        )
    return cutting_text(
        replace(draft, notes=notes),
        worked.plans,
        names=worked.cloth_names(),
        whole_quilt=whole_quilt,
        besides=besides,
    )


def binding_bought(worked: Worked, *, rules: CuttingRules) -> tuple[Swatch, str] | None:
    """The cloth of the binding and how much of it to buy for the binding alone; None without one."""
    found = _plan(worked, rules)
    return None if found is None else (found[2], _bought(found[0], rules))


def _bought(plan: BindingPlan, rules: CuttingRules) -> str:
    if is_metric(rules.grid_in):
        return f"{float(metres_to_buy(plan.cloth_in)):g} m"
    return f"{inches_text(plan.yards)} yd"


def cutting_rows(worked: Worked, *, rules: CuttingRules = _USUAL) -> tuple[SheetRow, ...]:
    """Every row of the cutting list, the binding last."""
    rows = sheet_rows(worked.drafted.draft, worked.plans, names=worked.cloth_names())
    return (*rows, *binding_rows(worked, rules=rules))


def binding_rows(worked: Worked, *, rules: CuttingRules) -> tuple[SheetRow, ...]:
    """The binding strips as a row of the cutting list; none for a quilt without binding."""
    found = _plan(worked, rules)
    if found is None:
        return ()
    plan, role, swatch = found
    metric = is_metric(rules.grid_in)
    usable_in = swatch.width_of_fabric_in - rules.selvage_in

    def on_ruler(length_in: Fraction) -> str:
        return f"{float(to_mm(length_in)):g}" if metric else inches_text(length_in)

    return (
        SheetRow(
            cloth=swatch.key,
            cloth_name=swatch.name,
            letter="binding",
            role=role,
            kind="binding strip",
            quantity=plan.strips,
            cut_width=on_ruler(usable_in),
            cut_height=on_ruler(plan.cut_in),
            unit="mm" if metric else "in",
            rounded_up=False,
            exact_width_in=round(float(usable_in), 6),
            exact_height_in=round(float(plan.cut_in), 6),
            finished="",
            steps="binding",
            pieces="",
        ),
    )
