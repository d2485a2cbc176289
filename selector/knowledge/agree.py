"""Whether the parts and records of a catalogue agree with each other and with the vocabulary."""

from pathlib import Path as FilePath

from selector.errors import Problem, near
from selector.knowledge import schema
from selector.knowledge.base import Part, Record, ShapeRow, Vocabulary
from selector.knowledge.faults import Faults
from selector.knowledge.yaml_reader import Document


def agree(
    documents: dict[str, Document],
    vocabulary: Vocabulary,
    shapes: dict[str, ShapeRow],
    parts: dict[str, Part],
    records: tuple[Record, ...],
) -> list[Problem]:
    """Everything on which one catalogue does not agree."""
    checks = _Agreement(documents, vocabulary, shapes)
    checks.check(parts, records)
    return checks.problems


class _Agreement(Faults):
    """Checks that need more than one entry at once; every fault goes to `problems`."""

    def __init__(
        self,
        documents: dict[str, Document],
        vocabulary: Vocabulary,
        shapes: dict[str, ShapeRow],
    ):
        super().__init__(documents, [])
        self.vocabulary = vocabulary
        self.all_shapes = shapes

    def check(self, parts: dict[str, Part], records: tuple[Record, ...]) -> None:
        """All checks of one catalogue."""
        self.parts_agree(parts, self.vocabulary, self.all_shapes)
        self.records_agree(records, parts)
        self.records_speak(records, parts, self.vocabulary, self.all_shapes)

    def parts_agree(
        self, parts: dict[str, Part], vocabulary: Vocabulary, shapes: dict[str, ShapeRow]
    ) -> None:
        """References between parts, and the windows each shape asks for."""
        handles = self.handles(parts)
        for part in parts.values():
            document = self.documents[part.file]
            shape = part.shape
            for key in ("listed_for", "brings"):
                for handle in getattr(shape, key, ()):
                    if handle not in handles:
                        at = (part.handle, key)
                        self.fault(document, at, f"no part `{handle}`", near(handle, handles))
            for key in ("needs_insert", "takes_only"):
                handle = getattr(shape, key, None)
                if handle is not None and handle not in handles:
                    at = (part.handle, key)
                    self.fault(document, at, f"no part `{handle}`", near(handle, handles))
            metals = {"metal": shape.metal, "frame_metal": getattr(shape, "frame_metal", None)}
            if isinstance(shape, schema.Clamp):
                metals["set_screw"] = shape.set_screw.metal
            for key, metal in metals.items():
                if metal is not None:
                    at = (part.handle, key)
                    self.known(document, at, metal.metal, vocabulary.words["metal"], "metal")
                    for coat in metal.coating:
                        words = vocabulary.words["coating"]
                        self.known(document, at, coat, words, "coating")
            bolt = getattr(shape, "bolt", None)
            if bolt is not None:
                self.bolt_named(document, (part.handle, "bolt"), bolt)
            if isinstance(shape, schema.Profile):
                self.known(document, (part.handle, "shape"), shape.shape, tuple(shapes), "shape")
            if isinstance(shape, schema.Clamp):
                for i, grip in enumerate(shape.grips):
                    where = (part.handle, "grips", i)
                    self.windows(document, where, grip, shapes)
                    self.own_profile(document, where, grip.profile, part.handle, parts)

    def bolt_named(self, document: Document, at: tuple[object, ...], bolt: schema.Bolt) -> None:
        """Thread, property class and finish are rows of the trade."""
        self.known(document, (*at, "thread"), bolt.thread, self.ids("threads"), "thread")
        classes = self.ids("bolt-classes")
        self.known(document, (*at, "strength"), bolt.strength, classes, "property class")
        if bolt.finish is not None:
            self.known(document, (*at, "finish"), bolt.finish, self.ids("friction"), "finish")

    def windows(
        self,
        document: Document,
        at: tuple[object, ...],
        grip: schema.Grip | schema.SeamCover,
        shapes: dict[str, ShapeRow],
    ) -> None:
        if grip.shape not in shapes:
            self.fault(document, at, f"`{grip.shape}` is no shape", near(grip.shape, shapes))
            return
        wanted = set() if grip.profile else set(shapes[grip.shape].shape.measured)
        given = {d for d in ("height", "head", "leg", "bulb", "neck") if getattr(grip, d)}
        for dimension in sorted(wanted - given):
            self.fault(document, at, f"shape {grip.shape} needs a window for `{dimension}`")
        for dimension in sorted(given - wanted):
            self.fault(document, at, f"shape {grip.shape} has no `{dimension}`")

    def own_profile(
        self,
        document: Document,
        at: tuple[object, ...],
        profile: str | None,
        clamp: str,
        parts: dict[str, Part],
    ) -> None:
        """A clamp or a record that goes by a profile is of the clamp that this profile takes."""
        if profile is None:
            return
        owners = {
            p.handle: p.shape.takes_only
            for p in parts.values()
            if isinstance(p.shape, schema.Profile)
        }
        if owners.get(profile) != clamp:
            text = f"profile `{profile}` does not take `{clamp}` only"
            self.fault(document, at, text, near(profile, owners))

    def handles(self, parts: dict[str, Part]) -> set[str]:
        """Ids written down in the catalogue of these parts, faulty ones too."""
        found = {p.handle for p in parts.values()}
        for folder in {FilePath(file).parent for file in {p.file for p in parts.values()}}:
            for stem in schema.PART_FILES:
                document = self.documents.get(f"{folder}/{stem}.yaml")
                if document is not None and isinstance(document.data, dict):
                    found |= set(document.data)
        return found

    def records_agree(self, records: tuple[Record, ...], parts: dict[str, Part]) -> None:
        handles = self.handles(parts)
        tops = {p.shape.offers for p in parts.values() if p.shape.offers}
        for record in records:
            named: list[str | None] = []
            shape = record.shape
            if isinstance(shape, schema.ClampRecord):
                named = [shape.part.clamp, shape.part.insert, shape.part.inlay]
            elif isinstance(shape, schema.JointRecord):
                named = [shape.bolts, shape.upper]
                if shape.lower not in tops:
                    self.record_fault(
                        record, f"no part offers `{shape.lower}`", near(shape.lower, tops)
                    )
            elif isinstance(shape, schema.ModuleClampRecord):
                named = [shape.clamp]
                if shape.sits_on not in tops:
                    remedy = near(shape.sits_on, tops)
                    self.record_fault(record, f"no part offers `{shape.sits_on}`", remedy)
            elif isinstance(shape, schema.ModuleRecord):
                named = [shape.module]
            for handle in named:
                if handle is not None and handle not in handles:
                    text = f"record `{record.id}` names no part `{handle}`"
                    self.record_fault(record, text, near(handle, handles))

    def record_fault(self, record: Record, text: str, remedy: str) -> None:
        self.problems.append(Problem(record.file, record.line, text, remedy))

    def records_speak(
        self,
        records: tuple[Record, ...],
        parts: dict[str, Part],
        vocabulary: Vocabulary,
        shapes: dict[str, ShapeRow],
    ) -> None:
        """Every word of a record is one of the vocabulary."""
        lists = vocabulary.words
        for record in records:
            shape = record.shape
            said: list[tuple[str, str, tuple[str, ...]]] = []
            if isinstance(shape, schema.ClampRecord):
                sheet = shape.sheet
                said += [("shape", shape.sits_on.shape, lists["shape"])]
                said += [("family", sheet.family, lists["family"])] if sheet.family else []
                said += [("metal", sheet.metal, lists["metal"])] if sheet.metal else []
                said += [("coating", c, lists["coating"]) for c in sheet.coating or ()]
            elif isinstance(shape, schema.ClipRecord):
                said += [("clip", shape.clip, lists["clip"])]
                said += [("shape", s, lists["shape"]) for s in shape.shapes]
                said += [("zone", z, lists["zone"]) for z in shape.zones]
                said += [("deck", shape.deck.kind, lists["deck"])] if shape.deck else []
            for what, word, words in said:
                if word not in words:
                    self.record_fault(record, f"`{word}` is no {what}", near(word, words))
            if isinstance(shape, schema.ClampRecord) and shape.sits_on.shape in shapes:
                document = self.documents[record.file]
                index = next(i for i, d in enumerate(document.data) if d.get("id") == record.id)
                own, clamp = shape.sits_on.profile, shape.part.clamp
                self.windows(document, (index, "sits_on"), shape.sits_on, shapes)
                self.own_profile(document, (index, "sits_on"), own, clamp, parts)
