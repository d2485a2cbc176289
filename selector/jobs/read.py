"""Read a job file: shapes first, then words, units and tolerances against the vocabulary."""

from pathlib import Path
from typing import Any

from selector import units
from selector.errors import InputError, Problem, near
from selector.jobs import roof, schema
from selector.jobs.migrate import refuse_other_version
from selector.knowledge.base import Vocabulary
from selector.knowledge.schema import check
from selector.knowledge.yaml_reader import Document, read_string, read_text
from selector.model.job import (
    Array,
    Job,
    Layout,
    Marks,
    Observed,
    Paper,
    Plane,
    RailLine,
    Request,
    SeamLines,
    Sighting,
    StackPlan,
    Stated,
)
from selector.model.quantity import Candidates, Measured, Place, Unknown
from selector.model.rule import Quantity

STATED = {
    "uplift_per_clamp": "force",
    "slide_per_clamp": "force",
    "clip_share": "force",
    "uplift_per_module_clamp": "force",
    "slide_per_module_clamp": "force",
    "slide_per_fixed_clip": "force",
    "slide_with_uplift": "force",
    "net_uplift": "pressure",
    "net_down": "pressure",
}
FIXED, LONGEST_SHEET = "fixed_at", "plane.sheet.length"
LEAST_RESERVE, MOST_RESERVE = units.parse("0.01 kPa", "pressure"), units.parse("5 kPa", "pressure")
MOST_GAP = units.parse("2 m", "length")  # below modules that still lie on the roof


def read_job(path: Path, vocabulary: Vocabulary) -> Job:
    """Job of a file, or an InputError with every problem found."""
    return read_job_and_text(path, vocabulary)[0]


def read_job_and_text(path: Path, vocabulary: Vocabulary) -> tuple[Job, str]:
    """Job of a file, and the very text that it was read from."""
    shown = path.name if path.is_absolute() else str(path)
    text = read_text(path, shown)
    return job_of(read_string(text, shown), vocabulary), text


def job_of(document: Document, vocabulary: Vocabulary) -> Job:
    """Job of a document that was read."""
    if not isinstance(document.data, dict):
        raise InputError.of("this is not a job file", "start from examples", file=document.file)
    refuse_other_version(document)
    problems: list[Problem] = []
    shape = check(schema.JobShape, document.data, document, (), problems)
    if shape is None:
        raise InputError(problems)
    job = _Reader(document, shape, vocabulary, problems).job()
    if problems:
        raise InputError(problems)
    return job


