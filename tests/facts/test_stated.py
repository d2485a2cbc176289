"""When a stated figure counts, and what a record proves against it."""

import pytest

from selector.engineering.check import ratio
from selector.facts import checks
from selector.model.fact import Cover
from selector.model.quantity import Ratio, Unknown
from selector.model.truth import NO
from tests.facts.conftest import Sees

UPLIFT = "net_uplift:              {is: 0.90 kPa, paper: calc, covers: [array a1, field]}"


def why(sees: Sees, changes: dict[str, str], figure: str, stack: str | None = None) -> str:
    found = sees("mill-house", changes, stack).stated(figure)
    return found.why if isinstance(found, Unknown) else "counts"


def test_a_figure_of_the_field_counts_in_no_edge(sees: Sees) -> None:
    # EN 1991-1-4: edges and corners of a roof have pressures of their own
    assert why(sees, {}, "net_uplift") == "counts"
    reaches = {"zones: [field]": "zones: [field, edge]"}
    assert why(sees, reaches, "net_uplift") == "worked out for other roof zones"
    both = {UPLIFT: UPLIFT.replace("field]", "field, edge]"), **reaches}
    assert why(sees, both, "net_uplift") == "counts"


def test_a_figure_of_other_clamps_is_void(sees: Sees) -> None:
    # common practice, no source: area goes straight into every link
    assert why(sees, {}, "uplift_per_clamp", "planned") == "counts"
    drawn = {"      clamps: every seam\n\nchosen": "      clamps: every second seam\n\nchosen"}
    assert why(sees, drawn, "uplift_per_clamp", "planned") == "worked out for other clamps"


@pytest.mark.parametrize(
    ("taken", "said"),
    [("      - uplift per clamp\n", "cover"), ("      - array a1\n", "cover")],
)
def test_a_paper_states_what_it_covers(sees: Sees, taken: str, said: str) -> None:
    assert said in why(sees, {taken: ""}, "uplift_per_clamp")


def test_a_gross_clip_record_proves_nothing(sees: Sees) -> None:
    view = sees("mill-house", stack="planned")
    assert isinstance(view.read("stack.clip_share").value, Ratio)
    catalogue = view.base.catalogues["demo"]
    clips = [r for r in catalogue.records if r.shape.kind == "clip in deck"]
    assert clips
    for record in clips:
        assert checks.after_suction(record) == (record.shape.basis != "gross")
        gross = record.shape.model_copy(update={"basis": "gross"})
        assert not checks.after_suction(type(record)("x", gross, "", 0, "invented"))


def test_a_record_is_not_carried_to_a_thinner_sheet(sees: Sees) -> None:
    # ev-01 covers coated steel of 0.54 to 0.72 mm; the paint takes 0.05 mm off
    def cover(measured: str) -> Cover:
        thin = {"{is: 0.65 mm, tool: micrometer": f"{{is: {measured}, tool: micrometer"}
        value = sees("mill-house", thin, "planned").read("stack.evidence clamp on seam").value
        assert isinstance(value, Cover)
        return value

    assert cover("0.65 mm").bits.surely
    assert not cover("0.55 mm").bits.surely
    assert cover("0.45 mm").bits == NO


def test_an_untested_direction_is_zero(sees: Sees) -> None:
    assert checks.design("not tested") == 0
    view = sees("mill-house", stack="planned")
    record = next(r for r in view.base.catalogues["demo"].records if r.id == "ev-01")
    assert checks.design(record.shape.uplift) == 860_000  # 0.86 kN, as the record says
    untested = record.shape.uplift.model_copy(
        update={"design": record.shape.uplift.design.model_copy(update={"en": "not tested"})}
    )
    assert checks.design(untested) == 0


def test_of_two_records_the_lower_counts(sees: Sees) -> None:
    # dl-2 on copper: ev-07 says 0.66 kN and ev-09 says 0.61 kN; 0.44 kN is stated
    value = sees("copper-chapel", stack="stainless").read("stack.clamp_uplift").value
    assert value == Ratio(ratio(0.44, 0.61), ratio(0.44, 0.61))
