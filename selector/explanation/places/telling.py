"""How places, distances and what stands against a layout are said."""

from dataclasses import dataclass
from functools import cached_property

from selector import units
from selector.explanation.clips.telling import ClipTelling
from selector.explanation.loads.telling import LoadsTelling
from selector.explanation.narrate import fill
from selector.explanation.texts import Texts
from selector.facts.actions.model import Open
from selector.inference.in_worlds import giving
from selector.inference.laid_out import LaidOut, RailLineFound
from selector.knowledge.base import Base
from selector.layout.faults import Fault
from selector.layout.model import Piece, Placed, Rail, Roof
from selector.layout.stretch import Fault as Flaw
from selector.model.quantity import Measured
from selector.model.truth import Word

FEW = 3  # places that one rule is said for; the others are counted
MILLIMETRE = units.parse("1 mm", "length")


@dataclass(frozen=True)
class PlacesTelling:
    """One layout, and in which words."""

    laid: LaidOut
    base: Base
    texts: Texts

    def say(self, name: str, /, **holes: object) -> str:
        """Text of an id with its holes filled."""
        return self.texts.say(name, **holes)

    def millimetres(self, length: int) -> str:
        """A place or a distance on the roof, in whole millimetres."""
        return self.say("places.mm", n=round(length / MILLIMETRE))

    def newtons(self, force: float) -> str:
        """A force in kN."""
        return self.texts.shown(f"{force / 1000:.2f} kN")

    @cached_property
    def loads(self) -> LoadsTelling:
        """The words of the actions."""
        return LoadsTelling(self.laid.loads, self.base, self.texts)

    def missing(self, one: Open) -> str:
        """What is missing or outside, and how to get it."""
        clips = self.laid.clips
        if clips is not None and one in clips.case.opens:
            return ClipTelling(clips, self.base, self.texts).missing(one)
        return self.loads.missing(one)

    @property
    def stack(self) -> str:
        """The stack and its parts by their texts."""
        plan = self.laid.plan
        parts = [p for p in (*plan.slots.values(), *plan.adapters) if p]
        return self.say("places.stack", stack=plan.id, parts=", ".join(parts))

    @property
    def pitch(self) -> str:
        """Pitch of the plane as it was measured; empty where nobody did."""
        observed = self.laid.job.planes[self.laid.array.plane].observed.get("plane.pitch")
        known = observed is not None and isinstance(observed.value, Measured)
        return self.texts.shown(str(observed.value)) if observed is not None and known else ""

    @property
    def modules(self) -> str:
        """How many modules lie where."""
        array = self.laid.array
        return self.say(
            "places.modules",
            rows=self.say("places.rows", n=array.rows),
            columns=array.columns,
            orientation=self.texts.word(array.orientation),
            left=self.millimetres(array.from_left or 0),
            eave=self.millimetres(array.from_eave or 0),
        )

    @property
    def added(self) -> str:
        """Breaks that the job does not name; empty without any."""
        laid, array = self.laid, self.laid.array
        if not laid.added or laid.placed is None or laid.limits is None:
            return ""
        boxes = laid.placed.rows[0].modules
        gap = boxes[laid.added[0]].x0 - boxes[laid.added[0] - 1].x1
        return self.say(
            "places.added",
            modules=", ".join(map(str, laid.added)),
            gap=self.millimetres(array.break_gap or gap),
            run=self.millimetres(laid.limits.rigid_run),
        )

    # --- rails -----------------------------------------------------------------------------

    def piece(self, piece: Piece) -> str:
        """From where to where, with its clamps."""
        return self.say(
            "places.rails.piece",
            x0=self.millimetres(piece.x0),
            x1=self.millimetres(piece.x1),
            clamps=self.say("places.rails.clamps", n=len(piece.clamps)),
            seams=self.seams([c.seam for c in piece.clamps]),
        )

    def seams(self, names: list[str]) -> str:
        """Names of seams; neighbours as a range."""
        order = {s.id: n for n, s in enumerate(self.roof.seams)}
        runs: list[list[str]] = []
        for name in names:
            if runs and order[name] == order[runs[-1][-1]] + 1:
                runs[-1].append(name)
            else:
                runs.append([name])
        shown = [
            ", ".join(r) if len(r) < 3 else self.say("loads.interval", low=r[0], high=r[-1])
            for r in runs
        ]
        return ", ".join(shown) or "-"

    @property
    def roof(self) -> Roof:
        """The plane; only a layout has one."""
        assert self.laid.placed is not None
        return self.laid.placed.roof

    def used(self, line: RailLineFound) -> str:
        """The most used clamp of a rail line."""
        worst = max((f.worst for f in line.found if f.worst), key=lambda c: c.ratio, default=None)
        limits = self.laid.limits
        if worst is None or limits is None or limits.capacity_n is None or worst.force_n == 0:
            return self.say("places.rails.no_force")
        share = self.texts.shown(f"{worst.ratio:.2f}")
        text = self.say("places.rails.share", share=share, seam=worst.seam)
        return text + self.zone(worst.zone)

    def zone(self, zone: str) -> str:
        """The zone behind a force; empty where none was worked out."""
        name, _, wind = zone.partition(", ")
        return self.say("places.rails.zone", zone=name, wind=self.texts.word(wind)) if wind else ""

    def clip(self, rail: Rail) -> str:
        """The least distance of its clamps to a clip mark."""
        clamps = [c for piece in rail.pieces for c in piece.clamps]
        known = [c.from_clip for c in clamps if c.from_clip is not None]
        if self.laid.limits is not None and self.laid.limits.clip_distance == 0:
            return self.say("places.rails.clip_free")
        if not clamps or len(known) < len(clamps):
            return self.say("places.rails.clip_unknown")
        return self.millimetres(min(known))

    def gap(self, left: Piece, right: Piece) -> str:
        """The gap between two pieces."""
        return self.say("places.rails.gap", gap=self.millimetres(right.x0 - left.x1))

    @property
    def repairs(self) -> list[str]:
        """What was changed until the layout held."""
        said = []
        for one in self.laid.repairs:
            if one.kind == "lines":
                said.append(self.say("places.repair.lines", n=one.after))
            else:
                counts = {"before": one.before, "after": one.after}
                said.append(self.say("places.repair.clamps", **counts))
        return said

    @property
    def elsewhere(self) -> str:
        """Where the array would have to lie; empty where it lies well."""
        found = self.laid.elsewhere
        if found is None:
            return self.say("places.nowhere") if self.laid.nowhere else ""
        modules = ", ".join(map(str, found.breaks))
        gap = self.millimetres(found.gap)
        breaks = self.say("places.breaks", modules=modules, gap=gap) if found.breaks else ""
        return self.say(
            "places.elsewhere",
            by=self.millimetres(abs(found.by)),
            side=self.say(f"places.side.{'left' if found.by < 0 else 'right'}"),
            left=self.millimetres(found.left),
            breaks=breaks,
        )

    # --- what stands against it --------------------------------------------------------------

    def fault(self, fault: Fault) -> str:
        """What is wrong with the plane or a module."""
        name = fault.kind.replace(" ", "_")
        if fault.kind in ("crosses itself", "no area"):
            return self.say(f"places.against.{name}", plane=fault.about[0])
        row, module, *other = fault.about
        return self.say(
            f"places.against.{name}",
            row=row,
            module=module,
            other=", ".join(other),
            missing=self.millimetres(fault.missing),
        )

    def flaw(self, rail: str, flaw: Flaw) -> str:
        """A limit that the clamps of a rail pass."""
        lengths = flaw.kind in ("span", "cantilever")
        return self.say(
            f"places.against.{flaw.kind.replace(' ', '_')}",
            rail=rail,
            seams=" - ".join(flaw.seams) or "-",
            found=self.millimetres(int(flaw.found)) if lengths else self.newtons(flaw.found),
            allowed=self.millimetres(int(flaw.allowed)) if lengths else self.newtons(flaw.allowed),
            zone=self.zone(flaw.zone),
        )

    def cuts(self, placed: Placed) -> list[str]:
        """What is cut from which length, equal bars counted once."""
        if placed.cut is None:
            pieces = sorted({p for r in placed.rails for q in r.pieces for p in q.parts})
            total = sum(p for r in placed.rails for q in r.pieces for p in q.parts)
            shown = ", ".join(map(self.millimetres, pieces))
            return [self.say("places.cut.none", total=self.millimetres(total), pieces=shown)]
        lines = []
        bars = placed.cut.bars
        for bar in sorted(set(bars), key=lambda b: (-b.stock, b.cuts)):
            cuts = " + ".join(map(self.millimetres, bar.cuts))
            stock = f"{bars.count(bar)} x {self.millimetres(bar.stock)}"
            lines.append(
                self.say("places.cut.bar", stock=stock, cuts=cuts, rest=self.millimetres(bar.rest))
            )
        name = "proven" if placed.cut.proven else "total"
        count = self.say("places.cut.bars", n=len(bars))
        stock, bound = self.millimetres(placed.cut.stock), self.millimetres(placed.cut.bound)
        return [*lines, self.say(f"places.cut.{name}", bars=count, stock=stock, bound=bound)]

    @property
    def between_clips(self) -> list[str]:
        """Why lines find no height between the clips, and what would help."""
        answer = self.laid.clips
        if answer is None or answer.found is None or answer.found.stands:
            return []
        told = ClipTelling(answer, self.base, self.texts)
        missed = [line for line in answer.found.lines if line.miss is not None]
        lines = [
            self.say("places.against.clips", line=told.name(line), text=told.miss(line.miss))
            for line in missed[:FEW]
            if line.miss is not None
        ]
        if len(missed) > FEW:
            lines.append(self.say("places.against.more_lines", n=len(missed) - FEW))
        if answer.found.changes:
            change = told.change(answer.found.changes[0])
            lines.append(self.say("places.against.helps", change=change))
        return lines

    def parting(self, why: str) -> str:
        """Why a row cannot be parted into rails that may run in one piece."""
        return self.say(f"places.against.parts.{why.replace(' ', '_')}")

    @property
    def by_rules(self) -> list[str]:
        """What the rules hold against the stack as it is laid out, where that is not a yes."""
        verdict = self.laid.option.verdict
        if verdict.word < Word.ENGINEER:
            return []
        found: dict[str, list[str]] = {}
        for one in giving(verdict):
            text = fill(one.rule.message, one.rule, one.judgement, self.texts)
            found.setdefault(one.rule.id, []).append(text)
        lines = []
        for rule, texts in found.items():
            lines += [self.say("places.against.rules", text=t, rule=rule) for t in texts[:FEW]]
            if len(texts) > FEW:
                lines.append(self.say("places.against.more", n=len(texts) - FEW, rule=rule))
        return lines

    @property
    def claim(self) -> str:
        """What is claimed of the number of clamps."""
        laid = self.laid
        assert laid.placed is not None
        forced = laid.limits is not None and laid.limits.capacity_n is not None
        if not forced or not any(c.force_n for x in laid.lines for f in x.found for c in f.clamps):
            return self.say("places.claim.no_force")
        name = "least" if laid.placed.pattern == "least" else "fixed"
        pattern = self.texts.word(laid.placed.pattern)
        at_least = sum(f.at_least for line in laid.lines for f in line.found)
        clamps = self.say("places.rails.clamps", n=len(list(laid.placed.clamps)))
        holes = {"at_least": at_least, "pattern": pattern, "clamps": clamps}
        return self.say(f"places.claim.{name}", **holes)
