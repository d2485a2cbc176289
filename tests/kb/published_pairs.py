"""Published judgements of two metals, typed from their sources, to hold the base against.

METALS maps each name of a source to a metal as `seamwright pair` takes it.
"""

from selector.model.truth import Word

WORDS = {"OK": Word.ALLOWED, "conditional": Word.CONDITIONAL, "forbidden": Word.FORBIDDEN}

# CSN 73 3610 table D.4 (2008), metal touching metal outdoors; whole table, secondary copy:
# + may touch, o avoid, - contact must be excluded.
D4_ORDER = ("aluminium", "lead", "copper", "zinc", "stainless", "galvanised", "bare steel")
D4 = {
    "aluminium": "+o-+++-",
    "lead": "o++++o-",
    "copper": "-++-+--",
    "zinc": "++-+++-",
    "stainless": "+++++++",
    "galvanised": "+o-+++-",
    "bare steel": "----+-+",
}
D4_WORDS = {"+": Word.ALLOWED, "o": Word.CONDITIONAL, "-": Word.FORBIDDEN}

# "How Metals React On Contact", New York Association of In-house Locksmiths (2000), moist
# conditions; whole table, of little authority: y will not corrode, ? may corrode, n will corrode.
LOCK_ORDER = (
    *("aluminium", "brass", "bronze", "copper", "galvanised", "bare steel", "lead", "stainless"),
    "zinc",
)
LOCK = {
    "aluminium": "ynnny??yy",
    "copper": "n??y?n?nn",
    "galvanised": "y???y?y?y",
    "lead": "????yyy?y",
    "stainless": "ynnn???yn",
    "zinc": "ynnnynyny",
}
LOCK_WORDS = {"y": Word.ALLOWED, "?": Word.CONDITIONAL, "n": Word.FORBIDDEN}

# Pairs on which the two tables differ, as their reader listed them beside the second one.
DIFFER = {
    frozenset(pair)
    for pair in (
        ("aluminium", "bare steel"),
        ("copper", "galvanised"),
        ("copper", "lead"),
        ("copper", "stainless"),
        ("galvanised", "bare steel"),
        ("galvanised", "lead"),
        ("galvanised", "stainless"),
        ("lead", "bare steel"),
        ("lead", "stainless"),
        ("stainless", "bare steel"),
        ("stainless", "zinc"),
    )
}

METALS = {
    "aluminium": "aluminium",
    "lead": "lead",
    "copper": "copper",
    "zinc": "zinc",
    "stainless": "stainless:A4",
    "galvanised": "steel+zinc",
    "bare steel": "steel",
    "brass": "copper-alloy:brass",
    "bronze": "copper-alloy:bronze",
}

# Anodic index in hundredths of a volt below gold: Wikipedia, "Galvanic corrosion", revision
# 901879228. Austenitic stainless steel stands with copper in the groups of MIL-F-14072.
INDEX = {
    "aluminium": 90,
    "lead": 70,
    "copper": 35,
    "zinc": 125,
    "stainless": 35,
    "galvanised": 120,
    "bare steel": 85,
}
LIMITS = (15, 25, 50)  # harsh outdoor, indoor, controlled: the same page