class _Reader:
    """Turns shapes into facts of the model, gathering problems with their lines."""

    def __init__(
        self,
        document: Document,
        shape: schema.JobShape,
        vocabulary: Vocabulary,
        problems: list[Problem],
    ):
        self.document = document
        self.shape = shape
        self.vocabulary = vocabulary
        self.problems = problems
        self.papers = {k: self.paper(k, p) for k, p in shape.papers.items()}

    def fault(self, at: tuple[object, ...], text: str, remedy: str = "") -> None:
        self.problems.append(Problem(self.document.file, self.document.line(*at), text, remedy))

    def job(self) -> Job:
        shape = self.shape
        self.dates_in_order()
        self.papers_are_of_a_kind()
        for i, name in enumerate(shape.catalogues):
            if name in shape.catalogues[:i]:
                self.fault(("catalogues", i), f"catalogue `{name}` is listed twice", "keep one")
        site = self.observed("site", shape.site, ("site",))
        planes = {k: self.plane(k, p) for k, p in shape.planes.items()}
        arrays = {k: self.array(k, a) for k, a in shape.arrays.items()}
        stacks = {k: self.stack(k, s) for k, s in shape.stacks.items()}
        request = self.request()
        if shape.chosen != "none yet" and shape.chosen not in shape.stacks:
            remedy = near(shape.chosen, [*shape.stacks, "none yet"])
            self.fault(("chosen",), f"no stack `{shape.chosen}`", remedy)
        return Job(
            id=shape.id,
            file=self.document.file,
            as_of=shape.as_of,
            catalogues=shape.catalogues,
            request=request,
            people={k: p.role for k, p in shape.people.items()},
            papers=self.papers,
            site=site,
            planes=planes,
            arrays=arrays,
            stacks=stacks,
            chosen=None if shape.chosen == "none yet" else shape.chosen,
            raw=self.document.data,
            lines=self.document.lines,
        )

    def papers_are_of_a_kind(self) -> None:
        kinds = self.vocabulary.words["paper"]
        for key, paper in self.shape.papers.items():
            if paper.kind not in kinds:
                text = f"`{paper.kind}` is no kind of paper"
                self.fault(("papers", key, "kind"), text, near(paper.kind, kinds))

    def dates_in_order(self) -> None:
        for key, paper in self.shape.papers.items():
            if paper.dated > self.shape.as_of:
                at = ("papers", key, "dated")
                self.fault(at, f"paper `{key}` is dated {paper.dated}, after `as_of`", "check both")

    def paper(self, key: str, shape: schema.PaperShape) -> Paper:
        return Paper(
            id=key,
            kind=shape.kind,
            covers=shape.covers,
            dated=shape.dated,
            number=shape.number or "",
            signed_by=shape.signed_by or "",
            up_to=self.plausible_reserve(key, shape.up_to),
            until=shape.until or "",
            line=self.document.line("papers", key),
        )

    def plausible_reserve(self, key: str, up_to: int | None) -> int | None:
        if up_to is not None and not LEAST_RESERVE <= up_to <= MOST_RESERVE:
            shown = units.show_window(LEAST_RESERVE, MOST_RESERVE, "pressure")
            text = f"`up_to` cannot be right; {shown} is plausible for a reserve"
            self.fault(("papers", key, "up_to"), text, "check number and unit")
        return up_to

    # --- observations ------------------------------------------------------------------

    def plane(self, key: str, data: dict[str, Any]) -> Plane:
        at = ("planes", key)
        rest = dict(data)
        special = {name: rest.pop(name) for name in roof.KEYS if name in rest}
        reader = roof.RoofReader(
            self.document, self.vocabulary, self.papers, self.problems, self.fault, self.seen_by
        )
        found = {name: getattr(reader, name)((*at, name), given) for name, given in special.items()}
        marks = None
        clips = rest.get("clips")
        if isinstance(clips, dict) and "marks" in clips:
            clips = dict(clips)
            marks = self.marks((*at, "clips", "marks"), clips.pop("marks"))
            rest["clips"] = clips
        fixed = None
        sheet = rest.get("sheet")
        if isinstance(sheet, dict) and FIXED in sheet:
            sheet = dict(sheet)
            fixed = self.fixed((*at, "sheet", FIXED), sheet.pop(FIXED))
            rest["sheet"] = sheet
        observed = self.observed("plane", rest, at)
        self.seams_are_known(found.get("seams"), marks, (*at, "clips", "marks"))
        self.seams_are_known(found.get("seams"), fixed, (*at, "sheet", FIXED))
        return Plane(key, observed, marks, self.document.line(*at), fixed=fixed, **found)

    def seams_are_known(
        self, seams: SeamLines | None, marks: Marks | None, at: tuple[object, ...]
    ) -> None:
        """Marks are on seams that the plane has, where each of them was measured."""
        for name in marks.seams if marks is not None and seams is not None and seams.at else ():
            assert seams is not None
            if name not in seams.at:
                here = (*at, "seams", name)
                self.fault(here, f"no seam `{name}` under `seams`", near(name, seams.at))

    def fixed(self, at: tuple[object, ...], data: Any) -> Marks | None:
        """Where each sheet is held, as it was said; how sure that is, the base says."""
        shape = check(schema.FixedShape, data, self.document, at, self.problems)
        if shape is None:
            return None
        self.seen_by(at, shape.by, shape.paper)
        most = self.vocabulary.quantities[LONGEST_SHEET].plausible[1] or units.LARGEST
        seams: dict[str, Measured | Unknown] = {}
        for seam, height in shape.seams.items():
            if isinstance(height, schema.UnknownShape):
                seams[seam] = Unknown(height.unknown)
                continue
            if height > most:
                text = f"the fixed zone of `{seam}` cannot be so far from the eave"
                self.fault((*at, "seams", seam), text, "check number and unit")
            seams[seam] = Measured("length", (Place(height, height),))
        seen = ", ".join(filter(None, [shape.how, shape.paper, shape.by]))
        return Marks(seams, seen, self.document.line(*at))

    def marks(self, at: tuple[object, ...], data: Any) -> Marks | None:
        shape = check(schema.MarksShape, data, self.document, at, self.problems)
        if shape is None:
            return None
        self.person(at, shape.by)
        tolerance = self.vocabulary.mark_tolerance
        seams: dict[str, Measured | Unknown] = {}
        for seam, places in shape.seams.items():
            if isinstance(places, schema.UnknownShape):
                seams[seam] = Unknown(places.unknown)
                continue
            if not places:
                remedy = "write `{unknown: not asked}` or leave the seam out"
                self.fault((*at, "seams", seam), f"seam `{seam}` has no marks", remedy)
            elif list(places) != sorted(set(places)):
                self.fault((*at, "seams", seam), f"marks of seam `{seam}` must rise from the eave")
            read = tuple(Place(p - tolerance, p + tolerance) for p in places)
            seams[seam] = Measured("length", read)
        seen = ", ".join(filter(None, [shape.how, shape.tool, shape.by]))
        return Marks(seams, seen, self.document.line(*at))

    def observed(
        self, role: str, data: dict[str, Any], at: tuple[object, ...], prefix: str = ""
    ) -> dict[str, Observed]:
        found: dict[str, Observed] = {}
        for key, value in data.items():
            name = f"{prefix}{key}"
            here = (*at, key)
            quantity = self.vocabulary.quantities.get(f"{role}.{name}")
            if quantity is not None:
                one = self.quantity(quantity, value, here)
                if one is not None:
                    found[f"{role}.{name}"] = one
            elif self.vocabulary.has_group(f"{role}.{name}.") and isinstance(value, dict):
                found |= self.observed(role, value, here, f"{name}.")
            else:
                known = self.vocabulary.names_below(f"{role}.{prefix}")
                if role == "plane" and not prefix:
                    known = [*known, *roof.KEYS]
                self.fault(here, f"unknown key `{key}`", near(key, known))
        return found

    def quantity(self, quantity: Quantity, data: Any, at: tuple[object, ...]) -> Observed | None:
        if quantity.derived:
            self.fault(at, f"`{at[-1]}` is worked out, not typed", "remove it")
            return None
        if not isinstance(data, dict):
            shown = units.shorten(data)
            self.fault(at, f"`{at[-1]}` is bare: `{shown}`", "write {is: ..., how: ..., by: ...}")
            return None
        if "sightings" in data:
            many = check(schema.SightingsShape, data, self.document, at, self.problems)
            pairs = [] if many is None else list(enumerate(many.sightings))
            places = [((*at, "sightings", i), s) for i, s in pairs]
        else:
            one = check(schema.SightingShape, data, self.document, at, self.problems)
            places = [] if one is None else [(at, one)]
        sightings = [self.sighting(quantity, s, where) for where, s in places]
        kept = tuple(s for s in sightings if s is not None)
        return Observed(str(quantity.path), kept) if kept else None

    def person(self, at: tuple[object, ...], key: str) -> None:
        if key not in self.shape.people:
            self.fault((*at, "by"), f"nobody `{key}` under `people`", near(key, self.shape.people))

    def seen_by(self, at: tuple[object, ...], by: str | None, paper: str | None) -> None:
        """Person and paper of an observation are listed in the job."""
        if by is not None:
            self.person(at, by)
        if paper is not None and paper not in self.papers:
            remedy = near(paper, self.papers)
            self.fault((*at, "paper"), f"no paper `{paper}` under `papers`", remedy)

    def sighting(
        self, quantity: Quantity, shape: schema.SightingShape, at: tuple[object, ...]
    ) -> Sighting | None:
        self.seen_by(at, shape.by, shape.paper)
        if shape.photo is not None and shape.photo not in self.papers:
            remedy = near(shape.photo, self.papers)
            self.fault((*at, "photo"), f"no photo `{shape.photo}` under `papers`", remedy)
        if shape.dated is not None and shape.dated > self.shape.as_of:
            self.fault((*at, "dated"), f"seen on {shape.dated}, after `as_of`", "check both")
        if shape.unknown is None and not quantity.setting:
            if shape.by is None and shape.paper is None:
                self.fault(at, f"`{at[-1]}` has neither `by` nor `paper`", "who saw it?")
            way = shape.how or shape.tool or shape.paper
            if way is None and shape.hint is None and not quantity.said:
                self.fault(at, f"`{at[-1]}` does not say how it was seen", "add `how` or `tool`")
        seen = [shape.how, shape.tool, shape.paper and f"paper {shape.paper}", shape.by]
        text = ", ".join(s for s in seen if s)
        way_text = shape.photo or shape.tool or shape.how or shape.paper or "said"
        hint = "" if shape.hint is None else str(shape.hint)
        try:
            value = self.value(quantity, shape)
        except ValueError as error:
            self.fault(at, f"`{at[-1]}`: {error}")
            return None
        line = self.document.line(*at)
        return Sighting(value, text, way_text, line, hint, shape.paper or "")

    def value(
        self, quantity: Quantity, shape: schema.SightingShape
    ) -> Measured | Candidates | Unknown:
        if shape.unknown is not None:
            return Unknown(shape.unknown)
        paper = self.papers.get(shape.paper or "")
        if paper is not None and not paper.counts_on(self.shape.as_of):
            return Unknown("its paper has run out")
        if shape.places is not None and quantity.path.role == "site":
            raise ValueError("one answer for the whole site is expected; use `is`")
        if shape.hint is not None:
            self.read_one(quantity, shape.hint)
            return Unknown("not sure")
        if not _settled(quantity, shape, paper):
            return Unknown("seen in a way that settles nothing")
        if quantity.dimension == "choice":
            if shape.places is not None:
                raise ValueError("a choice has no places; use `is` or `one_of`")
            given = shape.one_of if shape.one_of is not None else (shape.is_,)
            if not given:
                raise ValueError("`one_of` is empty")
            return Candidates(frozenset(self.word(quantity, g) for g in given))
        if shape.one_of is not None:
            raise ValueError("a measurement is `is` or `places`, not `one_of`")
        texts = shape.places if shape.places is not None else (shape.is_,)
        if not texts:
            raise ValueError("`places` is empty")
        numbers = [units.parse(t, quantity.dimension) for t in texts]
        for number, written in zip(numbers, texts, strict=True):
            if number < 0 and quantity.dimension not in units.SIGNED:
                raise ValueError(f"`{written}` is negative; a reading has no sign")
            low, high = quantity.plausible
            if (low is not None and number < low) or (high is not None and number > high):
                shown = units.show_window(low, high, quantity.dimension)
                raise ValueError(f"`{written}` cannot be right; {shown} is plausible here")
        places = [_place(n, self.tolerance(quantity, shape, n)) for n in numbers]
        if shape.over is not None:
            over = _over(shape.over, quantity.dimension)
            places = [Place(p.low - over, p.high - over) for p in places]
        if quantity.dimension not in units.SIGNED and any(p.high < 0 for p in places):
            raise ValueError("a negative reading is not possible here")
        return Measured(quantity.dimension, tuple(places))

    def read_one(self, quantity: Quantity, given: Any) -> None:
        if quantity.dimension == "choice":
            self.word(quantity, given)
        else:
            units.parse(given, quantity.dimension)

    def word(self, quantity: Quantity, given: Any) -> str:
        layers = [_word(g) for g in (given if isinstance(given, list) else [given])]
        if not layers:
            raise ValueError("the list is empty; name a word, or `none` where it is one")
        if len(layers) > 1 and not quantity.stacked:
            raise ValueError("one word is expected here; alternatives go under `one_of`")
        for layer in layers:
            if layer not in quantity.words:
                shown = units.shorten(layer)
                raise ValueError(f"`{shown}` is no word here; {near(layer, quantity.words)}")
        return " on ".join(layers)

    def tolerance(self, quantity: Quantity, shape: schema.SightingShape, value: int) -> int:
        """Half width of a reading: the tool's, never less; `within` may only widen it."""
        own = 0
        if shape.tool is not None:
            if shape.tool not in quantity.tools:
                known = near(shape.tool, quantity.tools)
                raise ValueError(f"tool `{shape.tool}` has no tolerance for this; {known}")
            own = _share(quantity.tools[shape.tool], value, shape.tool in quantity.relative_tools)
        elif shape.how in quantity.tools:
            own = _share(quantity.tools[shape.how], value, shape.how in quantity.relative_tools)
        if shape.within is not None:
            relative = shape.within.strip().endswith("%")
            wide = units.parse(shape.within, "share" if relative else quantity.dimension)
            wide = _share(wide, value, relative)
            if wide < own:
                raise ValueError("`within` may widen the tolerance of the tool, never narrow it")
            finest = min(quantity.tools.values(), default=0)
            if shape.tool is None and shape.paper is None and wide < finest and not relative:
                raise ValueError("`within` is finer than any tool for this; name the `tool`")
            own = wide
        paper = self.papers.get(shape.paper or "")
        stated = paper is not None and paper.kind in Paper.GIVES_VALUES
        exact = quantity.dimension == "count" or stated
        if own == 0 and shape.tool is None and shape.within is None and not exact:
            tools = ", ".join(quantity.tools) or "none known"
            raise ValueError(f"how exact is it? name the `tool` ({tools}) or give `within`")
        return own

    # --- arrays, stacks, request -------------------------------------------------------

    def array(self, key: str, shape: schema.ArrayShape) -> Array:
        at = ("arrays", key)
        if shape.plane not in self.shape.planes:
            remedy = near(shape.plane, self.shape.planes)
            self.fault((*at, "plane"), f"no plane `{shape.plane}`", remedy)
        for zone in shape.zones or ():
            if zone not in self.vocabulary.words["zone"]:
                remedy = near(zone, self.vocabulary.words["zone"])
                self.fault((*at, "zones"), f"`{zone}` is no zone", remedy)
        if shape.gap_below is not None and shape.gap_below > MOST_GAP:
            most = units.show(MOST_GAP, "length")
            text = f"`gap_below` cannot be right; at most {most} is plausible"
            self.fault((*at, "gap_below"), text, "check number and unit")
        known = self.shape.planes.get(shape.plane, {}).get("seams")
        named = known.get("at") if isinstance(known, dict) else None
        for seam in shape.crosses or ():
            if isinstance(named, dict) and seam not in named:
                remedy = near(seam, [str(n) for n in named])
                self.fault((*at, "crosses"), f"no seam `{seam}` under `seams` of the plane", remedy)
        return Array(
            id=key,
            plane=shape.plane,
            module=shape.module,
            orientation=shape.orientation,
            tilt=shape.tilt,
            rows=shape.block.rows,
            columns=shape.block.columns,
            rail_lines=shape.rail_lines,
            from_eave=shape.block.from_eave,
            from_left=shape.block.from_left,
            gap=shape.block.gap,
            zones=shape.zones,
            crosses=shape.crosses,
            clamps=shape.clamps,
            stated=self.stated(shape.stated, (*at, "stated")),
            line=self.document.line(*at),
            gap_below=shape.gap_below,
            breaks=shape.block.breaks,
            break_gap=shape.block.break_gap,
        )

    def stated(
        self, shapes: dict[str, schema.StatedShape], at: tuple[object, ...]
    ) -> dict[str, Stated]:
        out: dict[str, Stated] = {}
        for name, shape in shapes.items():
            here = (*at, name)
            if name not in STATED:
                self.fault(here, f"no figure `{name}` can be stated", near(name, STATED))
            elif shape.paper not in self.papers:
                remedy = near(shape.paper, self.papers)
                self.fault(here, f"no paper `{shape.paper}` under `papers`", remedy)
            elif self.papers[shape.paper].kind not in Paper.STATES_FIGURES:
                text = f"`{name}` is stated by a {self.papers[shape.paper].kind}"
                self.fault(here, text, f"only an {Paper.STATES_FIGURES[0]} states figures")
            elif (word := self.no_cover(shape.covers)) is not None:
                known = [*(f"array {a}" for a in self.shape.arrays), *self.zones()]
                self.fault((*here, "covers"), f"nothing is `{word}`", near(word, known))
            else:
                try:
                    value = units.parse(shape.is_, STATED[name])
                    if value <= 0:
                        raise ValueError("a design force or pressure is above zero")
                except ValueError as error:
                    self.fault(here, f"`{name}`: {error}")
                    continue
                paper = self.papers[shape.paper]
                line = self.document.line(*here)
                out[name] = Stated(name, STATED[name], value, paper, shape.covers, line)
        return out

    def zones(self) -> list[str]:
        words = self.vocabulary.words["zone"]
        return [*words, *(f"{w} zone" for w in words)]

    def no_cover(self, covers: tuple[str, ...]) -> str | None:
        """First word of `covers` that is neither an array of the job nor a zone."""
        known = {*(f"array {a}" for a in self.shape.arrays), *self.zones()}
        return next((word for word in covers if word not in known), None)

    def stack(self, key: str, shape: schema.StackShape) -> StackPlan:
        at = ("stacks", key)
        if shape.array not in self.shape.arrays:
            remedy = near(shape.array, self.shape.arrays)
            self.fault((*at, "array"), f"no array `{shape.array}`", remedy)
        if len(shape.adapters) > 2:
            self.fault((*at, "adapters"), "a stack has two adapters at most", "drop one")
        slots = {
            name: None if getattr(shape, name) == "none" else str(getattr(shape, name))
            for name in SLOTS
        }
        layout = None
        if shape.layout is not None:
            layout = self.layout(shape.layout, (*at, "layout"), self.shape.arrays.get(shape.array))
        return StackPlan(
            id=key,
            array=shape.array,
            slots=slots,
            adapters=tuple(a for a in shape.adapters if a != "none"),
            layout=layout,
            stated=self.stated(shape.stated, (*at, "stated")),
            accepted=shape.accepted,
            torque=shape.torque,
            screw_tip=shape.screw_tip,
            improvised=shape.improvised.model_dump(exclude_none=True),
            tightened=shape.tightened,
            bonding_wire=shape.bonding_wire or "not stated",
            beside_clamps=shape.beside.clamps or "none",
            beside_rails=shape.beside.rails or "none",
            line=self.document.line(*at),
        )

    def layout(
        self, shape: schema.LayoutShape, at: tuple[object, ...], array: schema.ArrayShape | None
    ) -> Layout:
        if array is not None and len(shape.rails) != array.block.rows * array.rail_lines:
            wanted = array.block.rows * array.rail_lines
            text = f"{len(shape.rails)} rail lines are drawn; the array has {wanted}"
            self.fault((*at, "rails"), text, "draw every line, or change `rail_lines`")
        if isinstance(shape.clamps, dict):
            self.clamps_stand_on_rails(shape, (*at, "clamps"))
        for name in shape.splices:
            if name not in shape.rails:
                self.fault((*at, "splices", name), f"no rail `{name}`", near(name, shape.rails))
        for name, rail in shape.rails.items():
            cuts, splices = len(rail.cut_at), len(shape.splices.get(name, ()))
            if cuts != splices:
                text = f"rail `{name}` has {cuts} cuts and {splices} splices"
                self.fault((*at, "rails", name), text, "one word a cut: rigid, sliding or gap")
        return Layout(
            rails=tuple(RailLine(k, r.from_eave, r.cut_at) for k, r in shape.rails.items()),
            clamps=shape.clamps,
            splices=dict(shape.splices),
            line=self.document.line(*at),
            lines=tuple(roof.line_of(k, x) for k, x in shape.lines.items()),
            collar_distance=shape.collar_distance,
        )

    def clamps_stand_on_rails(self, shape: schema.LayoutShape, at: tuple[object, ...]) -> None:
        heights = {r.from_eave for r in shape.rails.values()}
        assert isinstance(shape.clamps, dict)
        for seam, places in shape.clamps.items():
            for place in places:
                if place not in heights:
                    text = f"clamp at {units.show(place, 'length')} on `{seam}` is on no rail line"
                    self.fault((*at, seam), text, "give it the height of a drawn rail line")

    def request(self) -> Request:
        shape = self.shape.request
        at = ("request",)
        array = stack = None
        if isinstance(shape, schema.ChooseShape):
            array = shape.array
            if array not in self.shape.arrays:
                remedy = near(array, self.shape.arrays)
                self.fault((*at, "array"), f"no array `{array}`", remedy)
            for slot in shape.must_use:
                if slot not in SLOTS:
                    self.fault((*at, "must_use"), f"no slot `{slot}`", near(slot, SLOTS))
            return Request("choose", array, must_use=shape.must_use, want=shape.want)
        stack = shape.stack
        if stack is not None and stack not in self.shape.stacks:
            self.fault((*at, "stack"), f"no stack `{stack}`", near(stack, self.shape.stacks))
        if isinstance(shape, schema.ActShape):
            if shape.act not in self.vocabulary.acts:
                remedy = near(shape.act, self.vocabulary.acts)
                self.fault((*at, "act"), f"`{shape.act}` is no act of the vocabulary", remedy)
            return Request("act", stack=stack, act=shape.act)
        if isinstance(shape, schema.SwapShape):
            out, into = shape.out, shape.into
            return Request("swap", stack=stack, out=out, into=into, changes=shape.set_)
        return Request("judge", stack=stack)


