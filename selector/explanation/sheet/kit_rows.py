"""A counted kit as groups of plain rows, and what of it holds a release back."""

from selector.explanation.kit.telling import KitTelling
from selector.explanation.sheet.blocks import KitGroup
from selector.kit.model import GROUPS, Line


def kit_groups(telling: KitTelling) -> tuple[KitGroup, ...]:
    """Lines by group, then what must not go along."""
    say, kit = telling.say, telling.kit
    heads = tuple(say(f"sheet.head.{h}") for h in ("number", "what", "reason"))
    groups = []
    for name in GROUPS:
        rows = tuple(_row(telling, line) for line in kit.lines if line.group == name)
        if rows:
            groups.append(KitGroup(say(f"kit.group.{name}"), heads, rows))
    out = tuple((telling.what(line), _why(telling, line)) for line in kit.leave_out)
    if out:
        groups.append(KitGroup(say("kit.group.leave_out"), heads[1:], out))
    return tuple(groups)


def _row(telling: KitTelling, line: Line) -> tuple[str, str, str]:
    return telling.number(line), telling.what(line), _why(telling, line)


def _why(telling: KitTelling, line: Line) -> str:
    """What is to be said of a line first, then why it is there."""
    return "; ".join(filter(None, (*telling.notes(line), telling.why(line))))


def kit_stops(telling: KitTelling) -> tuple[str, ...]:
    """Faults, parts of no catalogue and missing papers: nothing is released before."""
    kit = telling.kit
    found = {"faults": kit.faults, "unlisted": kit.unlisted, "papers": kit.papers_missing}
    return tuple(
        telling.say(
            f"kit.stop.{name}",
            n=len(lines),
            names=", ".join(dict.fromkeys(map(telling.what, lines))),
        )
        for name, lines in found.items()
        if lines
    )
