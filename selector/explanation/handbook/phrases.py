"""What the paths of conditions are called in plain words."""

from selector.model.rule import Path, Rule

# Noun phrases; a path that is not here is called by its own words.
NOUNS = {
    "act.what": "what somebody wants to do",
    "array.calculation": "the engineer's calculation of this array",
    "array.fire_wall_limit": "the distance that the fire designer asks for",
    "array.frame": "the frame height of the modules",
    "array.module_sides": "the frame sides on which the module may be clamped",
    "array.reserve": "the weight of the array, set against the load reserve on paper",
    "array.tilt": "the tilt of the array",
    "array.zones": "the roof zones that the array reaches",
    "clamp": "the clamp",
    "clamp.clip_distance": "the clip distance of the clamp",
    "clamp.generation": "the generation of the clamp",
    "clamp.grips.bulb": "the clamp's window for the bulb",
    "clamp.grips.head": "the clamp's window for the head",
    "clamp.grips.height": "the clamp's window for the height",
    "clamp.grips.leg": "the clamp's window for the leg",
    "clamp.grips.neck": "the clamp's window for the neck",
    "clamp.grips.shapes": "the shapes that the clamp grips",
    "clamp.named_by_owner": "the clamp that the owner of the profile names",
    "clamp.needs_insert": "the insert that the clamp needs",
    "clamp.own_profile": "the clamp as some profile's own clamp",
    "clamp.screw_order": "the order of its screws",
    "clamp.torque": "the torque of the clamp's record",
    "contact.inlay": "the inlay between them",
    "contact.lower": "the metal below",
    "contact.pairing": "the judgement on the two metals",
    "contact.place": "the place of the contact",
    "contact.upper": "the metal above",
    "contact.apart": "the judgement on the two metals with the inlay between",
    "contact.bridge": "what goes round the inlay",
    "contact.coat": "the coat under the point of the screw",
    "contact.fastener": "the metal of the fastener",
    "contact.grade_outdoors": "whether the grade is one for outdoors",
    "contact.grade_fits": "whether the grade is enough for the air",
    "contact.lower_grade_fits": "whether the grade of the lower side is enough for the air",
    "contact.lower_grade": "the grade of the lower side",
    "contact.held": "the metal that the fastener holds",
    "contact.run_off": "the judgement on the water from above",
    "contact.sufferer": "the metal that is eaten",
    "contact.water": "the water from above",
    "contact.below": "the metal that it reaches",
    "contact.wire": "the wire above",
    "joint.along": "the force along the seam",
    "joint.bolted": "a bolt in the joint",
    "joint.evidence": "this joint",
    "joint.frame": "the frame heights that the module clamp holds",
    "joint.listing": "the adapter's listing for this clamp",
    "joint.offered": "the interface that the lower part offers",
    "joint.taken": "the interfaces that the upper part takes",
    "joint.uplift": "the uplift",
    "joint.upper_slot": "the upper part",
    "layout.clamps_a_piece": "the number of clamps on the shortest rail piece",
    "layout.clear_of_edges": "the distance of the modules from eave, verge, ridge and valley",
    "layout.collar_distance": "the distance of a clamp from a soldered or welded collar",
    "layout.lines": "the place of the rail lines",
    "layout.module_zone": "the clamping zone of the module's record",
    "layout.modules_over": "what lies under a module",
    "layout.rail_offset": "the distance of a rail line from the module's end",
    "layout.rails_over": "what a rail runs across",
    "layout.rigid_run": "the longest rail run without a gap",
    "place": "the place of this clamp",
    "place.bay": "the bay of the clamp on its seam",
    "place.clip_head": "the clip head below the clamp",
    "place.damage": "the damage of the seam at this place",
    "place.distance_to_nearest_clip": "the distance to the nearest clip mark",
    "plane.below_eave": "what is below the eave",
    "plane.clips": "the clips in this deck",
    "plane.clips.edge_spacing": "the distance from clip to clip near the edges",
    "plane.clips.kind": "the kind of clips",
    "plane.clips.located": "where the clips sit on the seams to be used",
    "plane.clips.marks": "the clip marks",
    "plane.clips.nails": "the state of the clip nails",
    "plane.clips.spacing": "the distance from clip to clip",
    "plane.clips.strength": "the strength of the clips",
    "plane.clips.widest_bay": "the widest distance from clip to clip",
    "plane.collars": "soldered or welded collars on the plane",
    "plane.deck.kind": "what lies under the sheet",
    "plane.deck.sound": "the state of the deck",
    "plane.deck.thickness": "the thickness of the deck",
    "plane.pitch": "the pitch of the roof",
    "plane.seam.branch": "what is seen on the sheet",
    "plane.seam.bulb": "the bulb",
    "plane.seam.damage": "the damage of the seams",
    "plane.seam.flanks": "the flanks of the rib",
    "plane.seam.head": "the head of the seam",
    "plane.seam.height": "the height of the seam",
    "plane.seam.leg": "the leg of the seam",
    "plane.seam.made": "the making of the seam",
    "plane.seam.neck": "the neck below the bulb",
    "plane.seam.parallel": "the run of the seams from eave to ridge",
    "plane.seam.shape": "the seam shape",
    "plane.seam.sightings": "the number of independent looks at the seam shape",
    "plane.seam.spacing": "the distance from seam to seam",
    "plane.sheet.coating": "the coating of the sheet",
    "plane.sheet.colour": "the colour of the sheet",
    "plane.sheet.fixed_zone": "the fixed zone of the sheet",
    "plane.sheet.grade": "the grade of the sheet",
    "plane.sheet.length": "the sheet length from eave to ridge",
    "plane.sheet.magnet": "what a magnet does on the sheet",
    "plane.sheet.metal": "the metal of the sheet",
    "plane.sheet.thickness": "the thickness of the sheet",
    "plane.sheet.travel": "the travel of the sheet end",
    "rail.cantilever": "the longest rail end beyond a clamp",
    "rail.rigid_run": "the longest run that the rail may have without a gap",
    "rail.span": "the largest span of the rail",
    "request.kind": "the question of the job",
    "site.altitude": "the altitude of the place",
    "site.brittle": "brittle sheet, rooflight or asbestos",
    "site.building": "the building",
    "site.fire_wall": "a fire wall under or through the roof",
    "site.fire_wall_distance": "the distance from the array to the fire wall",
    "site.ground_snow": "the ground snow of the place",
    "site.harsh_air": "a stable, compost, flue or plating shop near the roof",
    "site.lightning": "lightning protection on the roof",
    "site.papers.access": "the plan for safe access",
    "site.papers.fire": "the fire designer's word",
    "site.papers.lightning": "the lightning specialist's note",
    "site.papers.roofer_consent": "the consent of roofer or owner",
    "site.pool_hall": "a pool hall, or its exhaust,",
    "site.reserve_paper": "a written statement on the load reserve",
    "site.run_off_from_above": "the water that runs onto this plane from above",
    "site.salt": "salt at the roof",
    "site.salted_road": "a salted road within 100 m",
    "site.sea_distance": "the distance to the sea",
    "stack.adapters": "the number of adapters between clamp and rail",
    "stack.beside.clamps": "the clamps beside it in the same row",
    "stack.beside.rails": "the rails beside it",
    "stack.clamp_slide": "the down-slope force on a clamp",
    "stack.clamp_together": "uplift and down-slope force on a clamp together",
    "stack.clamp_uplift": "the uplift on a clamp",
    "stack.clip_paper": "the sum of all clamps above the share that a paper states",
    "stack.clip_places": "the place between two clips that carries the clamp",
    "stack.clip_share": "the share of the most loaded clip",
    "stack.clip_sum": "the share of a paper and the sum of all clamps",
    "stack.clip_window": "the distance that the share of the clips asks for",
    "stack.cross": "a cross connector",
    "stack.drawn": "the layout",
    "stack.evidence": "this clamp on this seam and sheet",
    "stack.frame": "an elevating frame",
    "stack.inlay": "an inlay",
    "stack.insert": "an insert",
    "stack.module_clamp": "a module clamp",
    "stack.module_down": "the pressure on the module towards the roof",
    "stack.module_up": "the pressure on the module away from the roof",
    "stack.modules": "the module as it is clamped here",
    "stack.owners_document": "the owner's document with these loads",
    "stack.rail": "a rail",
    "stack.rail_down": "the pressure on the rail towards the roof",
    "stack.rail_span": "the span of the rail from clamp to clamp",
    "stack.rail_uplift": "the pressure on the rail away from the roof",
    "stack.screw_tip": "the tip of the set screws",
    "stack.seam_grid": "the grid of the seams",
    "stack.set_torque": "the torque that the set screws get, against the listed one",
    "stack.sheet_slide": "the down-slope force on the fixed clips of the sheet",
    "stack.side": "the frame side that is clamped",
    "stack.tightened": "the way a clamp was tightened",
    "stack.torque": "the torque that the set screws get",
    "stack.upper_rail": "an upper layer of rails",
    "stack.wrench": "the torque wrench at hand, against the torque of the set screws",
}
# Whole sentences where noun and verb do not make one: path, then what is said of it; the words
# of a list in the order of the alphabet.
SENTENCES = {
    ("array.calculation", "present"): "an engineer's calculation contains this array",
    ("array.loads_calculated", "absent"): "no engineer's calculation has the loads of this array",
    (
        "array.rear_calculated",
        "present",
    ): "a calculation has the force on the rear clamps by itself",
    (
        "array.reserve",
        "passes",
    ): "the array weighs at most what the statement on the reserve allows",
    (
        "array.rows_calculated",
        "present",
    ): "a calculation has snow drifts and wind from behind between the rows",
    ("array.tilt", "is elevated"): "the array is elevated (a few degrees of wedge count)",
    ("array.tilt", "is parallel"): "the array lies parallel to the roof",
    ("clamp.needs_insert", "present"): "the clamp is made for an insert",
    ("clamp.own_profile", "is no"): "the clamp is no profile's own clamp",
    ("clamp.own_profile", "is yes"): "the clamp is the own clamp of some profile",
    ("clamp.screw_order", "present"): "the screws of the clamp have an order",
    ("contact.inlay", "is none"): "there is no inlay between them",
    ("contact.inlay", "is not listed"): "there is an inlay, and it is not the one listed",
    ("contact.inlay", "is one of listed, none"): "there is no inlay, or the listed one",
    ("contact.place", "is between parts"): "two parts of the stack touch",
    ("contact.place", "is on the sheet"): "the part touches the sheet of the roof",
    ("contact.wire", "is bare copper"): "a bare copper wire lies above",
    ("joint.along", "passes"): "the force along the seam is at most the record of the joint",
    ("joint.bolted", "is yes"): "a bolt goes into the joint",
    ("joint.listing", "is not listed"): "the adapter is not listed for this clamp",
    (
        "joint.listing",
        "is one of listed, no adapter",
    ): "the adapter is listed for this clamp, or there is none",
    (
        "joint.offered",
        "is one of joint.taken",
    ): "the interface that the lower part offers is one that the upper part takes",
    ("joint.uplift", "passes"): "the uplift is at most the record of the joint",
    ("joint.upper_slot", "is adapter"): "the upper part is an adapter",
    ("joint.upper_slot", "is module_clamp"): "the upper part is a module clamp",
    ("layout.lines", "is in every row"): "every row of modules has rail lines near both its ends",
    (
        "layout.modules_over",
        "is nothing",
    ): "no module lies across a gap, a step or a movement joint",
    ("layout.rails_over", "is nothing"): "no rail ties sheets that move apart",
    ("place.bay", "is inner"): "the clamp stands in an inner bay of its seam",
    (
        "place.clip_head",
        "is pinned",
    ): "jaw and clip head meet before the sheet has moved as far as it will",
    ("place.damage", "is none"): "the seam is sound at this place",
    ("plane.below_eave", "not is none"): "there is a door, path or glass below the eave",
    ("plane.clips.located", "is yes"): "the clips were found on every seam that is used",
    ("plane.clips.nails", "is rusted or plain steel"): "the clip nails are rusted or plain steel",
    ("plane.clips.strength", "is strong"): "the clips are the strong ones of a system roof",
    ("plane.clips.strength", "is weak"): "the clips are not known to be strong",
    ("plane.clips.strength", "not is strong"): "the clips are not the strong ones of a system roof",
    ("plane.collars", "not is none"): "there are soldered or welded collars on the plane",
    ("plane.deck.sound", "is wet or rotten"): "the deck is wet or rotten",
    ("plane.looked_inside", "present"): "somebody has opened the roof or looked inside",
    ("plane.seam.branch", "is fold or joint"): "a fold, bead or joint runs up the slope",
    ("plane.seam.damage", "known"): "somebody has looked for damage of the seams",
    ("plane.seam.flanks", "is differ"): "its two flanks differ",
    ("plane.seam.made", "is by hand"): "the seam was closed on site, over separate clips",
    ("plane.seam.made", "is factory"): "the seam comes from a factory system",
    ("plane.seam.parallel", "is parallel"): "the seams are parallel from eave to ridge",
    ("request.kind", "is choose"): "a new stack is to be chosen",
    ("site.brittle", "is none"): "no sheet is brittle or suspected of asbestos",
    ("site.building", "is existing"): "the building stands already",
    ("site.building", "is new"): "the building is new",
    ("site.fire_wall", "is present"): "a fire wall stands under the roof or goes through it",
    ("site.harsh_air", "is present"): "a stable, compost, flue or plating shop is near the roof",
    ("site.papers.access", "present"): "a plan for safe access is on file",
    ("site.papers.fire", "present"): "a fire designer's word is on file",
    ("site.papers.lightning", "present"): "a lightning specialist's note is on file",
    ("site.papers.roof", "absent"): "there are no papers of the roof",
    ("site.papers.roof_life", "present"): "somebody has said on paper how long the roof will last",
    ("site.papers.roofer_consent", "present"): "the roofer's or owner's consent is on file",
    (
        "site.papers.snow_from_above",
        "present",
    ): "an engineer has judged on paper the snow that falls from a higher roof",
    ("site.papers.washing", "absent"): "there is no plan on paper for washing",
    ("site.pool_hall", "is present"): "it is a pool hall, or one exhausts here",
    ("site.reserve_paper", "is none"): "nobody has a written statement on the load reserve",
    ("site.run_off_from_above", "is copper"): "water from copper runs onto this plane",
    (
        "site.run_off_from_above",
        "is one of copper, none",
    ): "no water runs onto this plane from above, or it comes from copper, which has its own rule",
    ("site.salt", "is present"): "salt reaches the roof",
    ("site.salted_road", "is present"): "a salted road lies within 100 m",
    ("stack.beside.clamps", "is new"): "the clamps beside it are of the new generation",
    ("stack.beside.clamps", "is old"): "the clamps beside it are of the old generation",
    ("stack.beside.rails", "is other family"): "the rails beside it are of another family",
    ("stack.clamp_slide", "passes"): "the down-slope force on a clamp is at most its record",
    (
        "stack.clamp_together",
        "passes",
    ): "uplift and down-slope force on a clamp, added as shares of its record, are at most 1",
    ("stack.clamp_uplift", "passes"): "the uplift on a clamp is at most its record",
    ("stack.clip_paper", "is perhaps"): "the sum of all clamps may lie above the paper's share",
    ("stack.clip_paper", "is surely"): "the sum of all clamps lies above the paper's share",
    (
        "stack.clip_share",
        "passes",
    ): "the share of the most loaded clip is at most what it can spare",
    ("stack.drawn", "is not drawn"): "no layout is drawn",
    ("stack.improvised.adapter", "present"): "there is a home-made adapter",
    ("stack.improvised.fit", "present"): "it was made to fit by packing, filing, bending or force",
    (
        "stack.improvised.inlay",
        "present",
    ): "tape, rubber, paint or foil stands in for the inlay, or it is torn",
    (
        "stack.module_down",
        "passes",
    ): "the pressure on the module towards the roof is at most its rating",
    (
        "stack.module_up",
        "passes",
    ): "the pressure on the module away from the roof is at most its rating",
    ("stack.rail_down", "passes"): "the pressure on the rail towards the roof is at most its limit",
    (
        "stack.rail_uplift",
        "passes",
    ): "the pressure on the rail away from the roof is at most its limit",
    ("stack.screw_tip", "is as delivered"): "the set screws are those delivered with the clamp",
    (
        "stack.seam_grid",
        "is under the zones",
    ): "the seams lie under the clamping zones of the modules",
    (
        "stack.sheet_slide",
        "passes",
    ): "the down-slope force on the fixed clips of the sheet is at most their record",
    ("stack.side", "is short"): "the modules are clamped on their short sides",
    ("stack.tightened", "is in the wrong order"): "the screws were tightened in the wrong order",
    ("stack.tightened", "is loosened and set again"): "a clamp was loosened and set again",
}
# Kinds of records, as conditions name them.
COVERS = {
    "clamp on seam": "a good and valid record",
    "clip in deck": "a good and valid record",
    "joint": "a good and valid record",
    "module": "a good and valid rating",
    "bad": "a record of a failed test",
    "expired": "a good record that has run out",
}
RECORDS = {"bad": "the record of the failed test", "expired": "the record that has run out"}
SHARE = "share, 1 is the limit"
SUBJECTS = {
    "job": "the whole job",
    "plane": "one roof plane",
    "part-on-plane": "one clamp on one roof plane",
    "contact": "two metals that touch or drip on each other",
    "joint": "one joint of two parts",
    "stack": "one stack",
    "place": "one clamp at its place",
    "layout": "the drawn layout of one stack",
    "act": "something somebody wants to do",
}


