"""What every reader of the base needs: its documents, and a place for what is wrong with them."""

from selector.errors import Problem, near
from selector.knowledge.yaml_reader import Document


class Faults:
    """Documents by their shown name, and the problems found in them so far."""

    def __init__(self, documents: dict[str, Document], problems: list[Problem]):
        self.documents = documents
        self.problems = problems

    def fault(
        self, document: Document, at: tuple[object, ...], text: str, remedy: str = ""
    ) -> None:
        """Something is wrong at a path of a document."""
        self.problems.append(Problem(document.file, document.line(*at), text, remedy))

    def known(
        self,
        document: Document,
        at: tuple[object, ...],
        word: str,
        words: tuple[str, ...],
        what: str,
    ) -> None:
        """A fault unless `word` is one of a closed list."""
        if word not in words:
            self.fault(document, at, f"`{word}` is no {what}", near(word, words))

    def ids(self, topic: str) -> tuple[str, ...]:
        """Ids of a file of the trade, as they are written."""
        listed = self.documents.get(f"kb/trade/{topic}.yaml")
        rows = listed.data if listed is not None and isinstance(listed.data, list) else []
        return tuple(str(row.get("id")) for row in rows if isinstance(row, dict))
