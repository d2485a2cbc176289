"""The kit as a table for a buyer: RFC 4180, UTF-8, commas, and no cell that a program computes."""

import csv
import io

from selector.explanation.csv_cell import cell
from selector.explanation.kit.as_json import line_data
from selector.explanation.kit.telling import KitTelling


def table(telling: KitTelling) -> str:
    """A header row and one row a line; each row says whether the kit is released."""
    rows = [{"release": telling.mark, **line_data(telling, x)} for x in telling.kit.lines]
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(rows[0] if rows else ("release",))
    for row in rows:
        writer.writerow([cell(value) for value in row.values()])
    return out.getvalue()
