"""Share of one clamp that the clips beside it take, solved for the distance of the clamp.

A clip beside a clamp takes k F (s - a) / s and never more than F. Own beam sum, no published
source: k is set by an engineer; 1.25 covers stiff clips of an inner bay.
"""


def least_distance_m(spacing_m: float, force_n: float, spare_n: float, factor: float) -> float:
    """Least distance of a clamp from a clip that may take `spare_n` of it; 0 where any will do.

    Common practice, no source: k F (s - a) / s at most R, solved for a.
    """
    if spacing_m <= 0 or force_n <= 0 or spare_n < 0 or factor < 1:
        raise ValueError(
            "spacing and force are above zero, the spare not below, the factor not below one"
        )
    if force_n <= spare_n:
        return 0.0
    return spacing_m * (1 - spare_n / (factor * force_n))
