"""What a substitution has to say, sentence by sentence: for the page, the data and the record."""

from collections.abc import Iterable
from dataclasses import dataclass

from selector import units
from selector.explanation.as_json import open_gates, released
from selector.explanation.moves import move_text, slot_name
from selector.explanation.narrate import fill, handles, to_confirm
from selector.explanation.stands import Look, nobody_can, stands_if
from selector.explanation.texts import Texts
from selector.inference.answer import Change, Option
from selector.inference.in_worlds import giving
from selector.inference.reach import Reach, Side
from selector.inference.swap import Swapped
from selector.inference.verdict import Finding
from selector.knowledge import schema
from selector.knowledge.base import Base
from selector.model.job import Job
from selector.model.truth import Word

FIGURES = 3  # figures to be worked out anew that are named
GROUPS = ("where", "how", "papers")
OF = {"place": "where", "layout": "where", "plane": "papers", "job": "papers"}
PLACES = ("clips", "loads")  # themes of rules about places
SETTINGS = ("layout", "array", "beside")  # what is set there is no slot of the stack
PROOFS = {  # asked for as a record; where that cannot come, the proof itself is named once
    "stack.evidence": "clamp record",
    "joint.evidence": "joint record",
    "plane.clips": "clip record",
}
# What is photographed, by what was changed; anything else by its place.
PHOTOS = ("clamp", "insert", "inlay", "adapters", "bolts", "rail", "screw_tip", "torque")


