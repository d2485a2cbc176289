"""Our drawings of seam ends: `kb/questions/drawings/SHAPE.svg`, and `SHAPE.txt` for a terminal.

A drawing goes into pages as it is, so it is read against closed lists: nothing in it can run
or fetch anything.
"""

from pathlib import PurePosixPath
from xml.etree import ElementTree

from selector.errors import Problem, near
from selector.knowledge.faults import Faults
from selector.knowledge.yaml_reader import Document
from selector.model.question import Drawing

FOLDER = "kb/questions/drawings/"
MOST_LINES, MOST_COLUMNS = 12, 40
_SPACE = "{http://www.w3.org/2000/svg}"
_ELEMENTS = {"svg", "title", "desc", "g", "rect", "path", "line", "circle", "text"}
_ATTRIBUTES = {
    *("viewBox", "role", "transform", "width", "height", "x", "y", "x1", "y1", "x2", "y2"),
    *("cx", "cy", "r", "d", "fill", "stroke", "stroke-width", "stroke-linejoin"),
    *("stroke-linecap", "stroke-dasharray", "font-family", "font-size", "text-anchor"),
}


class Drawings(Faults):
    """Reads the drawings; every fault goes to the problems."""

    def drawings(self, shapes: tuple[str, ...]) -> dict[str, Drawing]:
        """Drawing of each word of `shape`; one that is missing is a fault."""
        found: dict[str, Drawing] = {}
        for shape in shapes:
            svg, text = (self.one(f"{FOLDER}{shape}.{kind}", shape) for kind in ("svg", "txt"))
            if svg is not None and text is not None:
                self.svg_is_safe(svg)
                self.text_fits(text)
                found[shape] = Drawing(shape, svg.data, text.data)
        for name in self.documents:
            stem = PurePosixPath(name).stem
            if name.startswith(FOLDER) and stem not in shapes:
                said = f"a drawing of `{stem}`, which is no shape"
                self.fault(self.documents[name], (), said, near(stem, shapes))
        return found

    def one(self, name: str, shape: str) -> Document | None:
        """One file of a drawing, or None with its fault."""
        document = self.documents.get(name)
        if document is None:
            text = f"shape `{shape}` has no such drawing"
            self.problems.append(Problem(name, 0, text, "draw it"))
        return document

    def svg_is_safe(self, document: Document) -> None:
        """Well-formed, of known elements and attributes, with title and description."""
        for mark in ("<!", "<?", "url("):
            if mark in document.data:
                text = f"`{mark}` stands in a drawing; it declares or fetches nothing"
                self.fault(document, (), text, "remove it")
                return
        try:
            root = ElementTree.fromstring(document.data)
        except ElementTree.ParseError as error:
            text = f"not well-formed: {str(error).partition(':')[0]}"
            self.problems.append(
                Problem(document.file, error.position[0], text, "look at this line")
            )
            return
        if root.tag != f"{_SPACE}svg":
            self.fault(document, (), "this is no SVG", f'start with `<svg xmlns="{_SPACE[1:-1]}"`')
        for element in root.iter():
            tag = element.tag.removeprefix(_SPACE)
            if tag not in _ELEMENTS:
                text = f"a drawing takes no `{tag}`"
                self.fault(document, (), text, near(tag, _ELEMENTS))
            for key in element.attrib:
                if key not in _ATTRIBUTES:
                    text = f"`{tag}` of a drawing takes no `{key}`"
                    self.fault(document, (), text, near(key, _ATTRIBUTES))
        for tag in ("title", "desc"):
            if not root.findtext(f"{_SPACE}{tag}"):
                self.fault(document, (), f"a drawing has a `{tag}`", "say what one sees")

    def text_fits(self, document: Document) -> None:
        """Plain characters within the lines and columns of a small terminal."""
        lines = document.data.splitlines()
        if not document.data.isascii() or not any(map(str.strip, lines)):
            self.fault(
                document, (), "a drawing in text is of ASCII characters", "draw it with them"
            )
        if len(lines) > MOST_LINES or any(len(line) > MOST_COLUMNS for line in lines):
            text = f"larger than {MOST_LINES} lines of {MOST_COLUMNS} characters"
            self.fault(document, (), text, "draw it smaller")
