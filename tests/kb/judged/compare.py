"""What an answer misses of a judgement, one line a miss: `word: ...`, `accept: ...` and so on."""

from collections.abc import Iterable, Iterator
from typing import Any

from selector.explanation.narrate import fill
from selector.explanation.stands import stands_if
from selector.explanation.texts import Texts
from selector.inference.answer import Answer, Desk, Option, Refusal
from selector.inference.judge import Judge
from selector.inference.verdict import Finding, Verdict
from selector.inference.worked import with_worked
from selector.knowledge.base import Base
from selector.model.fact import Reason
from selector.model.truth import Word
from tests.kb.judged import silent

Data = dict[str, Any]
CLASS = frozenset({"plane.seam.shape"})  # the class of the seam is never a spare fact


class Judged:
    """One case, its judgement, and the answer of the program."""

    def __init__(
        self, name: str, expected: Data, base: Base, judge: Judge, change: Data | None = None
    ):
        self.name, self.expected, self.base, self.judge = name, expected, base, judge
        self.desk = Desk(base, silent.job(name, base.vocabulary, change, drawn=True), judge)
        self.answer = _ask(self.desk)

    def misses(self) -> list[str]:
        """Everything in which the answer is not the judge's."""
        found = list(self._words())
        for part in (self._stacks, self._refusals, self._asks, self._conditions, self._sayings):
            found += part()
        return [*found, *self._decisive(), *self._sets()]

    def yes(self) -> list[str]:
        """Stacks that get a yes."""
        return sorted(o.core.id for o in self._yes())

    def fatal(self) -> list[str]:
        """A yes where the judge says no, of the request or of anything that it refuses."""
        answer, wanted = self.answer, self.expected
        found = []
        if answer.word.is_yes and not _word(wanted).is_yes:
            found.append(f"{answer.word.text} where the judge says {wanted['word']}")
        accepted = [set(stack) for stack in wanted.get("accept", ())]
        if answer.kind == "choose":
            yes = [o for o in answer.options if o.verdict.word.is_yes]
            found += [f"yes to {o.core.id}" for o in yes if _handles(o) not in accepted]
        return found + [m for m in self._refusals() if " gets " in m]

    # --- one aspect each ---------------------------------------------------------------

    def _words(self) -> Iterator[str]:
        if self.answer.word != _word(self.expected):
            yield f"word: {self.answer.word.text}, not {self.expected['word']}"

    def _stacks(self) -> Iterator[str]:
        """Yes-stacks are the accepted ones exactly; of a case that waits, those still alive."""
        if self.answer.kind != "choose":
            return
        wanted = [set(stack) for stack in self.expected.get("accept", ())]
        word = _word(self.expected)
        given = [_handles(o) for o in self.answer.options if o.verdict.word <= word]
        for stack in wanted:
            if stack not in given:
                yield f"accept: not {' + '.join(sorted(stack))}"
        for stack in given if word.is_yes else ():
            if stack not in wanted:
                yield f"accept: also {' + '.join(sorted(stack))}"

    def _refusals(self) -> Iterator[str]:
        for entry in self.expected.get("refuse", ()):
            if "stack" in entry:
                option = self.desk.stack(entry["stack"]).options[0]
                ids = _trade(option.verdict.findings)
                yield from self._refused(entry["stack"], entry["by"], option.verdict.word, ids)
            elif "others" in entry:
                for clamp in self._others(entry.get("but", ())):
                    yield from self._parts_refused(self.answer, [clamp], entry["others"])
            else:
                yield from self._parts_refused(self._changed(entry), entry["with"], entry["by"])

    def _changed(self, entry: Data) -> Answer:
        if "change" not in entry:
            return self.answer
        job = silent.job(self.name, self.base.vocabulary, entry["change"], drawn=True)
        return _ask(Desk(self.base, job, self.judge))

    def _others(self, but: Iterable[str]) -> list[str]:
        kept = {h for stack in self.expected.get("accept", ()) for h in stack} | set(but)
        clamps = self.base.catalogues["cases"].slot("clamp")
        return sorted(p.handle for p in clamps if p.handle not in kept)

    def _parts_refused(self, answer: Answer, parts: list[str], by: list[str]) -> Iterator[str]:
        """No stack with these parts gets a yes, and each rule says no to one of them."""
        options = [o for o in answer.options if set(parts) <= _handles(o)]
        word = min((o.verdict.word for o in options), default=Word.FORBIDDEN)
        ids = {i for o in options for i in _trade(_against(o.verdict))}
        for refusal in answer.refusals:
            if any(h <= set(parts) or set(parts) <= h for h in _dead(refusal)):
                ids |= _trade(refusal.verdict.findings)
        yield from self._refused(" + ".join(parts), by, word, ids)

    def _refused(self, what: str, by: list[str], word: Word, ids: set[str]) -> Iterator[str]:
        if word.is_yes:
            yield f"refuse: {what} gets {word.text}"
        for rule in by:
            if rule not in ids:
                yield f"refuse: {what} not by {rule}"

    def _asks(self) -> Iterator[str]:
        quantities = self.base.vocabulary.quantities.values()
        best = self.answer.options[0].verdict if self.answer.options else None
        asked = (
            {k.ask.path for k in stands_if(best, self.base.vocabulary, Texts.of(self.base))}
            if best
            else set()
        )
        for code in self.expected.get("ask", ()):
            if not asked & {str(q.path) for q in quantities if q.observation == code}:
                yield f"ask: not {code}"

    def _conditions(self) -> Iterator[str]:
        given = _trade(f for o in self._yes() for f in o.verdict.conditions)
        for rule in self.expected.get("conditions", ()):
            if rule not in given:
                yield f"conditions: not {rule}"

    def _sayings(self) -> Iterator[str]:
        said = " | ".join(
            fill(f.rule.message, f.rule, f.judgement, Texts.of(self.base))
            for o in self._yes()
            for f in (*o.verdict.conditions, *o.verdict.duties)
        )
        for text in self.expected.get("says", ()):
            if text not in said:
                yield f"says: not `{text}`"

    def _decisive(self) -> Iterator[str]:
        word = _word(self.expected)
        given: set[str] = set()
        if word.is_yes:
            for option in self._yes():
                given |= _carried(option)
            given |= {i for r in self.answer.refusals for i in _trade(r.verdict.findings)}
        elif self.answer.options:
            given = _trade(f for f in self.answer.options[0].verdict.findings if _gives(f, word))
        else:
            given = {i for r in self.answer.refusals for i in _trade(r.verdict.of_word(word))}
        for rule in self.expected["decisive"]:
            if rule not in given:
                yield f"decisive: not {rule}"

    def _sets(self) -> Iterator[str]:
        """Independent reasons of the word: all of the judge's, and no other."""
        if "sets" not in self.expected or not self.answer.options:
            return
        findings = self.answer.options[0].verdict.of_word(_word(self.expected))
        wanted = [set(rules) for rules in self.expected["sets"]]
        for rules in wanted:
            if not any(rules <= set(f.rule.trade) for f in findings):
                yield f"sets: not {' and '.join(sorted(rules))}"
        for finding in findings:
            if not any(rules <= set(finding.rule.trade) for rules in wanted):
                yield f"sets: also {finding.rule.id}"
        yield from self._minimal(findings)

    def _minimal(self, findings: list[Finding]) -> Iterator[str]:
        wanted = self.expected.get("minimal")
        if wanted is None:
            return
        reasons = [(f, r) for f in findings for r in f.judgement.reasons(f"rule:{f.rule.id}")]
        for line in wanted:
            if not any(_is(line, f, r) for f, r in reasons):
                yield f"minimal: not {line['facts']}"
        for finding, reason in reasons:
            if not any(_is(line, finding, reason) for line in wanted):
                paths = ", ".join(sorted({f.path for f in reason}))
                yield f"minimal: also {finding.rule.id} by {paths}"

    def _yes(self) -> list[Option]:
        return [o for o in self.answer.options if o.verdict.word.is_yes]


