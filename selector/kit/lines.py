"""Counted lines of a kit: each with its part, its number, its reason and what it follows from."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal

from selector.kit.chosen import Chosen
from selector.kit.counts import Counts, Tallies, total
from selector.kit.model import HUNDREDTH, METRE, Because, Hole, Line, Metres, Noun
from selector.knowledge import schema
from selector.knowledge.base import Base, Part
from selector.knowledge.schema import Goods, Price
from selector.layout.model import Bar
from selector.model.kit import KitBook


def goods(base: Base, chosen: Chosen, counts: Counts) -> tuple[Line, ...]:
    """Every counted line that is not empty, from the seam up."""
    counter = Counter(base.kits, chosen, counts)
    found = (*counter.roof(), *counter.on_top(), *counter.electrical())
    return tuple(_ordered(line for line in found if line.number != 0))


def _ordered(lines: Iterable[Line]) -> Iterator[Line]:
    """Lines with what is ordered for each: packs are opened once, whichever line wants a piece."""
    wanted: dict[str, Decimal] = defaultdict(Decimal)
    packed: dict[str, Decimal] = defaultdict(Decimal)
    for line in lines:
        order = line.wanted
        if order is not None and line.pack is not None:
            wanted[line.part] += order
            packs = -(-int(wanted[line.part]) // line.pack)
            whole = Decimal(packs * line.pack)
            order, packed[line.part] = whole - packed[line.part], whole
        yield line if order is None else _priced(replace(line, order=order))


def _priced(line: Line) -> Line:
    return replace(line, price=_times(line.each, line.order or Decimal(0)))


@dataclass(frozen=True)
class Counter:
    """Turns counts into lines."""

    kits: KitBook
    chosen: Chosen
    counts: Counts

    def line(
        self, group: str, kind: str, part: Part | None, number: int, *because: Because
    ) -> Line:
        """A line of pieces with spares, masses and price."""
        rule = self.kits.spares.get(kind)
        spare = rule.of(number) if rule is not None else 0
        bare = Line(group, kind, number, spare=spare, rule=rule, because=because)
        return bare if part is None else _of_part(bare, part)

    # --- on the roof -------------------------------------------------------------------

    def roof(self) -> Iterator[Line]:
        """Clamps and what lies between them and the modules."""
        yield from self.on_seams()
        rail = self.chosen.rail
        if rail is not None:
            yield from self.rails(rail)
            yield from self.upper(rail)
        frame = self.chosen.slot("frame")
        if frame is not None:
            bare = Line("roof", "frame", None, because=(Because("frames"),))
            yield replace(_of_part(bare, frame), follows=frame.id)
        for part, owner in self.chosen.brought():
            one = self.line("roof", "brought", part, 1, Because("brought"))
            yield replace(one, follows=owner.id)

    def on_seams(self) -> Iterator[Line]:
        """Seam clamps and what each of them takes."""
        chosen, counts = self.chosen, self.counts
        n = counts.all_clamps
        on_each = Because("each_clamp", {"clamps": Noun("clamp", n)})
        holders = _each(counts.clamps, "clamps_on", "clamps", "clamp")
        yield self.line("roof", "clamp", chosen.clamp, n, *holders)
        yield self.screws(n)
        insert, wanted = chosen.insert
        if wanted:
            one = self.line("roof", "insert", insert, n, on_each)
            yield _needed(one, insert, chosen.clamp.id)
        inlay = chosen.slot("inlay")
        if inlay is not None:
            one = self.line("roof", "inlay", inlay, n, on_each)
            yield replace(one, unit="set", follows=chosen.clamp.id)
        for adapter in chosen.adapters:
            one = self.line("roof", "adapter", adapter, n, on_each)
            yield replace(one, follows=chosen.clamp.id)
        yield from self.bolts(n)
        loose = chosen.loose_joint()
        if loose is not None:
            why = Because("loose_joint", {"lower": loose[0], "upper": loose[1]})
            yield replace(self.line("roof", "joint", None, n, why), listed=False)

    def screws(self, clamps: int) -> Line:
        """Set screws come with their clamps; only spares are a line."""
        screw, clamp = self.chosen.jaw.set_screw, self.chosen.clamp
        delivered = clamps * screw.count
        rule = self.kits.spares["set_screw"]
        n = rule.of(delivered)
        holes: dict[str, Hole] = {"screws": Noun("screw", delivered)}
        holes |= {"percent": rule.percent, "least": rule.at_least}
        return Line(
            "roof",
            "set_screw",
            n,
            part=clamp.id,
            because=(Because("screws", holes),),
            follows=clamp.id,
            mass=None if screw.mass is None else screw.mass * n,
            on_roof=0,  # spares stay in the box
            each=screw.price,
        )

    def bolts(self, clamps: int) -> Iterator[Line]:
        """One set on each head below a rail, one on each connector that takes bolts."""
        bolts, cross = self.chosen.slot("bolts"), self.chosen.slot("cross")
        upper = self.chosen.bolts_of(cross) if cross is not None else None
        crossings = total(self.counts.crossings)
        if bolts is not None:
            top = self.chosen.adapters[-1] if self.chosen.adapters else self.chosen.clamp
            heads = "head" if self.chosen.adapters else "clamp"
            each = Because(f"each_{heads}", {f"{heads}s": Noun(heads, clamps)})
            n, why = clamps, [each]
            if upper == bolts and crossings:
                n += crossings
                why.append(Because("each_crossing", {"crossings": Noun("crossing", crossings)}))
            one = self.line("roof", "bolts", bolts, n, *why)
            yield replace(one, unit="set", follows=top.id)
        if upper is not None and upper != bolts and cross is not None:
            each = Because("each_crossing", {"crossings": Noun("crossing", crossings)})
            one = self.line("roof", "bolts", upper, crossings, each)
            yield replace(one, unit="set", follows=cross.id)

    def rails(self, rail: Part) -> Iterator[Line]:
        """Bars to buy, or metres where no stock lengths are known; splices and caps."""
        counts, chosen = self.counts, self.chosen
        if counts.bars is None:
            why = _uncut(rail, counts.pieces)
            yield _metres(Line("roof", "rail", counts.run, "m", because=(why,)), rail)
        else:
            yield from _bars(counts.bars, rail)
        yield self.joined(rail)
        joints = Because("sliding", {"n": counts.sliding})
        yield self.splice(rail, "sliding_splice", "free", counts.sliding, joints)
        cap = chosen.line("end cap", rail)
        why = Because("caps", {"n": counts.pieces})
        one = self.line("roof", "end_cap", cap, 2 * counts.pieces, why)
        yield _needed(one, cap, rail.id)

    def joined(self, rail: Part) -> Line:
        """Rigid splices; where nothing is cut yet, as many as bars are too short for, at least."""
        counts, shape = self.counts, rail.shape
        assert isinstance(shape, schema.Rail)
        n = total(counts.rigid)
        why = list(_each(counts.rigid, "rigid", "splices", "splice"))
        longest = max(shape.stock_lengths, default=0)
        for length, parts in counts.parts if counts.bars is None and longest else ():
            joints = -(-length // longest) - 1
            if joints:
                n += joints * parts
                holes: dict[str, Hole] = {"n": parts, "splices": Noun("splice", joints)}
                holes |= {"length": Metres(length)}
                why.append(Because("too_long", {**holes, "bar": Metres(longest)}))
        return self.splice(rail, "rigid_splice", "blocked", n, *why)

    def splice(self, rail: Part, kind: str, movement: str, n: int, *why: Because) -> Line:
        """Splices of one kind; a plain gap needs none."""
        part = self.chosen.splice(rail, movement)
        return _needed(self.line("roof", kind, part, n, *why), part, rail.id)

    def upper(self, rail: Part) -> Iterator[Line]:
        """A second layer of rails over the first, with a connector at each crossing."""
        counts, cross = self.counts, self.chosen.slot("cross")
        if cross is None and not counts.upper:
            return
        part = self.chosen.slot("upper_rail")
        columns = _each(counts.upper, "upper", "rails", "upper_rail")
        metres = Line("roof", "upper_rail", counts.upper_run, "m", because=columns)
        bare = metres if part is None else _metres(metres, part)
        yield _needed(bare, part, (cross or rail).id)
        met = _each(counts.crossings, "crossed", "lower", "lower_rail")
        lower = rail.id
        one = self.line("roof", "cross", cross, total(counts.crossings), *met)
        yield _needed(one, cross, lower)

    # --- on top ------------------------------------------------------------------------

    def on_top(self) -> Iterator[Line]:
        """Modules and what holds them."""
        counts, chosen = self.counts, self.chosen
        in_rows = _each(counts.modules, "modules", "modules", "module")
        yield self.line("modules", "module", chosen.module, total(counts.modules), *in_rows)
        if chosen.rail is None:
            n = counts.all_clamps
            why = Because("each_clamp", {"clamps": Noun("clamp", n)})
            clamp = chosen.slot("module_clamp")
            one = self.line("modules", "module_clamp", clamp, n, why)
            yield _needed(one, clamp, chosen.clamp.id)
            return
        line = "upper_rail" if counts.upper else "rail_line"
        between = tuple(
            Because("mids", {"gaps": Noun("module_gap", t.each), "lines": Noun(line, t.on)})
            for t in counts.mids
        )
        mid = chosen.module_clamp("between modules")
        one = self.line("modules", "mid_clamp", mid, total(counts.mids), *in_rows, *between)
        yield _needed(one, mid, self.above.id)
        outer = [
            Because("ends", {"runs": Noun("run", t.of), "lines": Noun(line, t.on)})
            for t in counts.ends
        ]
        if counts.breaks:
            outer.append(Because("breaks", {"n": counts.breaks}))
        end = chosen.module_clamp("row end")
        one = self.line("modules", "end_clamp", end, total(counts.ends), *outer)
        yield _needed(one, end, self.above.id)

    @property
    def above(self) -> Part:
        """What module clamps sit on."""
        chosen = self.chosen
        tops = (chosen.slot("frame"), chosen.slot("upper_rail"), chosen.rail)
        return next((p for p in tops if p is not None), chosen.clamp)

    # --- electrical --------------------------------------------------------------------

    def electrical(self) -> Iterator[Line]:
        """Bonding jumpers and cable clips."""
        yield self.jumpers()
        spacing = self.kits.figures["cable_clip_spacing"]
        n = sum(-(-length // spacing) * rows for length, rows in self.counts.cables)
        run = sum(length * rows for length, rows in self.counts.cables)
        part = self.chosen.line("cable clip")
        why = Because("cable_clips", {"run": Metres(run), "spacing": Metres(spacing)})
        on = self.chosen.rail or self.chosen.clamp
        yield _needed(self.line("electrical", "cable_clip", part, n, why), part, on.id)

    def jumpers(self) -> Line:
        """One to earth, one over each open joint, one from row to row, one more with inlays."""
        counts, inlay = self.counts, self.chosen.slot("inlay")
        why = [Because("to_earth")]
        further, joints = counts.rows - 1, counts.sliding + counts.gaps
        if further > 0:
            why.append(Because("row_to_row", {"n": further}))
        if counts.gaps:
            why.append(Because("over_gaps", {"n": counts.gaps}))
        if counts.sliding:
            why.append(Because("over_sliding", {"n": counts.sliding}))
        if inlay is not None:
            why.append(Because("past_inlays"))
        n = 1 + max(further, 0) + joints + (inlay is not None)
        part = self.chosen.line("bonding jumper")
        owner = inlay or self.chosen.rail or self.chosen.clamp
        return _needed(self.line("electrical", "jumper", part, n, *why), part, owner.id)


def _each(tallies: Tallies, name: str, held: str, noun: str) -> tuple[Because, ...]:
    """`4 rail pieces with 3 clamps each`, once for each number."""
    return tuple(Because(name, {"n": t.on, held: Noun(noun, t.each)}) for t in tallies)


def _needed(line: Line, part: Part | None, follows: str) -> Line:
    """A line that follows from a part; where no catalogue lists it, it stays and says so."""
    return replace(line, follows=follows, listed=part is not None)


def _of_part(line: Line, part: Part) -> Line:
    """A line of whole pieces with masses and price of its part."""
    shape = part.shape
    mass = shape.mass if isinstance(shape, Goods) else None
    price, pack = (shape.price, shape.pack) if isinstance(shape, Goods) else (None, None)
    line = replace(line, part=part.id, pack=pack, each=price)
    if line.number is None:
        return line
    return replace(
        line,
        mass=None if mass is None else mass * (line.number + line.spare),
        on_roof=None if mass is None else mass * line.number,
    )


def _metres(line: Line, rail: Part) -> Line:
    """A line of running metres of a rail."""
    shape = rail.shape
    assert isinstance(shape, schema.Rail) and line.number is not None
    mass = _weight(shape, line.number)
    return replace(line, part=rail.id, mass=mass, on_roof=mass, each=shape.price)


def _uncut(rail: Part, pieces: int) -> Because:
    """Why a rail is given in metres."""
    shape = rail.shape
    assert isinstance(shape, schema.Rail)
    holes: dict[str, Hole] = {"pieces": Noun("piece", pieces)}
    if not shape.stock_lengths:
        return Because("metres", holes)
    return Because("uncut", {**holes, "bars": tuple(map(Metres, shape.stock_lengths))})


def _bars(bars: tuple[Bar, ...], rail: Part) -> Iterator[Line]:
    """One line for each stock length, the longest first."""
    shape = rail.shape
    assert isinstance(shape, schema.Rail)
    by_stock: dict[int, list[Bar]] = defaultdict(list)
    for bar in bars:
        by_stock[bar.stock].append(bar)
    for stock, same in sorted(by_stock.items(), reverse=True):
        cut = sum(sum(bar.cuts) for bar in same)
        holes: dict[str, Hole] = {"pieces": Noun("cut", sum(len(bar.cuts) for bar in same))}
        rest = stock * len(same) - cut
        holes |= {"rest": Metres(rest), "percent": 100 * rest // (stock * len(same))}
        yield Line(
            "roof",
            "rail",
            len(same),
            "bar",
            rail.id,
            length=stock,
            because=(Because("bars", holes),),
            mass=_weight(shape, stock * len(same)),
            on_roof=_weight(shape, cut),
            each=_times(shape.price, Decimal(stock) / METRE),
        )


def _weight(rail: schema.Rail, length: int) -> int:
    """Grams of so much rail, rounded to the gram."""
    return (rail.mass * length + METRE // 2) // METRE


def _times(price: Price | None, number: Decimal | int) -> Price | None:
    """Price of so many, to the cent."""
    if price is None:
        return None
    amount = (price.amount * number).quantize(HUNDREDTH, ROUND_HALF_UP)
    return Price(amount, price.currency)
