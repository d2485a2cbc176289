"""Titles and leads of the topics of the trade, and what their fields are called."""

# Topic -> title and what it is about.
TITLES = {
    "shapes": ("Seam shapes", "The eight shapes, as the end of one seam shows them."),
    "look-alikes": (
        "Seams that are taken for each other",
        "What is alike, what else to look at, and what that tells.",
    ),
    "seam-heights": (
        "Usual seam heights",
        "How high seams usually stand. The seam that you have measured beats every line here.",
    ),
    "metals": (
        "Metals, and how to tell them",
        "Never by colour alone, never by a magnet alone: a cut edge or a hidden scratch tells.",
    ),
    "coatings": (
        "Coatings and finishes",
        "What they look like, what hides below, and what matters when a clamp bites.",
    ),
    "sheet-colours": (
        "Colours of a bare sheet",
        "A colour takes away metals that never look so, on a sheet that is surely bare. It "
        "settles none.",
    ),
    "finishes": (
        "Metals and what lies on them",
        "What `seamwright pair` takes for a metal. Paint may lie on each of them.",
    ),
    "pairings": (
        "Metals that touch",
        "Judgements on two metals. A pair that is not here is unknown, never a yes.",
    ),
    "published-pairs": (
        "Published tables of pairs",
        "Printed beside an answer, so that their dissent is seen. None of them decides.",
    ),
    "clips": ("Clips and their fixings", "On a hand-folded roof the clip is the weak link."),
    "decks": ("Decks", "What lies under the sheet, and what it means for the clip."),
    "tightening": (
        "Torque and tightening",
        "Habits of the trade. The record of the clamp beats every one of them.",
    ),
    "tools": ("Tools", "What each tool tells, and what it cannot tell."),
    "sea-potentials": (
        "Potentials in sea water",
        "Of two metals that touch, the one with the lower value is eaten. They rank; they never "
        "decide: areas, thin films of rain and coatings count more.",
    ),
    "anodic-index": (
        "The anodic index, and why it decides nothing",
        "For information only. It passes bare steel on aluminium, which the trade forbids, and "
        "refuses stainless screws in aluminium, which are the custom. No rule reads it.",
    ),
    "environments": (
        "How harsh the air is",
        "The classes of ISO 9223 by what each metal loses in its first year. One place may be "
        "another class for another metal.",
    ),
    "air-signs": (
        "By what one tells harsh air",
        "Distances and signs, with the class of steel that they speak for. No one sign settles it.",
    ),
    "loss-over-years": (
        "Loss over the years",
        "Loss of t years: that of the first year times t to the power of b, up to 20 years. "
        "Information, never a permit.",
    ),
    "stainless-exposure": (
        "How hard the air is on stainless steel",
        "F1 for salt, F2 for sulphur dioxide, F3 for washing; their sum asks for a class. The "
        "bands of F1 are the one table of distances to salt.",
    ),
    "stainless-classes": (
        "Stainless grades by what the air asks for",
        "Limits and grades are from memory: look them up before a grade is ordered by them.",
    ),
    "rubbers": (
        "Rubbers and what else lies between metals",
        "A separator must not soak, must not conduct, and must last as long as the joint. In a "
        "clamp only the tested inlay counts.",
    ),
    "screw-points": (
        "Points of set screws",
        "Grip against a cup point, as measured on hardened steel; whether a point pierces a "
        "coating is judgement.",
    ),
    "friction": (
        "Friction and nut factors",
        "A torque without its friction says nothing of the force.",
    ),
    "bolt-classes": (
        "Property classes of stainless bolts",
        "Strengths, from which torques follow.",
    ),
    "threads": ("Threads", "Metric coarse threads with hexagon heads."),
    "torque-tables": (
        "Torques of bolts, as printed",
        "For bolts that are pulled. None of it counts for set screws: they are pressed, and the "
        "socket gives way first.",
    ),
    "site-effort": (
        "What a change costs on the roof",
        "From 1, a hand's turn at a clamp, to 5, days. It ranks changes; it never decides one.",
    ),
}
LABELS = {
    "alike": "alike in",
    "look": "second look",
    "tells": "what it tells",
    "looks": "looks like",
    "taken_for": "taken for",
    "second_look": "second look",
    "magnet": "magnet",
    "hides": "hides",
    "metals": "bare metals that can look so",
    "coats": "coats that can look so",
    "matters": "what matters",
    "text": "what it is",
    "says": "what is said",
    "but": "bear in mind",
    "torque": "figure",
    "tells_not": "does not tell",
    "height": "height",
    "clip": "clip",
    "shapes": "shapes",
    "shape": "shape",
    "effort": "effort, 1 to 5",
    "metal": "metal",
    "range": "bar of the series",
    "range_status": "ends of the bar",
    "point": "printed value",
    "electrode": "against",
    "index": "volts below gold",
    "what": "what is in it",
    "families": "of this roof",
    "note": "note",
    "loss": "first year, thickness",
    "mass_loss": "first year, mass",
    "classes": "class",
    "b1": "b, usual air (B1)",
    "b2": "b, more salt and sulphur (B2)",
    "factor": "factor",
    "points": "points",
    "band": "band of salt",
    "sea": "to the sea",
    "road": "to a salted road",
    "coast": "coast",
    "so2": "sulphur dioxide",
    "washing": "washing",
    "most": "sum at most",
    "least": "sum at least",
    "grades": "grades",
    "fasteners": "screws",
    "absorbs": "soaks",
    "conducts": "conducts",
    "harms": "harms",
    "use": "as a separator",
    "grip": "grip",
    "pierces": "pierces a coating",
    "called": "called",
    "mu": "friction",
    "k": "nut factor K, least and most",
    "rm": "breaks at",
    "rp": "0.2 % strain at",
    "diameter": "diameter",
    "pitch": "pitch",
    "head": "bears below the head, diameter",
    "head_status": "that diameter is",
    "hole": "through hole",
    "kind": "what for",
    "table": "table",
    "thread": "thread",
    "strength": "property class",
    "preload": "preload",
    "coating": "on it",
    "bears_in_mind": "bear in mind",
}
# Fields that are whole numbers of a small unit, and their dimension.
MEASURED = {
    "torque": "torque",
    "grip": "share",
    "rm": "strength",
    "rp": "strength",
    "diameter": "length",
    "pitch": "length",
    "head": "length",
    "hole": "length",
    "preload": "force",
}
