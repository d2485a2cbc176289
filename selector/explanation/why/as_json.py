"""The explanation as plain data, schema `why/1`."""

from typing import Any

from selector.errors import INTERNAL
from selector.explanation.as_json import fact_data
from selector.explanation.at_odds import at_odds_data
from selector.explanation.narrate import fill
from selector.explanation.stands import stands_if
from selector.explanation.why.telling import Telling
from selector.inference.answer import Change
from selector.inference.column import Column
from selector.inference.contrast import Contrast
from selector.inference.grounds import Ground
from selector.inference.second_look import SecondLook
from selector.inference.verdict import Finding

SCHEMA = "why/1"


def exit_code(telling: Telling) -> int:
    """0: an explanation was given; 70 where the two inference paths disagree on the stack."""
    return INTERNAL if telling.why.option.verdict.withheld else 0


def why_data(telling: Telling, version: str) -> dict[str, Any]:
    """The whole explanation; facts as in `answer/1`."""
    why, base, job = telling.why, telling.base, telling.job
    grounds = why.grounds
    return {
        "schema": SCHEMA,
        "seamwright": version,
        "base": base.digest,
        "job": job.id,
        "as_of": job.as_of,
        "stack": why.option.name,
        "taken": telling.taken or "named",
        "word": why.word.text,
        "demo": list(why.answer.invented),
        "contradicted": at_odds_data(why.answer, job, telling.texts),
        "reasons": [_ground(telling, g) for g in grounds.each],
        "independent": [list(numbers) for numbers in grounds.apart],
        "folded": [[grounds.each.index(g) for g in alike] for alike in grounds.folded],
        "fewest_facts": grounds.fewest,
        "more_reasons": grounds.more,
        "waits_for": [
            {"path": k.ask.path, "ask": k.ask.ask, "who": k.ask.who, "limits": list(k.limits)}
            for k in stands_if(why.option.verdict, base.vocabulary, telling.texts)
        ],
        "changes": [_change(telling, c) for c in why.answer.changes],
        "not_a_reason": [
            {
                **fact_data(b.fact, telling.texts),
                "rule": b.rule.id,
                "margin": b.margin,
                "in": b.dimension,
            }
            for b in why.answer.bystanders
        ],
        "second_looks": [_look(look) for look in why.looks],
        "nearest": None
        if why.nearest is None
        else {
            "word": why.nearest.change.option.verdict.word.text,
            "rows": [{"what": s, "this": a, "nearest": b} for s, a, b in why.nearest.rows],
        },
        "contrast": None if why.contrast is None else _contrast(why.contrast),
        "picture": _column(why.column),
    }


def _ground(telling: Telling, ground: Ground) -> dict[str, Any]:
    return {
        "facts": [
            {**fact_data(f, telling.texts), "needed": f in ground.needed} for f in ground.ordered
        ],
        "rules": [_rule(telling, f) for f in ground.findings],
    }


def _rule(telling: Telling, finding: Finding) -> dict[str, Any]:
    rule, judgement = finding.rule, finding.judgement
    return {
        "rule": rule.id,
        "subject": judgement.subject.id,
        "title": rule.title,
        "text": fill(rule.message, rule, judgement, telling.texts),
        "why": rule.why,
        "help": fill(rule.help, rule, judgement, telling.texts),
        "who_is_hurt": rule.who_is_hurt,
        "lifted": rule.lifted,
        "source": rule.source,
        "basis": rule.basis,
        "trade": list(rule.trade),
    }


def _change(telling: Telling, change: Change) -> dict[str, Any]:
    return {
        "moved": [{"what": s, "from": a, "to": b} for s, a, b in change.moved],
        "word": change.option.verdict.word.text,
        "effort": change.effort,
        "brings": list(change.brings),
        "follows": telling.follows(change),
        "to_get": bool(change.who),
        "from": list(change.who),
        "must_show": [{"path": path, "at_least": value} for path, value in change.shows],
    }


def _look(look: SecondLook) -> dict[str, Any]:
    flip = look.flip
    return {
        "path": look.path,
        "now": look.now,
        "instead": list(look.instead),
        "by": flip.by if flip is not None else None,
        "in": flip.dimension if flip is not None else "",
        "limit": flip.limit if flip is not None else "",
        "rules_off": list(look.rules),
        "word": look.word.text,
        "ask": look.ask.ask,
        "how": look.ask.how,
        "tools": dict(look.tools),
    }


def _contrast(found: Contrast) -> dict[str, Any]:
    return {
        "job": found.job,
        "stack": found.stack,
        "word": found.option.verdict.word.text,
        "differences": [
            {
                "what": d.name,
                "here": d.here,
                "there": d.there,
                "word": d.word.text if d.word is not None else None,
                "fault": d.fault,
            }
            for d in found.differences
        ],
        "pair": list(found.pair) if found.pair is not None else None,
        "pair_word": found.pair_word.text if found.pair_word is not None else None,
    }


def _column(column: Column) -> dict[str, Any]:
    """Boxes from the roof up; `broken` lists rules."""
    return {
        "boxes": [
            {"id": b.id, "slot": b.slot, "name": b.name, "metal": b.made_of, "broken": [*b.broken]}
            for b in column.boxes
        ],
        "edges": [
            {
                "lower": e.lower,
                "upper": e.upper,
                "kind": e.kind,
                "offers": e.offers,
                "takes": e.takes,
                "between": list(e.between),
                "metals": [
                    {"upper": m.upper, "lower": m.lower, "screw": m.screw} for m in e.metals
                ],
                "broken": list(e.broken),
                "places": list(e.places),
            }
            for e in column.edges
        ],
    }