SLOTS = (
    "clamp",
    "insert",
    "inlay",
    "bolts",
    "rail",
    "cross",
    "upper_rail",
    "frame",
    "module_clamp",
)


def _settled(quantity: Quantity, shape: schema.SightingShape, paper: Paper | None) -> bool:
    """Whether a paper gives the value, or the way that it was seen settles it."""
    kind = "" if paper is None else paper.kind
    way = ", ".join(w for w in (shape.how, shape.tool, kind) if w)
    return kind in Paper.GIVES_VALUES or quantity.settled_by(way)


def _place(value: int, tolerance: int) -> Place:
    return Place(value - tolerance, value + tolerance)


def _share(tolerance: int, value: int, relative: bool) -> int:
    return abs(value) * tolerance // 1_000_000 if relative else tolerance


def _over(text: str, dimension: str) -> int:
    """Thickness to take off a reading, from `paint 0.05 mm`."""
    what, _, number = text.strip().partition(" ")
    try:
        thickness = units.parse(number, dimension)
        if thickness < 0 or not what[0].isalpha():
            raise ValueError
    except ValueError:
        shown = units.shorten(text)
        raise ValueError(
            f"`over` says what lies on top and how thick, such as `paint 0.05 mm`, given `{shown}`"
        ) from None
    return thickness


def _word(given: Any) -> str:
    """A word as it is written; figures alone, such as a terrain category, are words too."""
    return str(given) if not isinstance(given, bool) else str(given).lower()
