"""How the search for clamps grows with a rail; `PYTHONPATH=. python tests/benchmarks/pattern.py`.

One rail over 130 seams against one over 13 of the same kind, under the local bound and put right
with the beam; and 130 rails cut from stock against 13, which only informs, since that search ends
at a number of tries. What is compared runs in turn, round after round, and the median of each is
used; milliseconds only inform. The exit code is 1 when a limit is passed.
"""

from turns import in_turn, show

from selector.layout.cut import Stock, cut_plan
from selector.layout.model import Seam
from selector.layout.pattern import least_held, least_pattern
from selector.layout.stretch import Limits, Stretch, Strip
from tests.layout.rails import MM, real_forces

ROUNDS = 9
FEW, MANY = 13, 130
PITCH, BEFORE = 530 * MM, 265 * MM
LINEAR = 14.0  # ten times the seams, and what noise and the heap of open pairs may add
HELD = 40.0  # more patterns are put right on a longer rail


def rail(seams: int) -> Stretch:
    """Seams 0.53 m apart under a higher load at both ends; three pitches a span at most."""
    length = seams * PITCH
    edge = 2_000 * MM
    strips = (
        Strip(0, edge, 1_150.0, "edge"),
        Strip(edge, length - edge, 700.0, "field"),
        Strip(length - edge, length, 1_150.0, "edge"),
    )
    places = tuple(Seam(f"s{n:03}", BEFORE + n * PITCH, 3 * MM) for n in range(seams))
    return Stretch(0, length, places, strips, Limits(1_700 * MM, 450 * MM, 800.0, 1.3))


def rails_to_cut(number: int) -> list[int]:
    """Lengths as an array of parted rows has them."""
    return [(4_180 * MM, 3_260 * MM, 7_100 * MM, 1_090 * MM)[n % 4] for n in range(number)]


def main() -> int:
    """Print all ratios; 1 if any passes its limit."""
    few, many = rail(FEW), rail(MANY)
    assert least_pattern(many).holds and least_held(many, real_forces(many)).holds
    stock = Stock((4_400 * MM, 6_200 * MM, 7_500 * MM), 3 * MM)
    pairs = {
        "under the local bound": (lambda: least_pattern(few), lambda: least_pattern(many), LINEAR),
        "put right with the beam": (
            lambda: least_held(few, real_forces(few)),
            lambda: least_held(many, real_forces(many)),
            HELD,
        ),
        "cut from stock": (
            lambda: cut_plan(rails_to_cut(FEW), stock, "own"),
            lambda: cut_plan(rails_to_cut(MANY), stock, "own"),
            None,
        ),
    }
    found = []
    for text, (small, large, limit) in pairs.items():
        times = in_turn({f"{FEW}": small, f"{MANY}": large}, ROUNDS)
        found += show(text, times, f"{FEW}", {f"{MANY}": limit} if limit else {})
    return int(any(ratio.over for ratio in found))


if __name__ == "__main__":
    raise SystemExit(main())
