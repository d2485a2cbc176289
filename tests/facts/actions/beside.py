"""The hall of the example with something that snow drifts at, as changes of its text."""

FREE = {
    "      eave:       {is: 5.61 m, paper: plan}\n": "",
    "    plan_length:  {is: 60 m, paper: plan}\n": "",
    "    plan_width:   {is: 32 m, paper: plan}\n": "",
}
NONE = "    obstacles:    {is: none, paper: plan}\n"
ALONE = "    taller:       {is: none, how: the hall stands alone, by: hb}\n"
OPEN = "    parapet:      {is: none, paper: plan}\n"
CORNER = "from_eave: 4.00 m, from_left: 5.00 m"


def thing(name: str, from_left: str, rises: str, seen: str = "paper: plan") -> str:
    """One line of `objects`; 1.20 m square, 5.00 m up the slope."""
    size = "from_eave: 5.00 m, width: 1.20 m, height: 1.20 m, clear: 0.30 m"
    return f"      {name}: {{from_left: {from_left}, {size}, rises: {rises}, {seen}}}\n"


def obstacles(*things: str) -> dict[str, str]:
    """The hall with these lines of `objects`."""
    return {NONE: NONE.replace("none", "some") + "    objects:\n" + "".join(things)}


def taller(along: str = "left", word: str = "stands near", **changed: str) -> dict[str, str]:
    """The hall with a taller part 3 m above it, 12 m deep, along an edge 5 m from the array."""
    sizes = {
        "step": "{is: 3.0 m, paper: plan}",
        "length": "{is: 12.0 m, paper: plan}",
        "pitch": "{is: 8 deg, paper: plan}",
        **changed,
    }
    rows = "".join(f"    taller_{name}: {text}\n" for name, text in sizes.items() if text)
    head = f"    taller: {{is: {word}, how: eyes, by: lw}}\n"
    return {ALONE: f"{head}    taller_along: {{is: {along}, how: eyes, by: lw}}\n{rows}"}


def parapet(height: str = "{is: 0.4 m, paper: plan}", word: str = "all round") -> dict[str, str]:
    """The hall with a parapet."""
    more = f"    parapet_height: {height}\n" if height else ""
    return {OPEN: OPEN.replace("none", word) + more}


# A flat roof with a parapet all round, the array near its lower left corner.
FLAT = {
    **FREE,
    "{is: 8.5 deg": "{is: 2 deg",
    "{is: duopitch, paper": "{is: flat, paper",
    CORNER: "from_eave: 1.00 m, from_left: 1.00 m",
}
HOOD = thing("hood", "20.00 m", "0.60 m")
STACK = thing("stack", "45.00 m", "1.50 m")
BESIDE = {**obstacles(HOOD, STACK), **taller()}
