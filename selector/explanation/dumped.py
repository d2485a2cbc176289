"""Data as the text that every `--json` prints: strict JSON, keys in the order they were given."""

import json
import math
from collections.abc import Mapping
from typing import Any


def dumped(data: object) -> str:
    """The text of some data; a figure without bound, such as a share of nothing, is null."""
    return json.dumps(_bounded(data), indent=1, ensure_ascii=False, allow_nan=False)


def _bounded(data: Any) -> Any:
    if isinstance(data, Mapping):
        return {key: _bounded(value) for key, value in data.items()}
    if isinstance(data, list | tuple):
        return [_bounded(value) for value in data]
    return None if isinstance(data, float) and not math.isfinite(data) else data
