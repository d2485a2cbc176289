"""An answer as a person reads it in a terminal of 80 columns; words carry it, never colour."""

from collections import defaultdict
from collections.abc import Iterable, Sequence

from rich.console import Console, ConsoleOptions, RenderResult
from rich.text import Text

from selector import units
from selector.explanation.as_json import duties, open_gates
from selector.explanation.at_odds import at_odds
from selector.explanation.moves import move_text
from selector.explanation.narrate import (
    bystander_text,
    evidence,
    fill,
    flip_text,
    handles,
    name_of_path,
    smallest,
    to_confirm,
)
from selector.explanation.proofs import proofs
from selector.explanation.stands import Look, nobody_can, stands_if
from selector.explanation.texts import Texts
from selector.explanation.worlds import NO_PROOF, by_each, worlds_lines
from selector.inference.answer import Answer, Option, Refusal
from selector.inference.flip import key_of
from selector.inference.verdict import Finding
from selector.knowledge.base import Base
from selector.knowledge.schema import Clamp
from selector.model.fact import Fact
from selector.model.job import Job
from selector.model.truth import ASPECTS, Word

CAUTIONS = ("caution.who_decides", "caution.falls", "caution.figures")
SHOWN = 5


class Block:
    """A heading with hanging lines below it."""

    def __init__(self, head: str, lines: Iterable[tuple[str, str]], style: str = "bold"):
        self.head = head
        self.lines = list(lines)
        self.style = style

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        yield Text(self.head, style=self.style)
        for mark, line in self.lines:
            yield hanging(mark, line, options.max_width)


def hanging(mark: str, line: str, width: int, indent: int = 2) -> Text:
    """A line behind a mark, wrapped under itself."""
    from textwrap import wrap

    lead = " " * indent + mark
    room = max(20, width - len(lead))
    body = wrap(line, room, break_long_words=False) or [""]
    text = lead + body[0] + "".join("\n" + " " * len(lead) + rest for rest in body[1:])
    return Text(text)


def show(
    answer: Answer,
    base: Base,
    job: Job,
    version: str,
    console: Console,
    most: int,
    provisional: Sequence[str] = (),
) -> None:
    """Print the whole answer; `provisional` lines say what is left while facts are missing."""
    _Page(answer, base, job, version, console, most, provisional).print()


