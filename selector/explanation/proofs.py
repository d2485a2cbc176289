"""Why a stack may stand: one sentence for each proof that was brought, by aspect."""

from collections.abc import Iterable
from dataclasses import dataclass

from selector.explanation.narrate import fill, smallest
from selector.explanation.texts import Texts
from selector.inference.judge import Judgement
from selector.model.fact import Fact, Reasons
from selector.model.rule import Need
from selector.model.truth import ASPECTS


@dataclass(frozen=True)
class Proof:
    """One need that is surely met, in the words of the rule that meets it."""

    need: Need
    subject: str
    text: str
    reasons: Reasons
    dissent: tuple[Fact, ...] = ()  # what other sources say of two metals that touch

    @property
    def cited(self) -> list[Fact]:
        """Records, pairings, stated figures, colours that the shortest reason rests on."""
        facts = {f for reason in smallest(self.reasons, 1) for f in reason}
        named = ("record", "pairing", "trade.sheet_colour")
        return [f for f in sorted(facts) if f.path in named or f.path.startswith("stated.")]


def proofs(judgements: Iterable[Judgement], texts: Texts) -> list[Proof]:
    """Proofs that were brought, in the order of the aspects and of the chain."""
    found: list[Proof] = []
    for judgement in judgements:
        for need in judgement.needs:
            if judgement.proven(need.name).surely:
                reasons = judgement.reasons(f"need:{need.name}")
                name, text = judgement.subject.id, _text(judgement, need, texts)
                found.append(Proof(need, name, text, reasons, _dissent(judgement)))
    return sorted(found, key=lambda p: ASPECTS.index(p.need.aspect))


def _dissent(judgement: Judgement) -> tuple[Fact, ...]:
    """Sources that differ from the row that counts; none where the subject is no contact."""
    if judgement.subject.kind != "contact":
        return ()
    because = judgement.view.read("contact.dissent").because
    return tuple(sorted({f for reason in because for f in reason}))


def _text(judgement: Judgement, need: Need, texts: Texts) -> str:
    """Message of the rules that prove a need, those that surely do."""
    said = []
    for rule in judgement.program.rules:
        if need.name not in rule.proves:
            continue
        silent = not judgement.fires(rule).possibly
        applies = judgement.bits(f"when:{rule.id}").possibly
        brings = silent and applies if rule.kind == "require" else judgement.fires(rule).surely
        if brings:
            said.append(fill(rule.message, rule, judgement, texts))
    return "; ".join(dict.fromkeys(said)) or need.text