def _ask(desk: Desk) -> Answer:
    request = desk.job.request
    if request.kind == "choose":
        assert request.array is not None
        return desk.choose(request.array)
    assert request.stack is not None
    return with_worked(desk, request.stack).stack(request.stack)


def _word(expected: Data) -> Word:
    return next(w for w in Word if w.text == expected["word"])


def _handles(option: Option) -> set[str]:
    return {p.partition("/")[2] for p in option.core.parts}


def _dead(refusal: Refusal) -> list[set[str]]:
    """Handles of what a refusal is about, and of each that fails alike: a clamp, or a joint."""
    named = refusal.id.partition(" for ")[0].replace(" on sheet", "").split(" + ")
    each = [named, *([*named[:-1], other] for other in refusal.alike)]
    return [{h.partition("/")[2] or h for h in handles} for handles in each]


def _trade(findings: Iterable[Finding]) -> set[str]:
    return {i for f in findings for i in f.rule.trade}


def _against(verdict: Verdict) -> list[Finding]:
    """Findings that keep a stack from a yes."""
    return [f for f in verdict.findings if f.rule.word is not None and not f.rule.word.is_yes]


def _gives(finding: Finding, word: Word) -> bool:
    """Whether a finding gives the word: surely, or as something that is still open."""
    strength = finding.rule.word or Word.ALLOWED
    if finding.surely:
        return strength == word
    return word == Word.OBSERVE and strength >= Word.OBSERVE


def _carried(option: Option) -> set[str]:
    """Rules of the trade that carry a yes: supports, requirements that are met, conditions."""
    found = _trade(option.verdict.conditions)
    for judgement in option.judgements:
        for rule in judgement.program.rules:
            fires = judgement.fires(rule)
            met = rule.kind == "require" and not fires.possibly
            if met or (rule.kind == "support" and fires.surely):
                found |= set(rule.trade)
    return found


def _is(line: Data, finding: Finding, reason: Reason) -> bool:
    """Whether a computed set is this one, facts of the data and the class of the seam aside."""
    subject = finding.judgement.subject.id
    if not all(part in subject for part in line.get("subject", ())):
        return False
    paths = {f.path for f in reason}
    named = {path for names in line["facts"] for path in names}
    every = all(paths & set(names) for names in line["facts"])
    return every and paths <= named | set(line["data"]) | CLASS
