"""An answer as a person reads it in a terminal of 80 columns; words carry it, never colour."""

from collections import defaultdict
from collections.abc import Iterable

from rich.console import Console, ConsoleOptions, RenderResult
from rich.text import Text

from selector import units
from selector.explanation.as_json import duties, open_gates
from selector.explanation.narrate import (
    bystander_text,
    evidence,
    fill,
    flip_text,
    handles,
    name_of_path,
    smallest,
)
from selector.explanation.proofs import proofs
from selector.explanation.stands import Look, nobody_can, stands_if
from selector.inference.answer import Answer, Option, Refusal
from selector.inference.flip import key_of
from selector.inference.verdict import Finding
from selector.knowledge.base import Base
from selector.knowledge.schema import Clamp
from selector.model.fact import Fact
from selector.model.job import Job
from selector.model.truth import ASPECTS, Word

MEANING = {
    Word.ALLOWED: "a yes as it stands",
    Word.CONDITIONAL: "a yes, with every condition below",
    Word.OBSERVE: "not a yes: something must be looked at or proven first",
    Word.ENGINEER: "stop: an engineer decides in writing",
    Word.FORBIDDEN: "not allowed; no observation turns this into a yes",
}
NOTHING = {
    Word.FORBIDDEN: "no stack is left; no observation turns this into a yes",
}
CAUTIONS = (
    "Prepared by a program: a licensed engineer and the local building code decide.",
    "Falls kill more fitters than failures do: fall protection before the first step.",
    "A figure counts for its own clamp, seam, metal and thickness; never carry it over.",
)
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


def show(answer: Answer, base: Base, job: Job, version: str, console: Console, most: int) -> None:
    """Print the whole answer."""
    _Page(answer, base, job, version, console, most).print()


