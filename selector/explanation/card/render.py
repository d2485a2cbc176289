"""A card to HTML: one file that opens anywhere; its script only finds what stands in it."""

import base64
import hashlib
import json

from markupsafe import Markup

from selector.explanation.card.card import Card
from selector.explanation.sheet.render import pages
from selector.explanation.texts import Texts
from selector.knowledge.base import Base


def render(card: Card, base: Base) -> str:
    """Text of the file; the same bytes for the same card."""
    environment = pages("card", "sheet")
    script = environment.get_template("finder.js").render()
    hashed = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    texts = Texts.of(base)
    return environment.get_template("phone.html").render(
        card=card,
        word=lambda one: texts.word(one.text).upper(),
        script=Markup(script),
        script_hash=hashed,
        finder=json.dumps(card.texts, ensure_ascii=True, sort_keys=True),
    )
