"""A pair and the table of all pairs as data: schema pair/1."""

from typing import Any

from selector.explanation.as_json import fact_data, finding_data
from selector.explanation.pair.tables import Told, told
from selector.explanation.pair.telling import PairTelling
from selector.explanation.stands import nobody_can, stands_if
from selector.facts.lifetime import Lifetime, lifetime_of
from selector.inference.pair import Instead, Matrix, Paired, Turned
from selector.knowledge.pair_facts import phrase_of
from selector.knowledge.schema import MetalWords
from selector.model.contact import Contact, Side

SCHEMA = "pair/1"


def pair_data(
    telling: PairTelling,
    paired: Paired,
    turned: list[Turned],
    changed: list[Instead],
    version: str,
) -> dict[str, Any]:
    """Everything on the page of one pair."""
    asks = stands_if(paired.verdict, telling.base.vocabulary, telling.texts)
    asks += stands_if(paired.air.verdict, telling.base.vocabulary, telling.texts)
    return {
        **_head(telling, version),
        "word": paired.word.text,
        "contact": _contact(paired.contact),
        "air": {path: str(seen.value) for path, seen in sorted(paired.air.site.items())},
        "sufferer": paired.sufferer,
        "findings": [finding_data(f, telling.texts) for f in paired.findings],
        "asks": sorted({look.ask.path for look in asks}),
        "nobody_can": [{"text": t, "who": w} for t, w in nobody_can(paired.verdict)],
        "confirm": [fact_data(f, telling.texts) for f in paired.verdict.confirm],
        "withheld": paired.verdict.withheld,
        "instead": [_instead(telling, one) for one in changed],
        "elsewhere": [{"word": t.word.text, "contact": _contact(t.contact)} for t in turned],
        "life": [
            {"of": name, **_life(life)}
            for name in ("upper", "lower")
            if (life := lifetime_of(telling.base, getattr(paired.contact, name)))
        ],
        "tables": [_table(one) for one in told(telling.base, paired)],
    }


def matrix_data(telling: PairTelling, matrix: Matrix, version: str) -> dict[str, Any]:
    """Every pair of a table, row by row."""
    first = matrix.cells[0][0]
    return {
        **_head(telling, version),
        "place": matrix.place,
        "air": {path: str(seen.value) for path, seen in sorted(first.air.site.items())},
        "metals": [phrase_of(metal) for metal in matrix.metals],
        "pairs": [
            {
                "upper": phrase_of(upper),
                "lower": phrase_of(lower),
                "word": cell.word.text,
                "rules": [f.rule.id for f in cell.deciding],
                "sufferer": cell.sufferer,
            }
            for upper, row in zip(matrix.metals, matrix.cells, strict=True)
            for lower, cell in zip(matrix.metals, row, strict=True)
        ],
    }


def _head(telling: PairTelling, version: str) -> dict[str, Any]:
    return {"schema": SCHEMA, "seamwright": version, "base": telling.base.digest}


def _contact(contact: Contact) -> dict[str, Any]:
    return {
        "place": contact.place,
        "upper": _side(contact.upper),
        "lower": _side(contact.lower),
        "isolation": contact.isolation,
        "bridge": contact.bridge,
        "washed": contact.washed,
    }


def _side(side: Side) -> dict[str, Any]:
    words = MetalWords(metal=side.metal or "", coating=side.coating, grade=side.grade)
    return {"metal": phrase_of(words), "role": side.role, "area": side.size, "point": side.point}


def _instead(telling: PairTelling, one: Instead) -> dict[str, Any]:
    return {
        "change": one.kind,
        "metal": None if one.metal is None else phrase_of(one.metal),
        "word": one.paired.word.text,
        "brings": telling.drags(one),
    }


def _table(one: Told) -> dict[str, Any]:
    return {
        "table": one.table.id,
        "source": one.table.source,
        "status": one.table.status,
        "cells": [{"column": c.column, "says": c.sign.says} for c in one.cells],
        "word": None if one.word is None else one.word.text,
        "dissent": one.dissent,
        "note": one.table.bears_in_mind,
    }


def _life(life: Lifetime) -> dict[str, Any]:
    return {
        "metal": life.metal,
        "coat_um": life.coat_um,
        "sources": list(life.sources),
        "classes": [
            {
                "class": one.name,
                "first_year_um": list(one.first_year_um),
                "after_20_years_um": list(one.after_years_um),
                "coat_years": None if one.coat_years is None else list(one.coat_years),
            }
            for one in life.classes
        ],
    }
