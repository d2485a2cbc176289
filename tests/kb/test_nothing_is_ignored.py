"""What a job can state is read by some rule or measure, or listed here as kept only."""

import pytest

from selector.facts.view import View
from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.jobs.read import STATED, read_job
from selector.knowledge.base import Base
from selector.model.fact import Reading
from selector.model.rule import Path
from tests.conftest import ROOT

# Observed and shown, but no rule of this version reads them; why not.
KEPT_ONLY = {
    "plane.clips.fixed": "for `loads`: what each fixed clip of a sheet takes along the slope",
    "plane.closed_below": "for `loads`: the wind on modules",
    "plane.form": "for `loads`: the zones of the wind",
    "plane.height.eave": "for `loads`: a second look at outline and pitch",
    "plane.parapet": "for `loads`: wind and snow",
    "plane.parapet_height": "for `loads`: wind and snow",
    "plane.taller": "for `loads`: snow that drifts, and a roof that no table of the wind knows",
    "plane.taller_along": "for `loads`: snow that drifts",
    "plane.taller_length": "for `loads`: snow that drifts",
    "plane.taller_pitch": "for `loads`: snow that drifts",
    "plane.taller_step": "for `loads`: snow that drifts",
    "site.hilltop": "for `loads`: the wind of the place",
    "site.orography": "for `loads`: the wind on a hill",
    "site.peak_pressure": "for `loads`: where no way of the country is kept",
    "site.roof_snow": "for `loads`: where no way of the country is kept",
    "site.snow_exposure": "for `loads`: snow on the roof",
    "plane.obstacles": "for `loads`: snow that drifts; no rule on clear distances yet",
    "plane.plan_length": "for `loads`: a second look at the outline",
    "plane.plan_width": "for `loads`: a second look at the outline",
    "plane.rail_temperature": "for `loads`: how far rails move from the day they are fitted",
    "plane.height.ridge": "for `loads`: the height of the wind",
    "site.basic_wind": "for `loads`: the wind of the place",
    "site.code": "for `loads`: chooses the code",
    "site.country": "for `loads`: chooses the national choice",
    "site.exposure": "for `loads`: the wind of the place, for a code on trial",
    "site.lightning": "the lightning gate asks for a paper whatever is seen",
    "site.terrain": "for `loads`: the wind of the place",
    "site.year": "kept beside `site.building`, which the rules read",
}

# Numbers of the trade that only the handbook shows.
SHOWN_ONLY = {
    "board_thickness",
    "copper_cleat_spacing",
    "density_aluminium",
    "density_brass",
    "density_copper",
    "density_lead",
    "density_stainless",
    "density_steel",
    "density_zinc",
    "fixed_zone_length",
    "modulus_aluminium",
    "modulus_brass",
    "modulus_copper",
    "modulus_lead",
    "modulus_stainless",
    "modulus_steel",
    "modulus_zinc",
    "pitch_double_lock",
    "pitch_double_lock_sealed",
    "pitch_single_lock",
    "range_dark_insulated",
    "range_dark_open",
    "range_light_insulated",
    "range_light_open",
    "sheet_length_steel_fixed",
    "sheet_length_usual",
    "sheet_length_zinc",
    "system_clip_spacing",
    "system_clip_spacing_edge",
}


@pytest.fixture(scope="module")
def read(base: Base) -> set[str]:
    """Every path that the example answers and the conditions of all rules read."""
    seen: set[str] = set()
    whole = View.read

    def recording(view: View, path: str) -> Reading:
        seen.add(path)
        return whole(view, path)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(View, "read", recording)
        judge = Judge(base)
        for job_file in sorted(ROOT.glob("examples/*/job.yaml")):
            job = read_job(job_file, base.vocabulary)
            desk = Desk(base, job, judge)
            for array in job.arrays:
                desk.choose(array)
            for stack in job.stacks:
                desk.stack(stack)
        judge.close()
    for rule in base.rules:
        for condition in rule.conditions:
            seen.add(str(condition.left))
            if isinstance(condition.right, Path):
                seen.add(str(condition.right))
    return seen


def test_every_quantity_is_read_or_listed(base: Base, read: set[str]) -> None:
    unread = {path for path in base.vocabulary.quantities if path not in read}
    assert unread == KEPT_ONLY.keys()


def test_every_number_of_the_trade_is_read(base: Base, read: set[str]) -> None:
    by_code = {"clip_mark_tolerance", "setting_out_tolerance", "line_tolerance", "expansion_range"}
    by_code |= {"local_clamp_factor", "rail_end_allowance", "row_break_gap"}
    by_code |= {"third_line_off_middle", "saw_kerf", "reusable_offcut", "splice_clear"}
    by_code |= {"rail_span_deflection", "rail_end_deflection", "metal_difference"}
    by_code |= {"coldest_metal", "hottest_metal", "fixed_zone_tolerance"}
    by_code |= {"proof_tests_a_zone", "proof_load_factor"}  # of pull tests
    by_code |= {"bolt_least_share"}  # of listed torques
    by_code |= {"card_life"}
    by_code |= {n for n in base.numbers if n.startswith("slip_")} | {"sheet_weight_bound"}
    by_code |= {"fire_wall_elevated"}  # read by name where an array is tilted
    by_code |= {n for n in base.numbers if n.startswith("expansion_")}
    unread = {n for n in base.numbers if f"trade.{n}" not in read} - by_code
    assert unread == SHOWN_ONLY


def test_every_stated_figure_can_be_asked_for(base: Base) -> None:
    assert {f"stated.{name}" for name in STATED} <= set(base.vocabulary.asks)
