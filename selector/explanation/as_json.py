"""An answer as plain data, schema `answer/1`: what the screen says, for programs."""

from typing import Any

from selector.errors import INTERNAL
from selector.explanation.at_odds import at_odds_data
from selector.explanation.handbook import address
from selector.explanation.narrate import fill
from selector.explanation.proofs import proofs
from selector.explanation.stands import nobody_can, stands_if
from selector.explanation.texts import Texts
from selector.explanation.worlds import worlds_data
from selector.inference.answer import Answer, Option, Refusal
from selector.inference.dump import disagreement
from selector.inference.flip import Flip
from selector.inference.verdict import Finding, Verdict
from selector.knowledge.base import Base
from selector.model.fact import Fact
from selector.model.job import Job
from selector.model.truth import Word

SCHEMA = "answer/1"
EXIT = {
    Word.ALLOWED: 0,
    Word.CONDITIONAL: 0,
    Word.OBSERVE: 3,
    Word.ENGINEER: 4,
    Word.FORBIDDEN: 5,
}


def released(answer: Answer) -> bool:
    """Whether somebody may build on it: a yes, every gate closed, nothing invented."""
    return answer.word.is_yes and not open_gates(answer) and not answer.invented


def exit_code(answer: Answer) -> int:
    """Exit code by verdict; 70 where the two inference paths disagree on the best stack."""
    withheld = any(option.verdict.withheld for option in answer.options[:1])
    return INTERNAL if withheld else EXIT[answer.word]


def open_gates(answer: Answer) -> list[str]:
    """Gates that are not shown to be closed."""
    return [g for g, findings in sorted(answer.site.gates.items()) if findings]


def answer_data(
    answer: Answer,
    base: Base,
    job: Job,
    version: str,
    provisional: dict[str, Any] | None = None,
) -> dict[str, Any]:
    """The whole answer; sentences in the language of the base, keys and words in English."""
    texts = Texts.of(base)
    return {
        "schema": SCHEMA,
        "seamwright": version,
        "base": base.digest,
        "job": job.id,
        "as_of": job.as_of,
        "request": answer.kind,
        "about": answer.about,
        "word": answer.word.text,
        "exit": exit_code(answer),
        "demo": list(answer.invented),
        "released": released(answer),
        "gates": {g: [finding_data(f, texts) for f in each] for g, each in _gates(answer)},
        "contradicted": at_odds_data(answer, job, texts),
        "stacks": [_option(o, base) for o in answer.options],
        "provisional": provisional,
        "flips": {key: [_flip(f, texts) for f in each] for key, each in answer.flips.items()},
        "changes": [
            {
                "moved": [{"slot": s, "from": a, "to": b} for s, a, b in change.moved],
                "word": change.option.verdict.word.text,
                "brings": list(change.brings),
                "to_get": bool(change.who),
            }
            for change in answer.changes
        ],
        "not_a_reason": [
            {**fact_data(b.fact, texts), "rule": b.rule.id, "margin": b.margin, "in": b.dimension}
            for b in answer.bystanders
        ],
        "disagreements": [
            disagreement(j) for o in answer.options for j in o.judgements if j.withheld
        ],
        "refused": [_refusal(r, texts) for r in answer.refusals],
        "prohibitions": [_refusal(r, texts) for r in answer.acts],
        "duties": [finding_data(f, texts) for f in duties(answer)],
    }


def _gates(answer: Answer) -> list[tuple[str, list[Finding]]]:
    return sorted((gate, list(found)) for gate, found in answer.site.gates.items())


def duties(answer: Answer) -> list[Finding]:
    """Standing duties of the answer, once each."""
    found: dict[str, Finding] = {f.rule.id: f for f in answer.site.duties}
    for option in answer.options[:1]:
        found |= {f.rule.id: f for f in option.verdict.duties}
    return [found[k] for k in sorted(found)]


def _option(option: Option, base: Base) -> dict[str, Any]:
    core, texts = option.core, Texts.of(base)
    return {
        "name": option.name,
        "clamp": core.clamp,
        "insert": core.insert,
        "inlay": core.inlay,
        "adapters": list(core.adapters),
        "bolts": core.bolts,
        "rail": core.rail,
        "frame": core.frame,
        "cross": core.cross,
        "upper_rail": core.upper_rail,
        "module_clamp": option.module_clamp,
        **_verdict(option.verdict, texts),
        "proven": [
            {
                "need": p.need.name,
                "aspect": p.need.aspect,
                "subject": p.subject,
                "text": p.text,
                "reasons": [[fact_data(f, texts) for f in sorted(reason)] for reason in p.reasons],
            }
            for p in proofs(option.judgements, texts)
        ],
        "stands_if": [
            {
                "path": look.ask.path,
                "ask": look.ask.ask,
                "how": look.ask.how,
                "who": look.ask.who,
                "limits": list(look.limits),
            }
            for look in stands_if(option.verdict, base.vocabulary, texts)
        ],
    }


def _flip(flip: Flip, texts: Texts) -> dict[str, Any]:
    limit = texts.shown(flip.limit)
    return {"path": flip.path, "by": flip.by, "of": flip.dimension, "limit": limit}


def _verdict(verdict: Verdict, texts: Texts) -> dict[str, Any]:
    return {
        "word": verdict.word.text,
        "may_become": verdict.may_become.text if verdict.may_become is not None else None,
        "aspects": {a: w.text for a, w in verdict.aspects.items()},
        "findings": [finding_data(f, texts) for f in verdict.findings],
        "by_world": worlds_data(verdict),
        "missing": [
            {
                "need": m.need.name,
                "subject": m.judgement.subject.id,
                "text": m.need.text,
                "who": m.need.lifted,
                "open": not m.lost,
            }
            for m in verdict.missing
        ],
        "nobody_can": [{"text": t, "who": w} for t, w in nobody_can(verdict)],
        "confirm": [fact_data(f, texts) for f in verdict.confirm],
        "withheld": verdict.withheld,
    }


def _refusal(refusal: Refusal, texts: Texts) -> dict[str, Any]:
    about = {"level": refusal.level, "id": refusal.id, "alike": list(refusal.alike)}
    return {**about, **_verdict(refusal.verdict, texts)}


def finding_data(finding: Finding, texts: Texts) -> dict[str, Any]:
    """One finding with its rule, its text and its reasons."""
    rule, judgement = finding.rule, finding.judgement
    reasons = judgement.reasons(f"rule:{rule.id}") if finding.surely else ()
    return {
        "rule": rule.id,
        "page": address.rule(rule.id),
        "word": rule.word.text if rule.word is not None else None,
        "surely": finding.surely,
        "aspect": rule.aspect,
        "subject": judgement.subject.id,
        "text": fill(rule.message, rule, judgement, texts),
        "why": rule.why,
        "help": fill(rule.help, rule, judgement, texts),
        "who_is_hurt": rule.who_is_hurt,
        "source": rule.source,
        "basis": rule.basis,
        "lifted": rule.lifted,
        "reasons": [[fact_data(f, texts) for f in sorted(reason)] for reason in reasons],
        "asks": sorted({path for atom, _ in finding.open for path in atom.asks})
        if not finding.surely
        else [],
    }


def fact_data(fact: Fact, texts: Texts) -> dict[str, str]:
    """One fact with its place."""
    return {
        "path": fact.path,
        "of": fact.entity,
        "shown": texts.shown(fact.shown, fact.path),
        "origin": fact.origin,
        "seen": texts.seen(fact.seen),
        "status": fact.status,
    }
