"""Pages to files: templates filled with everything escaped, the same bytes for the same base."""

import json
import posixpath
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined

from selector import units
from selector.explanation.handbook import address
from selector.explanation.handbook.contents import Page, as_of, pages
from selector.explanation.handbook.phrases import sentence, short
from selector.explanation.handbook.question_page import where
from selector.knowledge.base import Base
from selector.model.quantity import Measured

PLAIN = ("style.css", "search.js")  # copied as they are


def render(base: Base, version: str) -> dict[str, str]:
    """Text of every file of the handbook by its address."""
    environment = _environment()
    everything = pages(base)
    shared = {
        "base": base,
        "version": version,
        "digest": base.digest[:12],
        "as_of": as_of(base),
        "needs": {need.name: need for need in base.vocabulary.needs},
        "pages": everything,
        "asked_at": where(base),
    }
    files = {page.address: _filled(environment, page, shared) for page in everything}
    for drawing in base.drawings.values():
        files[address.drawing(drawing.shape)] = drawing.svg
    for name in PLAIN:
        files[name] = environment.get_template(name).render()
    files["search-index.js"] = _index(everything)
    return files


def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("selector.explanation.handbook"),
        autoescape=lambda name: name is not None and name.endswith(".html"),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.globals |= {"address": address, "short": short}
    environment.filters |= {"sentence": sentence, "figure": figure}
    return environment


def figure(value: Measured) -> str:
    """A figure with its unit; an expansion also as one feels it on the roof."""
    if value.dimension != "expansion":
        return str(value)
    millimetres = units.UNITS["um/m/K"][1] * 1_000
    return f"{value.places[0].low / millimetres:.4g} mm for each metre and kelvin ({value})"


def _filled(environment: Environment, page: Page, shared: dict[str, Any]) -> str:
    here = posixpath.dirname(page.address)

    def at(target: str) -> str:
        """Address of another page as seen from this one."""
        path, mark, fragment = target.partition("#")
        return posixpath.relpath(path, here or ".") + mark + fragment

    template = environment.get_template(page.template)
    return template.render(**shared, **page.data, this=page, at=at)


def _index(everything: tuple[Page, ...]) -> str:
    """What the search script reads: title, address, note and words of each page."""
    rows = [[p.title, p.address, p.note, p.words] for p in everything if p.kind != "contents"]
    text = ",\n".join(json.dumps(row).replace("<", "\\u003c") for row in rows)
    return f"const PAGES = [\n{text}\n];\n"
