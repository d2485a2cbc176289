"""The torque wrench at hand: whether it can give a torque, and what it gives in truth."""

from selector import units
from selector.engineering.lines import Outside
from selector.engineering.wrench import CLAUSE, Scatter, scatter
from selector.facts.parts import word
from selector.facts.view import Binding, View, reads
from selector.knowledge.base import Base
from selector.model.fact import Reading, all_of
from selector.model.job import Job
from selector.model.quantity import Candidates, Measured, Value

NM = 1000.0  # canonical torque in one newton metre
RANGE = ("site.wrench_lowest", "site.wrench_highest")
CALIBRATION = "site.wrench_calibration"
OUT_OF_DATE = frozenset({"run out", "no mark"})


def wrench_gives(base: Base, job: Job, torque: int) -> dict[str, str] | None:
    """What the wrench of a job gives when it is set to a torque, as it is printed.

    `low`, `high` and `share`; only `allowed` where the torque is out of its range; None where the
    wrench is not known.
    """
    view = View(base, job, Binding())
    found = _scatter(torque, [_one(view.read(path).value) for path in RANGE])
    if found is None:
        return None
    if isinstance(found, Outside):
        return {"allowed": found.allowed}
    low, high = (units.show(round(nm * NM), "torque") for nm in (found.low_nm, found.high_nm))
    return {"low": low, "high": high, "share": f"{found.share:.0%}".replace("%", " %")}


@reads("stack.wrench", "choice")
def stack_wrench(view: View) -> Reading:
    """Whether the wrench at hand can give the torque of the set screws; `not stated` is no yes."""
    path = "stack.wrench"
    torque, low, high = (view.read(name) for name in ("stack.torque", *RANGE))
    calibration = view.read(CALIBRATION)
    found = _scatter(_one(torque.value), [_one(low.value), _one(high.value)])
    dated, because = calibration.value, all_of([torque.because, low.because, high.because])
    if isinstance(found, Outside):
        return view.resting(path, word("out of range"), because)
    if _out_of_date(dated):
        return view.resting(path, word("not in calibration"), calibration.because)
    if found is not None:
        return view.resting(path, word("fits"), because)
    return view.known(path, word("not stated"), view.slot_fact("wrench", "not stated"))


def _out_of_date(value: object) -> bool:
    return isinstance(value, Candidates) and value.left <= OUT_OF_DATE


def _one(value: Value | object) -> int | None:
    """A figure that is read in one way only."""
    if not isinstance(value, Measured) or not value.places:
        return None
    place = value.places[0]
    return place.low if len(value.places) == 1 and place.low == place.high > 0 else None


def _scatter(torque: int | None, ends: list[int | None]) -> Scatter | Outside | None:
    """None where something is not known; Outside too where the range is said the wrong way."""
    low, high = ends
    if torque is None or low is None or high is None:
        return None
    if low > high:
        said = f"{units.show(low, 'torque')} to {units.show(high, 'torque')}"
        return Outside("torque", units.show(torque, "torque"), said, CLAUSE)
    return scatter(torque / NM, low / NM, high / NM)