def noun(path: str, texts: dict[str, str] | None = None) -> str:
    """`plane.seam.height` -> the height of the seam; numbers of the trade by their own text."""
    found = NOUNS.get(path) or (texts or {}).get(path)
    if found:
        return found
    role, _, name = path.partition(".")
    kind = name.partition(" ")[2]  # `evidence bad clamp on seam`: a record behind a path
    if kind:
        return RECORDS.get(kind.partition(" ")[0], "the record that covers it")
    own = name.replace("_", " ").replace(".", " ")
    return f"the {own} of the {role}" if own else f"the {role}"


def hole(path: str, texts: dict[str, str]) -> str:
    """What stands in a gap of a message: a share where the path is checked against a limit."""
    if (path, "passes") in SENTENCES:
        return SHARE
    return bare(noun(path, texts))


def bare(text: str) -> str:
    """A noun phrase without its article, for labels."""
    for article in ("the ", "a ", "an "):
        if text.startswith(article):
            return text.removeprefix(article).rstrip(",")
    return text.rstrip(",")


def short(path: str) -> str:
    """What a path is called, without an article."""
    return bare(noun(path))


def sentence(text: str) -> str:
    """A text with its first letter large; the rest, and its end, as they are."""
    return text[:1].upper() + text[1:]


def full_path(text: str, rule: Rule) -> str:
    """`p.seam.height` with the role of its letter; words after it stay."""
    letter, dot, name = text.partition(".")
    return str(Path(rule.roles.get(letter, letter), name)) if dot else rule.roles.get(text, text)
