"""Every page of the handbook in order: its address, its template, what it shows."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from selector.explanation.handbook import address
from selector.explanation.handbook.part_page import SLOTS, part_page, record_card
from selector.explanation.handbook.phrases import sentence
from selector.explanation.handbook.question_page import question_pages
from selector.explanation.handbook.rule_page import paths_of, rule_page, theme_of
from selector.explanation.handbook.trade_pages import citing, topics
from selector.knowledge.base import Base
from selector.knowledge.code_tables import code_sheets
from selector.model.rule import Rule

# Theme -> what its rules are about, in the order of a job.
THEMES = {
    "grips": "does the clamp grip this seam",
    "joins": "do the parts join, and do the metals live together",
    "clips": "clips, deck and seams",
    "holds": "is every link proven by a record",
    "loads": "forces, rails, modules and movement",
    "building": "does the building carry it",
    "gates": "papers that must be there before anybody builds",
    "duties": "what is always said",
    "acts": "what nobody may do",
}

# What is asked for outside the questions, by the first word of its path.
LONE = {
    "stated": "figures that an engineer states",
    "array": "the array as it is drawn",
    "plane": "records",
    "stack": "records",
    "joint": "records",
}


@dataclass(frozen=True)
class Page:
    """One page before it is written."""

    address: str
    kind: str
    title: str
    template: str
    note: str  # one line below the title where a search lists it
    words: str  # what else a search reads
    data: dict[str, Any]


def pages(base: Base) -> tuple[Page, ...]:
    """All pages of a base, the start page first."""
    found = [*_rules(base), *_parts(base), *_questions(base), *_sources(base), *_trade(base)]
    found += _codes(base)
    return (*_contents(base), *found)


def as_of(base: Base) -> str:
    """The newest day on which a rule was reviewed or a source read: no clock is asked."""
    days = [r.reviewed for r in base.rules] + [s.read for s in base.sources.values()]
    return max(days, default="")


def by_theme(base: Base) -> dict[str, list[Rule]]:
    """Rules that are in force by theme, known themes in their order."""
    found: dict[str, list[Rule]] = {theme: [] for theme in THEMES}
    for rule in sorted(base.rules, key=lambda r: r.title):
        found.setdefault(theme_of(rule), []).append(rule)
    return {theme: rules for theme, rules in found.items() if rules}


def by_trade_id(base: Base) -> dict[str, list[Rule]]:
    """Rules by the id of the trade rule that they carry, in natural order."""
    found: dict[str, list[Rule]] = {}
    for rule in base.rules:
        for trade_id in rule.trade:
            found.setdefault(trade_id, []).append(rule)

    def order(trade_id: str) -> tuple[str, int, str]:
        letters, _, digits = trade_id.rpartition("-")
        return letters, int(digits) if digits.isdecimal() else 0, trade_id

    return {k: found[k] for k in sorted(found, key=order)}


def _contents(base: Base) -> Iterator[Page]:
    themes = by_theme(base)
    shared: dict[str, Any] = {"themes": themes, "about_themes": THEMES, "topics": topics(base)}

    def page(name: str, title: str, **data: Any) -> Page:
        return Page(f"{name}.html", "contents", title, f"{name}.html", "", "", {**shared, **data})

    yield page("index", "Seamwright handbook")
    yield page("search", "Search")
    yield page("rules", "Rules", trade_ids=by_trade_id(base))
    yield page("parts", "Parts", slots=SLOTS)
    yield page("questions", "Questions", groups=_groups(base))
    yield page("trade", "The trade")
    yield page("numbers", "Numbers", readers=_readers(base))
    yield page("codes", "Codes", sheets=code_sheets(base.codes))
    yield page("sources", "Sources")


def _groups(base: Base) -> dict[str, list[tuple[str, str, str]]]:
    """Address, title and who can look, of every page of questions, by what it speaks about."""
    found: dict[str, list[tuple[str, str, str]]] = {}
    for where, page in question_pages(base):
        if page.question is not None:
            group = page.question.group
        else:
            path = page.figures[0].ask.path
            group = LONE.get(path.partition(".")[0], "others")
            if page.figures[0].quantity is not None:
                group = "settings, and what rules work out"
        found.setdefault(group, []).append((where, page.title, page.who))
    return found


def _readers(base: Base) -> dict[str, list[Rule]]:
    """Rules that read each number."""
    found: dict[str, list[Rule]] = {number: [] for number in base.numbers}
    for rule in base.rules:
        for name in sorted({p.name for p in paths_of(rule) if p.role == "trade"}):
            found[name].append(rule)
    return found


def _rules(base: Base) -> Iterator[Page]:
    for rule in base.rules:
        page = rule_page(rule, base)
        words = " ".join((rule.id, *rule.trade, rule.why, rule.help, rule.message))
        where = address.rule(rule.id)
        note = f"rule, {page.gives}: {rule.why}"
        yield Page(where, "rule", sentence(rule.title), "rule.html", note, words, {"page": page})


def _parts(base: Base) -> Iterator[Page]:
    for name, catalogue in base.catalogues.items():
        cards = [record_card(catalogue, record) for record in catalogue.records]
        words = " ".join((catalogue.scenario, *(r.id for r in catalogue.records)))
        data: dict[str, Any] = {"catalogue": catalogue, "cards": cards, "slots": SLOTS}
        title, note = f"Catalogue {name}", f"catalogue, {catalogue.tag}, with its records"
        where = address.catalogue(name)
        yield Page(where, "catalogue", title, "catalogue.html", note, words, data)
        for part in sorted(catalogue.parts.values(), key=lambda p: p.id):
            page = part_page(part, base)
            metal = part.shape.metal.text if part.shape.metal else ""
            words = " ".join((part.id, metal))
            note = f"{page.slot}, {catalogue.tag} ({name}): {part.shape.text}"
            where, data = address.part(part.id), {"page": page}
            yield Page(where, "part", part.handle, "part.html", note, words, data)


def _questions(base: Base) -> Iterator[Page]:
    for where, page in question_pages(base):
        paths = [figure.ask.path for figure in page.figures]
        chosen = [choice.word for figure in page.figures for choice in figure.choices]
        asked = [figure.ask.ask for figure in page.figures]
        words = " ".join((*paths, *chosen, *asked, *page.how, page.ask))
        note = f"question: {page.ask or '; '.join(page.how)}"
        yield Page(
            where, "question", sentence(page.title), "question.html", note, words, {"page": page}
        )


def _sources(base: Base) -> Iterator[Page]:
    for source in base.sources.values():
        words = " ".join((source.id, source.publisher, source.edition, source.note))
        where, note = address.source(source.id), f"source, {source.status}"
        data = {"source": source, "citing": citing(source.id, base)}
        yield Page(where, "source", source.title, "source.html", note, words, data)


def _trade(base: Base) -> Iterator[Page]:
    for topic in topics(base):
        words = " ".join(
            text for block in topic.blocks for text in (block.title, *(v for _, v in block.fields))
        )
        where, note = address.topic(topic.name), f"the trade: {topic.lead}"
        yield Page(where, "trade", topic.title, "topic.html", note, words, {"topic": topic})


def _codes(base: Base) -> Iterator[Page]:
    for sheet in code_sheets(base.codes):
        words = " ".join((sheet.id, *(table.title for table in sheet.tables)))
        where, note = address.code(sheet.id), f"code, {sheet.kind}: {sheet.id}"
        yield Page(where, "code", sheet.title, "code.html", note, words, {"sheet": sheet})
