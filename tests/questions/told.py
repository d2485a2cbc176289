"""What a person reads where a line is refused, in English or another language."""

import re
from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from selector.explanation.language import speaking
from selector.explanation.texts import Texts
from selector.knowledge.base import Base
from selector.questions.wrong import told


@contextmanager
def refused(base: Base, said: str, language: str = "en") -> Iterator[None]:
    """The lines within are refused, and the person reads `said`, a pattern."""
    with pytest.raises(ValueError) as caught:
        yield
    text = told(Texts.of(speaking(base, language)), caught.value)
    assert re.search(said, text), text
