"""Everything that a sheet tells, put together by whoever asked for it."""

from dataclasses import dataclass
from functools import cached_property

from selector.explanation.as_json import open_gates
from selector.explanation.narrate import fill, handles, name_key
from selector.explanation.places.plan_svg import Plan
from selector.explanation.sheet.blocks import KitGroup
from selector.explanation.texts import Texts
from selector.facts.actions.model import Loads
from selector.inference.answer import Answer, Option, Refusal
from selector.inference.verdict import Finding
from selector.knowledge.base import Base
from selector.layout.model import Placed
from selector.model.job import Array, Job, Plane
from selector.model.truth import Word


@dataclass(frozen=True)
class Case:
    """One stack of a job with its answer; `word` is the strongest of the stack and its places.

    `picture` None: there is no plan, and `no_plan` says why. `kit` None: not counted. `refused` are
    things that may not be mounted on this plane.
    """

    base: Base
    job: Job
    array: Array
    answer: Answer
    option: Option
    word: Word
    version: str
    refused: tuple[Refusal, ...] = ()
    loads: Loads | None = None
    picture: Plan | None = None
    no_plan: tuple[str, ...] = ()
    kit: tuple[KitGroup, ...] | None = None
    kit_stops: tuple[str, ...] = ()  # what of the kit holds a release back

    @cached_property
    def texts(self) -> Texts:
        """Texts in the language of the base."""
        return Texts.of(self.base)

    def say(self, name: str, /, **holes: object) -> str:
        """Text of an id with its holes filled."""
        return self.texts.say(name, **holes)

    @property
    def plane(self) -> Plane:
        """Plane of the array."""
        return self.job.planes[self.array.plane]

    @property
    def placed(self) -> Placed | None:
        """The layout, where there is one."""
        return None if self.picture is None else self.picture.placed

    @property
    def stack(self) -> Option | None:
        """The stack, where it may be shown: not once it is forbidden."""
        return None if self.word == Word.FORBIDDEN else self.option

    @property
    def invented(self) -> tuple[str, ...]:
        """Catalogues and national choices that are not real."""
        loads = self.loads.invented if self.loads is not None else ()
        return tuple(dict.fromkeys((*self.answer.invented, *loads)))

    @property
    def held(self) -> list[str]:
        """Why nobody may build on it besides its word: gates, the kit, invented parts."""
        gates = ", ".join(map(self.texts.word, open_gates(self.answer)))
        held = [self.say("answer.gates_open", gates=gates)] if gates else []
        held += self.kit_stops
        return held + ([self.say("answer.demo_parts")] if self.invented else [])

    @property
    def released(self) -> bool:
        """Whether somebody may build on it."""
        return self.word.is_yes and not self.held

    def name(self, path: str) -> str:
        """What a quantity is called; as it is asked for where it has no name."""
        key = name_key(path)
        ask = self.base.vocabulary.ask(path)
        if self.base.language == "en" or key in self.texts.book.words or ask.ask == path:
            return self.texts.word(key)
        return ask.ask

    def message(self, finding: Finding) -> str:
        """Message of the rule of a finding, filled from its subject."""
        return fill(finding.rule.message, finding.rule, finding.judgement, self.texts)

    def help(self, finding: Finding) -> str:
        """What to do about a finding, and who can."""
        rule = finding.rule
        text = fill(rule.help, rule, finding.judgement, self.texts)
        who = self.texts.word(rule.lifted) if rule.lifted else ""
        return text + (self.say("finding.lifted", who=who) if who else "")

    def part(self, part_id: str) -> str:
        """A part by its name without the catalogue."""
        return handles(part_id)