@dataclass(frozen=True)
class SwapTelling:
    """One substitution in the language of the base; `job` is the changed one."""

    swapped: Swapped
    base: Base
    job: Job
    sets: tuple[tuple[str, str, str], ...] = ()
    reaches: tuple[Reach, ...] = ()

    @property
    def texts(self) -> Texts:
        """The texts of the base."""
        return Texts.of(self.base)

    def say(self, name: str, /, **holes: object) -> str:
        """A text of this screen."""
        return self.texts.say(name, **holes)

    # --- what is asked -------------------------------------------------------------------

    @property
    def word(self) -> Word:
        """The word of the change as it was asked for."""
        return self.swapped.word

    @property
    def is_refused(self) -> bool:
        """Whether no look alone turns it into a yes."""
        return self.word >= Word.ENGINEER

    def headline(self, means: str = "") -> str:
        """The word, whether it is released, and what that means; `means` is another text for it."""
        held = self.word.is_yes and not released(self.swapped.answer)
        word = self.texts.word(self.word.text).upper()
        meaning = self.say(means or f"word.{self.word.text}.means")
        return self.say(
            "answer.word.not_released" if held else "answer.word", word=word, meaning=meaning
        )

    def moves(self) -> list[str]:
        """What is changed, each as something to do."""
        found = [self._set(slot_name(s, self.texts), a, b) for s, a, b in self.swapped.moved]
        drawn = [x for x in self.sets if x[0].partition(".")[0] in SETTINGS]
        found += [self._set(*one) for one in drawn]
        if not found:  # set to what it is anyway, such as the listed torque
            found = [self._set(*one) for one in self.sets]
        return list(dict.fromkeys(found))

    def _set(self, what: str, old: str | None, new: str | None) -> str:
        before, after = (
            handles(self.texts.shown(one)) if one else self.texts.say("moves.none")
            for one in (old, new)
        )
        return self.say("swap.set", what=what, old=before, new=after)

    def reasons(self) -> list[tuple[str, str]]:
        """Title and message of each rule that gives a no, once each."""
        found = giving(self.swapped.option.verdict) if self.is_refused else []
        said = {f.rule.id: (f.rule.title, self.message(f)) for f in reversed(list(found))}
        return list(said.values())[::-1]

    # --- conditions ----------------------------------------------------------------------

    def conditions(self) -> list[tuple[str, list[str]]]:
        """Conditions that come with the change, in at most three groups; none of a no."""
        return self._grouped(own=False)

    def own(self) -> list[tuple[str, list[str]]]:
        """Conditions that the stack has as planned, and nobody accepted; none of a no."""
        return self._grouped(own=True)

    def _grouped(self, *, own: bool) -> list[tuple[str, list[str]]]:
        """Conditions that nobody accepted yet, in the groups of `GROUPS`."""
        if not self.word.is_yes:
            return []
        groups: dict[str, list[str]] = {name: [] for name in GROUPS}
        for finding in self.swapped.fresh:
            if (finding in self.swapped.own) == own:
                groups[_group(finding)].append(self._condition(finding))
        for fact in self.swapped.confirm:
            if (fact in self.swapped.own) == own:
                groups["papers"].append(to_confirm(fact, self.texts))
        return [(name, list(dict.fromkeys(lines))) for name, lines in groups.items() if lines]

    def _condition(self, finding: Finding) -> str:
        text = self.message(finding)
        return text if finding.surely else self.texts.say("conditions.perhaps", text=text)

    def met(self) -> list[str]:
        """Conditions that were accepted with the original and stay."""
        return [self.message(f) for f in self.swapped.met]

    def message(self, finding: Finding) -> str:
        """What a rule says of its subject."""
        return fill(finding.rule.message, finding.rule, finding.judgement, self.texts)

    # --- what comes with it --------------------------------------------------------------

    def follows(self) -> list[str]:
        """What changes with it: torque, kit, figures, log; nothing of what may not be built."""
        swapped = self.swapped
        found = [
            *self._torque(swapped.before, swapped.option),
            *(self.say("swap.with.brings", part=self.kit_line(one)) for one in swapped.brings),
            *(self.say("swap.with.leaves", part=self.kit_line(one)) for one in swapped.leaves),
        ]
        if swapped.void:
            found.append(self.say("swap.with.anew", names=self._figures(swapped.void)))
        if not self.is_refused:
            found.append(self.say("swap.with.log", photos=", ".join(self.photos())))
        return found

    def _figures(self, names: tuple[str, ...]) -> str:
        """Figures by name, the first few."""
        shown = [self.texts.word(name.replace("_", " ")) for name in names[:FIGURES]]
        left = len(names) - FIGURES
        text = ", ".join(shown)
        return self.say("swap.with.and_more", names=text, n=left) if left > 0 else text

    def _torque(self, before: Option, after: Option) -> Iterable[str]:
        old, new = (self._tightening(option) for option in (before, after))
        if old != new:
            yield self.say("swap.with.torque", old=old, new=new)

    def _tightening(self, option: Option) -> str:
        """Torque of the clamp of a stack, and the order of its screws where there is one."""
        shape = self.base.part(option.core.clamp).shape
        assert isinstance(shape, schema.Clamp)
        torque = shape.torque
        shown = torque if isinstance(torque, str) else units.show(torque, "torque")
        order = ", ".join(map(self.texts.word, shape.screw_order))
        shown = self.texts.shown(shown)
        return self.say("swap.with.in_order", torque=shown, order=order) if order else shown

    def kit_line(self, handle: str) -> str:
        """What a line of the kit is called."""
        return handles(self.texts.shown(handle))

    def photos(self) -> list[str]:
        """What is to be photographed, by what was changed."""
        slots = [slot.partition(" ")[0] for slot, _, _ in self.swapped.moved]
        slots += ["place" for path, *_ in self.sets if path.partition(".")[0] in SETTINGS]
        names = [slot if slot in PHOTOS else "place" for slot in slots] or ["place"]
        return [self.say(f"swap.photo.{name}") for name in dict.fromkeys(names)]

    # --- what is open --------------------------------------------------------------------

    def looks(self) -> list[Look]:
        """What somebody has to look at before it can become a yes; of a yes, nothing."""
        if self.word == Word.FORBIDDEN or self.word.is_yes:
            return []
        return stands_if(self.swapped.option.verdict, self.base.vocabulary, self.texts)

    def cannot(self) -> list[tuple[str, str]]:
        """What nobody judges here, and who can: text and person."""
        verdict = self.swapped.option.verdict
        lost = {m.need.name for m in verdict.missing if m.lost}
        looks = [look for look in self.looks() if PROOFS.get(look.ask.path) not in lost]
        found = [(look.ask.ask, self.texts.word(look.ask.who)) for look in looks]
        if not self.word.is_yes and self.word != Word.FORBIDDEN:
            found += [(text, self.texts.word(who)) for text, who in nobody_can(verdict)]
        if self.word == Word.ENGINEER:
            people = {self.texts.word(f.rule.lifted) for f in giving(verdict) if f.rule.lifted}
            people -= {who for _, who in found}
            found += [(self.say("swap.cannot.engineer"), who) for who in sorted(people)]
        return list(dict.fromkeys(found))

    def gates(self) -> list[str]:
        """Gates that are not shown to be closed."""
        return [self.texts.word(gate) for gate in open_gates(self.swapped.answer)]

    # --- the way out ---------------------------------------------------------------------

    def ways_out(self) -> list[str]:
        """What would be milder in its place: built and judged, then what the rules advise."""
        if not self.is_refused:
            return []
        before = self.swapped.before.verdict.word
        changes = self.swapped.answer.changes
        back = [self.say("swap.way.undo", way=self.way(c)) for c in changes if self._undoes(c)]
        if not back and before < self.word:
            back = [self.say("swap.way.stay", word=self.texts.word(before.text))]
        found = [*back, *(self.way(c) for c in changes if not self._undoes(c))]
        helps = (
            fill(f.rule.help, f.rule, f.judgement, self.texts)
            for f in giving(self.swapped.option.verdict)
        )
        found += [self.say("swap.way.advice", text=text) for text in dict.fromkeys(helps)]
        return found

    def _undoes(self, change: Change) -> bool:
        """Whether it only takes back what was asked for."""
        drawn = any(path.partition(".")[0] in SETTINGS for path, *_ in self.sets)
        back = {(slot, new, old) for slot, old, new in self.swapped.moved}
        return not drawn and set(change.moved) == back

    def way(self, change: Change) -> str:
        """One change that was built and judged, with the word that it gives."""
        moves = "; ".join(move_text(move, self.texts) for move in change.moved)
        word = self.texts.word(change.option.verdict.word.text)
        name = "swap.way.got" if change.who else "swap.way.change"
        text = self.say(name, moves=moves, word=word)
        clamps = {slot for slot, _, _ in change.moved} & {"clamp"}
        if clamps:
            text = self.say("swap.way.torque", way=text, torque=self._tightening(change.option))
        for part in change.brings:
            text = self.say("swap.way.brings", way=text, part=self.kit_line(part))
        return text

    def reach(self, one: Reach) -> str:
        """How far a rail line may move, and what says no beyond."""
        at = self.texts.shown(units.show(one.at, "length"))
        up, down = self._side(one.up), self._side(one.down)
        return self.say("swap.reach.line", rail=one.rail, at=at, up=up, down=down)

    def _side(self, side: Side) -> str:
        by = self.texts.shown(units.show(side.by, "length"))
        if side.word is None:
            return self.say("swap.reach.free", by=by)
        word = self.texts.word(side.word.text)
        return self.say("swap.reach.side", by=by, word=word, rules=", ".join(side.rules))


def _group(finding: Finding) -> str:
    """Whether a condition is about places, about the hands, or about papers."""
    if finding.rule.subject in OF:
        return OF[finding.rule.subject]
    return "where" if finding.rule.file.split("/")[-2:][0] in PLACES else "how"
