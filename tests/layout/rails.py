"""Random small rail pieces, and the beam that says what their clamps really take; all invented."""

from collections.abc import Callable
from itertools import pairwise
from random import Random

from selector.engineering.beam import Beam, Spread, forces_n
from selector.layout.model import Seam
from selector.layout.stretch import Limits, Stretch, Strip

MM = 1_000


def random_stretch(
    random: Random, seams: tuple[int, int] = (4, 11), factor: float = 1.25, off: int = 0
) -> Stretch:
    """Seams at nearly equal distances under one to three loads, limits near where they matter."""
    count, pitch = random.randint(*seams), random.choice([430, 500, 530, 600, 670])
    shake = random.choice([0, 0, 15, 60])
    x = random.randint(70, 350)
    places = [x + i * pitch + random.randint(-shake, shake) for i in range(count)]
    length = places[-1] + random.randint(70, 350)
    load = random.uniform(300, 1500)
    marks = sorted(random.sample(range(1, length), random.randint(0, 2)))
    strips = tuple(
        Strip(low * MM, high * MM, load * random.choice([1, 1.3, 1.7, 2.1]), f"z{low}")
        for low, high in pairwise([0, *marks, length])
    )
    limits = Limits(
        random.randint(pitch + 20, 4 * pitch) * MM,
        max(random.choice([200, 300, 400, 500]), pitch // 2 + 60) * MM,
        load * pitch / 1_000 * random.uniform(1.0, 4.5),
        factor,
    )
    seams_at = tuple(Seam(f"s{i:02}", x * MM, off * MM) for i, x in enumerate(places))
    return Stretch(0, length * MM, seams_at, strips, limits)


def real_forces(stretch: Stretch) -> Callable[[tuple[int, ...]], tuple[float, ...]]:
    """The larger of rigid and hinged for the places of all clamps."""
    strips = tuple(Spread(s.x0 / 1e6, s.x1 / 1e6, s.n_per_m) for s in stretch.strips)

    def forces(places: tuple[int, ...]) -> tuple[float, ...]:
        supports = tuple(x / 1e6 for x in places)
        return forces_n(Beam(stretch.x0 / 1e6, stretch.x1 / 1e6, supports, strips))

    return forces