class _Page:
    """One answer on one console."""

    def __init__(
        self,
        answer: Answer,
        base: Base,
        job: Job,
        version: str,
        console: Console,
        most: int,
        provisional: Sequence[str] = (),
    ):
        self.answer = answer
        self.base = base
        self.texts = Texts.of(base)
        self.say = self.texts.say
        self.job = job
        self.version = version
        self.console = console
        self.most = most
        self.provisional = provisional

    def line(self, text: str = "", style: str = "") -> None:
        self.console.print(Text(text, style=style), soft_wrap=False)

    def block(self, head: str, lines: Iterable[tuple[str, str]]) -> None:
        found = list(lines)
        if found:
            self.line()
            self.console.print(Block(head, found))

    def print(self) -> None:
        self.head()
        if self.answer.kind == "act":
            self.act()
        else:
            self.contradictions()
            self.stacks()
            self.kits()
            self.bystanders()
            self.changes()
            self.refused()
            self.gates()
            self.always()
        self.foot()

    def head(self) -> None:
        answer = self.answer
        kind, about = self.texts.word(answer.kind), self.about()
        as_of = self.job.as_of
        head = self.say("answer.head", job=self.job.id, kind=kind, about=about, as_of=as_of)
        self.console.print(hanging("", head, self.console.width, 0))
        if answer.invented:
            self.line(self.say("answer.demo", names=", ".join(answer.invented)))
        self.line()
        bare = answer.kind == "choose" and not answer.options and answer.word == Word.FORBIDDEN
        meaning = self.say(f"word.{answer.word.text}.{'no_stack' if bare else 'means'}")
        gates = ", ".join(map(self.texts.word, open_gates(answer)))
        held = [self.say("answer.gates_open", gates=gates)] if gates else []
        held += [self.say("answer.demo_parts")] if answer.invented else []
        held = held if answer.kind != "act" else []
        waits = held and answer.word.is_yes
        word = self.texts.word(answer.word.text).upper()
        name = "answer.word.not_released" if waits else "answer.word"
        self.line(self.say(name, word=word, meaning=meaning), "bold")
        if held:
            start = self.say("answer.not_yet" if waits else "answer.not_released")
            self.console.print(hanging(start, "; ".join(held), self.console.width, 0))

    def about(self) -> str:
        """What is answered: an act, or an array or a stack by its name."""
        if self.answer.kind == "act":
            return self.texts.word(self.answer.about)
        what, _, name = self.answer.about.partition(" ")
        return f"{self.texts.word(what)} {name}"

    def contradictions(self) -> None:
        lines = at_odds(self.answer, self.job, self.base, self.texts)
        self.block(self.say("contradictory.head"), lines)

    # --- stacks ------------------------------------------------------------------------

    def stacks(self) -> None:
        options = self.answer.options
        shown = options[: self.most]
        common = self._common(shown)
        shared = self._shared(shown)
        for number, option in enumerate(shown, 1):
            self.stack(number, option, common, shared)
        if len(options) > len(shown):
            self.line()
            self.line("  " + self.say("stacks.more", n=len(options) - len(shown)))
        if self.answer.ties > 1:
            self.line()
            self.line("  " + self.say("stacks.ties", n=self.answer.ties))
        if shared:
            self.line()
            self.line(self.say("stacks.shared"), "bold")
            for finding in shared.values():
                self.finding(finding, indent=2)
        if common:
            head = "conditions.head" if len(shown) == 1 else "conditions.head_of_every"
            self.block(self.say(head), ((f"{i}. ", text) for i, text in enumerate(common, 1)))
        self.look(shown)
        for option in shown[:1]:
            named = self.answer.kind == "judge"
            self.why(option, option.name if named else self.say("stacks.number", n=1))

    def _common(self, shown: tuple[Option, ...]) -> list[str]:
        """Conditions that every stack shares to the word."""
        each = [dict.fromkeys(self._conditions(o)) for o in shown]
        return [t for t in each[0] if all(t in e for e in each)] if each else []

    def _shared(self, shown: tuple[Option, ...]) -> dict[tuple[str, str], Finding]:
        """Strong findings that every one of several stacks has to the word."""
        if len(shown) < 2:
            return {}
        each = [{self.said(f): f for f in _strong(o)} for o in shown]
        return {k: f for k, f in each[0].items() if all(k in e for e in each)}

    def _conditions(self, option: Option) -> list[str]:
        lines = [
            self.message(f) if f.surely else self.say("conditions.perhaps", text=self.message(f))
            for f in option.verdict.conditions
        ]
        lines += [to_confirm(fact, self.texts) for fact in option.verdict.confirm]
        return list(dict.fromkeys(lines))

    def message(self, finding: Finding) -> str:
        """Message of the rule of a finding, filled from its subject."""
        return fill(finding.rule.message, finding.rule, finding.judgement, self.texts)

    def help(self, finding: Finding) -> str:
        """What to do about a finding."""
        return fill(finding.rule.help, finding.rule, finding.judgement, self.texts)

    def said(self, finding: Finding) -> tuple[str, str]:
        """Rule and message of a finding: equal for stacks that share it."""
        return finding.rule.id, self.message(finding)

    def stack(
        self,
        number: int,
        option: Option,
        common: list[str],
        shared: dict[tuple[str, str], Finding],
    ) -> None:
        self.line()
        verdict = option.verdict
        named = self.answer.kind == "judge"
        clamp = option.module_clamp
        core = option.core.id + (f" + {clamp.partition('/')[2]}" if clamp else "")
        title = self.say("stacks.numbered", n=number, core=core)
        if named:
            title = self.say("stacks.named", name=option.name, core=core)
        self.console.print(hanging("", title, self.console.width, 0))
        word = self.texts.word
        aspects = ", ".join(
            self.say("stacks.aspect", aspect=word(a), word=word(verdict.aspects[a].text))
            for a in ASPECTS
        )
        line = self.say("stacks.word", word=word(verdict.word.text), aspects=aspects)
        self.console.print(hanging("", line, self.console.width, 3))
        if verdict.withheld:
            self.console.print(hanging("", self.say("stacks.withheld"), self.console.width, 3))
        own = [t for t in self._conditions(option) if t not in common]
        for text in own:
            self.console.print(hanging("- ", text, self.console.width, 3))
        for line in worlds_lines(verdict, self.texts):
            self.console.print(hanging("", line, self.console.width, 3), style="bold")
        for finding in _strong(option):
            if self.said(finding) not in shared:
                self.finding(finding, indent=3)
        if named:
            self.open_rules(option)
        if verdict.may_become is not None and verdict.word >= Word.ENGINEER:
            by = _once([f for f in verdict.findings if f.rule.word == verdict.may_become])
            rules = ", ".join(f.rule.id for f in by)
            become = word(verdict.may_become.text)
            line = self.say("stacks.may_become_by", word=become, rules=rules)
            mark = self.say("stacks.may_become")
            self.console.print(hanging(mark, line, self.console.width, 3))
        for text, who in nobody_can(verdict):
            if verdict.word == Word.OBSERVE:
                line = self.say("stacks.not_in_base", text=text, who=word(who))
                self.console.print(hanging("- ", line, self.console.width, 3))

    def open_rules(self, option: Option) -> None:
        """Rules that may still say no to a named stack."""
        findings = [
            f
            for f in option.verdict.findings
            if not f.surely and f.rule.word is not None and f.rule.word >= Word.OBSERVE
        ]
        for finding in findings[:SHOWN]:
            word = finding.rule.word.text if finding.rule.word is not None else ""
            mark = self.say("stacks.may_be", word=self.texts.word(word))
            line = self.say("stacks.open_rule", text=self.message(finding), rule=finding.rule.id)
            self.console.print(hanging(mark, line, self.console.width, 3))
        if len(findings) > SHOWN:
            self.line("   " + self.say("stacks.more_open", n=len(findings) - SHOWN))

    def why(self, option: Option, name: str) -> None:
        """What speaks for a stack: each proof, with the records and papers it rests on."""
        lines: dict[tuple[str, str], None] = {}
        rests: dict[str, None] = {}
        wide = max(len(self.texts.word(aspect)) for aspect in ASPECTS)
        for proof in proofs(option.judgements, self.texts):
            short = [self.short(fact) for fact in proof.cited]
            shown = f" [{', '.join(short)}]" if short else ""
            text = proof.text.removeprefix(self.say("proven.record")) + shown
            need = self.texts.word(proof.need.name)
            aspect = self.texts.word(proof.need.aspect)
            lines[f"{aspect:<{wide}}  ", self.say("proven.line", need=need, text=text)] = None
            for fact in (*proof.cited, *proof.dissent):
                rests[self.cited(fact)] = None
        self.block(self.say("proven.head", name=name), lines)
        self.block(self.say("proven.rests"), (("- ", text) for text in sorted(rests)))

    def short(self, fact: Fact) -> str:
        """A stated figure, the id of a record or pairing, or the colour of a sheet."""
        if fact.path.startswith("trade."):
            return self.texts.word(fact.entity)
        return self.texts.shown(fact.shown) if fact.path.startswith("stated.") else fact.entity

    def cited(self, fact: Fact) -> str:
        """A record, a pairing with its source, or the paper behind a stated figure."""
        if fact.path.startswith("stated."):
            return self.texts.seen(fact.seen)
        shown = self.texts.shown(fact.shown)
        return f"{shown} ({fact.seen})" if fact.seen else shown

    def finding(self, finding: Finding, indent: int) -> None:
        """One diagnostic: headline, evidence with place and source, help."""
        rule, judgement = finding.rule, finding.judgement
        word = self.say("finding.says")
        if rule.word is not None:
            word = self.texts.word(rule.word.text)
        width = self.console.width
        head = self.say("finding.head", word=word, rule=rule.id)
        self.console.print(hanging(head, rule.title, width, indent), style="bold")
        self.console.print(hanging("", self.message(finding), width, indent + 2))
        reasons = smallest(judgement.reasons(f"rule:{rule.id}"), 2)
        for i, reason in enumerate(reasons):
            for j, fact in enumerate(sorted(reason)):
                mark = "and" if j else "or" if i else "because"
                place = f"  [{fact.origin}]" if fact.origin else ""
                seen = f"  ({self.texts.seen(fact.seen)})" if fact.seen else ""
                text = f"{evidence(fact, self.texts)}{seen}{place}"
                self.console.print(hanging(self.say(f"finding.{mark}"), text, width, indent + 2))
        for flip in self.answer.flips.get(key_of(finding), ()):
            mark, text = self.say("finding.margin"), flip_text(flip, self.texts)
            self.console.print(hanging(mark, text, width, indent + 2))
        who = self.texts.word(rule.lifted) if rule.lifted else ""
        text = self.help(finding) + (self.say("finding.lifted", who=who) if who else "")
        self.console.print(hanging(self.say("finding.help"), text, width, indent + 2))

    def look(self, shown: tuple[Option, ...]) -> None:
        """What the shown stacks wait for, once."""
        found: dict[str, Look] = {}
        for option in shown:
            for look in stands_if(option.verdict, self.base.vocabulary, self.texts):
                kept = found.get(look.ask.path)
                limits = look.limits if kept is None else (*kept.limits, *look.limits)
                found[look.ask.path] = Look(look.ask, tuple(sorted(set(limits))))
        people: dict[str, list[tuple[str, str]]] = defaultdict(list)
        for look in sorted(found.values(), key=lambda item: (item.ask.effort, item.ask.path)):
            limit = ""
            if look.limits:
                limit = self.say("stands_if.limit", limits=" / ".join(look.limits))
            how = f"  ({look.ask.how})" if look.ask.how else ""
            key = look.ask.path.removeprefix("plane.")
            people[look.ask.who].append(("  [ ] ", f"{look.ask.ask}{limit}{how}  [{key}]"))
        lines: list[tuple[str, str]] = []
        for who, each in people.items():
            lines += [("", self.say("stands_if.who", who=self.texts.word(who))), *each]
        self.block(self.say("stands_if.head"), lines)

    # --- the rest ----------------------------------------------------------------------

    def kits(self) -> None:
        """What may be said of all kits that are left."""
        if self.provisional:
            self.line()
        for line in self.provisional:
            self.line(line)

    def bystanders(self) -> None:
        """What was looked at and is no reason for the refusal; figures with their room first."""
        found = self.answer.bystanders
        lines = [
            ("- ", f"{bystander_text(b, self.texts)}  [{b.rule.id}]")
            for b in found
            if b.margin is not None
        ]
        others = [name_of_path(b.fact, self.texts) for b in found if b.margin is None]
        if others:
            lines.append(("- ", self.say("not_a_reason.nor", names=", ".join(others))))
        self.block(self.say("not_a_reason.head"), lines)

    def changes(self) -> None:
        """Smallest changes that were built and judged again."""
        lines = []
        for number, change in enumerate(self.answer.changes, 1):
            moves = "; ".join(move_text(moved, self.texts) for moved in change.moved)
            option = change.option
            word = self.texts.word(option.verdict.word.text)
            name = "changes.line_got" if change.who else "changes.line"
            lines.append((f"{number}. ", self.say(name, word=word, moves=moves)))
            with_it = [self.say("changes.in_kit", part=part) for part in change.brings]
            clamp = self.base.part(option.core.clamp).shape
            new_clamp = any(slot == "clamp" for slot, _, _ in change.moved)
            if new_clamp and isinstance(clamp, Clamp):
                torque = clamp.torque
                shown = torque if isinstance(torque, str) else units.show(torque, "torque")
                with_it.append(self.say("changes.torque", torque=self.texts.shown(shown)))
            if with_it:
                lines.append(("   ", self.say("changes.with", what="; ".join(with_it))))
        self.block(self.say("changes.head"), lines)

    def refused(self) -> None:
        """Refusals at the smallest thing that dies, grouped by rule."""
        groups: dict[tuple[str, str], list[Refusal]] = defaultdict(list)
        for refusal in self.answer.refusals:
            found = refusal.verdict.of_word(Word.FORBIDDEN)
            rule = found[0].rule if found else None
            groups[refusal.level, rule.id if rule else by_each(refusal.verdict)].append(refusal)
        if not groups:
            return
        self.line()
        self.line(self.say("refused.head"), "bold")
        for (level, rule_id), refusals in groups.items():
            found = refusals[0].verdict.of_word(Word.FORBIDDEN)
            bare = self.say("refused.by_each" if rule_id != NO_PROOF else "refused.no_proof")
            title = found[0].rule.title if found else bare
            mark = self.say("refused.level", level=self.texts.word(level))
            self.console.print(hanging(mark, f"{title} [{rule_id}]", self.console.width))
            for refusal in refusals[: self.most]:
                for line in worlds_lines(refusal.verdict, self.texts, bare=True):
                    self.console.print(hanging("- ", line, self.console.width, 4))
                for finding in refusal.verdict.of_word(Word.FORBIDDEN)[:1]:
                    name = "" if level == "part" else f"{refusal.id.partition(' for ')[0]}: "
                    text, alike = self.message(finding), self.names(refusal.alike)
                    if alike:
                        text = self.say("refused.likewise", text=text, names=alike)
                    self.console.print(hanging("- ", name + text, self.console.width, 4))
            left = len(refusals) - self.most
            if left > 0:
                self.line("    - " + self.say("refused.more", n=left))
            if found:
                text = self.help(found[0])
                self.console.print(
                    hanging(self.say("refused.way_out"), text, self.console.width, 4)
                )

    def names(self, parts: tuple[str, ...]) -> str:
        """Handles of parts, and how many more there are."""
        left = len(parts) - self.most
        names = ", ".join(map(handles, parts[: self.most]))
        return self.say("refused.names_and_more", names=names, n=left) if left > 0 else names

    def gates(self) -> None:
        lines = []
        for gate, findings in sorted(self.answer.site.gates.items()):
            name = self.texts.word(gate)
            if findings:
                rule = findings[0].rule
                text = self.say("gates.line", title=rule.title, help=rule.help)
                lines.append((self.say("gates.open", gate=name), text))
            else:
                lines.append((self.say("gates.closed", gate=name), ""))
        self.block(self.say("gates.head"), lines)

    def always(self) -> None:
        lines = [("- ", self.message(finding)) for finding in duties(self.answer)]
        for refusal in self.answer.acts:
            for finding in refusal.verdict.findings[:1]:
                lines.append(("- ", self.message(finding)))
        self.block(self.say("always.head"), lines)

    def act(self) -> None:
        self.line()
        for refusal in self.answer.refusals:
            for finding in refusal.verdict.findings:
                self.finding(finding, indent=0)
            if not refusal.verdict.findings:
                self.line(self.say("acts.no_rule"))

    def foot(self) -> None:
        self.line()
        for caution in CAUTIONS:
            self.console.print(hanging("! ", self.say(caution), self.console.width, 0))
        digest = self.base.digest[:12]
        self.line(self.say("answer.foot", version=self.version, digest=digest))


def _strong(option: Option) -> list[Finding]:
    """Rules that surely hold a yes back, one finding a rule."""
    weak = (None, Word.CONDITIONAL)
    return _once([f for f in option.verdict.findings if f.surely and f.rule.word not in weak])


def _once(findings: list[Finding]) -> list[Finding]:
    """One finding a rule."""
    return list({f.rule.id: f for f in reversed(findings)}.values())[::-1]
