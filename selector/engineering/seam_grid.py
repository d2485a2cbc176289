"""Whether equally spaced seams can lie where modules may be clamped.

Plain geometry, no published source: a comb of equal teeth, shifted as one, against windows.
"""

import math

STEP_M = 0.0001  # spacings are tried this close to each other


def meets(spacing_m: float, windows_m: list[tuple[float, float]], margin_m: float = 0.0) -> bool:
    """Whether some shift of the comb puts a tooth into every window, each wider by the margin.

    Plain geometry: arcs on a circle as long as the spacing; one point common to all of them.
    """
    if spacing_m <= 0:
        raise ValueError("the spacing of seams is above zero")
    arcs = []
    for low, high in windows_m:
        width = high - low + 2 * margin_m
        if width < 0:
            return False
        if width < spacing_m:
            arcs.append(((low - margin_m) % spacing_m, width))
    return not arcs or any(
        all((start - other) % spacing_m <= width for other, width in arcs) for start, _ in arcs
    )


def grid_meets(
    low_m: float, high_m: float, windows_m: list[tuple[float, float]]
) -> tuple[bool, bool]:
    """Whether a comb meets all windows for every spacing of a range, and for some of it.

    Plain geometry: between two spacings that are tried, no tooth moves further than the margin.
    """
    if not 0 < low_m <= high_m:
        raise ValueError("a range of spacings rises and is above zero")
    steps = max(1, math.ceil((high_m - low_m) / STEP_M))
    tried = [low_m + (high_m - low_m) * i / steps for i in range(steps + 1)]
    reach = max(high for _, high in windows_m) - min(low for low, _ in windows_m)
    teeth = math.ceil(reach / low_m) + 1
    margin = teeth * (high_m - low_m) / steps / 2
    surely = all(meets(s, windows_m, -margin) for s in tried)
    return surely, surely or any(meets(s, windows_m, margin) for s in tried)