class _Page:
    """One answer on one console."""

    def __init__(
        self, answer: Answer, base: Base, job: Job, version: str, console: Console, most: int
    ):
        self.answer = answer
        self.base = base
        self.job = job
        self.version = version
        self.console = console
        self.most = most

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
            self.bystanders()
            self.changes()
            self.refused()
            self.gates()
            self.always()
        self.foot()

    def head(self) -> None:
        answer = self.answer
        self.line(f"Job {self.job.id}: {answer.kind} {answer.about}, as of {self.job.as_of}")
        if answer.invented:
            names = ", ".join(answer.invented)
            self.line(f"DEMO: the parts of `{names}` are invented. Never build from this.")
        self.line()
        meaning = MEANING[answer.word]
        if answer.kind == "choose" and not answer.options:
            meaning = NOTHING.get(answer.word, meaning)
        gates = open_gates(answer)
        held = [f"gates open: {', '.join(gates)}"] if gates else []
        held += ["DEMO parts"] if answer.invented else []
        held = held if answer.kind != "act" else []
        word = answer.word.text.upper() + (", NOT RELEASED" if held and answer.word.is_yes else "")
        self.line(f"{word}  {meaning}", "bold")
        if held:
            start = "do not build yet: " if answer.word.is_yes else "not released: "
            self.console.print(hanging(start, "; ".join(held), self.console.width, 0))

    def contradictions(self) -> None:
        lines = []
        for observed in self.answer.contradicted:
            ask = self.base.vocabulary.ask(observed.path)
            lines.append(("? ", f"{ask.ask}  ({ask.how})"))
            for sighting in observed.sightings:
                place = f"{self.job.file}:{sighting.line}"
                lines.append(("    - ", f"{sighting.value}  ({sighting.seen})  [{place}]"))
        self.block("Contradictory: look again", lines)

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
            self.line(f"  ... and {len(options) - len(shown)} more; --all shows every one")
        if self.answer.ties > 1:
            self.line()
            self.line(
                f"  The first {self.answer.ties} are ties; the order between them is by name."
            )
        if shared:
            self.line()
            self.line("Of every stack above", "bold")
            for finding in shared.values():
                self.finding(finding, indent=2)
        if common:
            head = "Conditions" if len(shown) == 1 else "Conditions of every stack above"
            self.block(head, ((f"{i}. ", text) for i, text in enumerate(common, 1)))
        self.look(shown)
        for option in shown[:1]:
            self.why(option, option.name if self.answer.kind == "judge" else "stack 1")

    def _common(self, shown: tuple[Option, ...]) -> list[str]:
        """Conditions that every stack shares to the word."""
        each = [dict.fromkeys(self._conditions(o)) for o in shown]
        return [t for t in each[0] if all(t in e for e in each)] if each else []

    def _shared(self, shown: tuple[Option, ...]) -> dict[tuple[str, str], Finding]:
        """Strong findings that every one of several stacks has to the word."""
        if len(shown) < 2:
            return {}
        each = [{_said(f): f for f in _strong(o)} for o in shown]
        return {k: f for k, f in each[0].items() if all(k in e for e in each)}

    def _conditions(self, option: Option) -> list[str]:
        lines = [
            f"{'' if f.surely else 'perhaps: '}{fill(f.rule.message, f.rule, f.judgement)}"
            for f in option.verdict.conditions
        ]
        lines += [f"confirm from the source: {f.shown}" for f in option.verdict.confirm]
        return list(dict.fromkeys(lines))

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
        title = f"Stack {option.name}: {option.core.id}" if named else f"{number}  {option.core.id}"
        clamp = option.module_clamp
        title += f" + {clamp.partition('/')[2]}" if clamp else ""
        self.console.print(hanging("", title, self.console.width, 0))
        aspects = ", ".join(f"{a} {verdict.aspects[a].text}" for a in ASPECTS)
        self.line(f"   {verdict.word.text}: {aspects}")
        if verdict.withheld:
            self.line(
                "   withheld: the two inference paths disagree; send in this job and the --json"
            )
        own = [t for t in self._conditions(option) if t not in common]
        for text in own:
            self.console.print(hanging("- ", text, self.console.width, 3))
        for finding in _strong(option):
            if _said(finding) not in shared:
                self.finding(finding, indent=3)
        if named:
            self.open_rules(option)
        if verdict.may_become is not None and verdict.word >= Word.ENGINEER:
            by = _once([f for f in verdict.findings if f.rule.word == verdict.may_become])
            text = ", ".join(f.rule.id for f in by)
            line = f"{verdict.may_become.text}: {text}"
            self.console.print(hanging("may still become ", line, self.console.width, 3))
        for text, who in nobody_can(verdict):
            if verdict.word == Word.OBSERVE:
                line = f"not in the base: {text} ({who})"
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
            text = fill(finding.rule.message, finding.rule, finding.judgement)
            line = f"{text} [{finding.rule.id}]"
            self.console.print(hanging(f"may be {word}: ", line, self.console.width, 3))
        if len(findings) > SHOWN:
            self.line(f"   ... and {len(findings) - SHOWN} more rules are open")

    def why(self, option: Option, name: str) -> None:
        """What speaks for a stack: each proof, with the records and papers it rests on."""
        lines: dict[tuple[str, str], None] = {}
        rests: dict[str, None] = {}
        for proof in proofs(option.judgements):
            short = [f.shown if f.path.startswith("stated.") else f.entity for f in proof.cited]
            shown = f" [{', '.join(short)}]" if short else ""
            text = proof.text.removeprefix("record ")
            lines[f"{proof.need.aspect:<5}  ", f"{proof.need.name}: {text}{shown}"] = None
            for fact in proof.cited:
                rests[_cited(fact)] = None
        self.block(f"What is proven for {name}", lines)
        self.block("It rests on", (("- ", text) for text in sorted(rests)))

    def finding(self, finding: Finding, indent: int) -> None:
        """One diagnostic: headline, evidence with place and source, help."""
        rule, judgement = finding.rule, finding.judgement
        word = rule.word.text if rule.word is not None else "says"
        width = self.console.width
        self.console.print(hanging(f"{word}[{rule.id}]: ", rule.title, width, indent), style="bold")
        self.console.print(hanging("", fill(rule.message, rule, judgement), width, indent + 2))
        reasons = smallest(judgement.reasons(f"rule:{rule.id}"), 2)
        for i, reason in enumerate(reasons):
            for j, fact in enumerate(sorted(reason)):
                mark = "because  " if j == 0 and i == 0 else "or       " if j == 0 else "and      "
                place = f"  [{fact.origin}]" if fact.origin else ""
                seen = f"  ({fact.seen})" if fact.seen else ""
                text = f"{evidence(fact)}{seen}{place}"
                self.console.print(hanging(mark, text, width, indent + 2))
        for flip in self.answer.flips.get(key_of(finding), ()):
            self.console.print(hanging("margin   ", flip_text(flip), width, indent + 2))
        who = f" (lifted by: {rule.lifted})" if rule.lifted else ""
        self.console.print(
            hanging("help     ", fill(rule.help, rule, judgement) + who, width, indent + 2)
        )

    def look(self, shown: tuple[Option, ...]) -> None:
        """What the shown stacks wait for, once."""
        found: dict[str, Look] = {}
        for option in shown:
            for look in stands_if(option.verdict, self.base.vocabulary):
                kept = found.get(look.ask.path)
                limits = look.limits if kept is None else (*kept.limits, *look.limits)
                found[look.ask.path] = Look(look.ask, tuple(sorted(set(limits))))
        people: dict[str, list[tuple[str, str]]] = defaultdict(list)
        for look in sorted(found.values(), key=lambda item: (item.ask.effort, item.ask.path)):
            limit = f" -> {' / '.join(look.limits)}" if look.limits else ""
            how = f"  ({look.ask.how})" if look.ask.how else ""
            key = look.ask.path.removeprefix("plane.")
            people[look.ask.who].append(("  [ ] ", f"{look.ask.ask}{limit}{how}  [{key}]"))
        lines = [x for who, each in people.items() for x in [("", f"{who}:"), *each]]
        self.block("Stands if (verify in this order)", lines)

    # --- the rest ----------------------------------------------------------------------

    def bystanders(self) -> None:
        """What was looked at and is no reason for the refusal; figures with their room first."""
        found = self.answer.bystanders
        lines = [
            ("- ", f"{bystander_text(b)}  [{b.rule.id}]") for b in found if b.margin is not None
        ]
        others = [name_of_path(b.fact) for b in found if b.margin is None]
        if others:
            lines.append(("- ", f"nor these: {', '.join(others)}"))
        self.block("Not a reason", lines)

    def changes(self) -> None:
        """Smallest changes that were built and judged again."""
        lines = []
        for number, change in enumerate(self.answer.changes, 1):
            moves = [f"{_slot(s)}: {_handle(a)} -> {_handle(b)}" for s, a, b in change.moved]
            option = change.option
            lines.append((f"{number}. ", f"{option.verdict.word.text}: {'; '.join(moves)}"))
            with_it = [f"{b} in the kit" for b in change.brings]
            clamp = self.base.part(option.core.clamp).shape
            new_clamp = any(slot == "clamp" for slot, _, _ in change.moved)
            if new_clamp and isinstance(clamp, Clamp):
                torque = clamp.torque
                shown = torque if isinstance(torque, str) else units.show(torque, "torque")
                with_it.append(f"its own torque, {shown}")
            if with_it:
                lines.append(("   ", f"with it: {'; '.join(with_it)}"))
        self.block("Changes that make it milder, each judged anew", lines)

    def refused(self) -> None:
        """Refusals at the smallest thing that dies, grouped by rule."""
        groups: dict[tuple[str, str], list[Refusal]] = defaultdict(list)
        for refusal in self.answer.refusals:
            found = refusal.verdict.of_word(Word.FORBIDDEN)
            rule = found[0].rule if found else None
            groups[refusal.level, rule.id if rule else "no proof"].append(refusal)
        if not groups:
            return
        self.line()
        self.line("Refused, at the smallest thing that dies", "bold")
        for (level, rule_id), refusals in groups.items():
            found = refusals[0].verdict.of_word(Word.FORBIDDEN)
            title = found[0].rule.title if found else "nothing proves it"
            self.console.print(hanging(f"{level}: ", f"{title} [{rule_id}]", self.console.width))
            for refusal in refusals[: self.most]:
                for finding in refusal.verdict.of_word(Word.FORBIDDEN)[:1]:
                    name = "" if level == "part" else f"{refusal.id.partition(' for ')[0]}: "
                    text = fill(finding.rule.message, finding.rule, finding.judgement)
                    alike = self.names(refusal.alike)
                    text += f"; likewise {alike}" if alike else ""
                    self.console.print(hanging("- ", name + text, self.console.width, 4))
            left = len(refusals) - self.most
            if left > 0:
                self.line(f"    - and {left} more; --all names them")
            if found:
                finding = found[0]
                text = fill(finding.rule.help, finding.rule, finding.judgement)
                self.console.print(hanging("way out: ", text, self.console.width, 4))

    def names(self, parts: tuple[str, ...]) -> str:
        """Handles of parts, and how many more there are."""
        left = len(parts) - self.most
        more = f" and {left} more" if left > 0 else ""
        return ", ".join(map(handles, parts[: self.most])) + more

    def gates(self) -> None:
        lines = []
        for gate, findings in sorted(self.answer.site.gates.items()):
            if findings:
                rule = findings[0].rule
                lines.append((f"open    {gate}: ", f"{rule.title}; {rule.help}"))
            else:
                lines.append((f"closed  {gate}", ""))
        self.block("Release gates (beside the verdict)", lines)

    def always(self) -> None:
        lines = [("- ", fill(f.rule.message, f.rule, f.judgement)) for f in duties(self.answer)]
        for refusal in self.answer.acts:
            for finding in refusal.verdict.findings[:1]:
                lines.append(("- ", fill(finding.rule.message, finding.rule, finding.judgement)))
        self.block("Always", lines)

    def act(self) -> None:
        self.line()
        for refusal in self.answer.refusals:
            for finding in refusal.verdict.findings:
                self.finding(finding, indent=0)
            if not refusal.verdict.findings:
                self.line("No rule of this base judges it; silence is never a yes. Ask support.")

    def foot(self) -> None:
        self.line()
        for caution in CAUTIONS:
            self.console.print(hanging("! ", caution, self.console.width, 0))
        self.line(f"seamwright {self.version}, base {self.base.digest[:12]}")


def _slot(name: str) -> str:
    return name.replace("_", " ")


def _handle(part: str | None) -> str:
    return handles(part) if part else "none"


def _cited(fact: Fact) -> str:
    """A record, a pairing with its source, or the paper behind a stated figure."""
    if fact.path.startswith("stated."):
        return fact.seen
    return f"{fact.shown} ({fact.seen})" if fact.seen else fact.shown


def _strong(option: Option) -> list[Finding]:
    """Rules that surely hold a yes back, one finding a rule."""
    weak = (None, Word.CONDITIONAL)
    return _once([f for f in option.verdict.findings if f.surely and f.rule.word not in weak])


def _said(finding: Finding) -> tuple[str, str]:
    """Rule and message of a finding: equal for stacks that share it."""
    return finding.rule.id, fill(finding.rule.message, finding.rule, finding.judgement)


def _once(findings: list[Finding]) -> list[Finding]:
    """One finding a rule."""
    return list({f.rule.id: f for f in reversed(findings)}.values())[::-1]
