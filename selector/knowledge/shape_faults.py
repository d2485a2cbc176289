"""What is wrong with data of a shape, in words a person can use, with file, line and remedy."""

from collections.abc import Iterable
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from selector import units
from selector.errors import Problem, near
from selector.knowledge.yaml_reader import Document

Model = TypeVar("Model", bound=BaseModel)


def check(
    model: type[Model], data: Any, document: Document, at: tuple[object, ...], out: list[Problem]
) -> Model | None:
    """Validate `data`; every fault goes to `out` with its file, line and remedy."""
    try:
        return model.model_validate(data)
    except ValidationError as error:
        out.extend(problems_of(error, model, data, document, at))
        return None


def problems_of(
    error: ValidationError,
    model: type[BaseModel],
    data: Any,
    document: Document,
    at: tuple[object, ...],
) -> Iterable[Problem]:
    """Our words for what pydantic found."""
    for fault in error.errors(include_url=False):
        loc = _loc_in_data(fault["loc"], data)
        line = document.line(*at, *loc)
        name = _name(loc) or (str(at[-1]) if at else "file")
        kind = fault["type"]
        text = fault["msg"].removeprefix("Value error, ")
        remedy = ""
        if kind == "extra_forbidden":
            text = f"unknown key `{name}`"
            remedy = near(name, _keys_at(model, loc[:-1]))
        elif kind == "missing":
            missing = str(fault["loc"][-1])
            text = f"key `{missing}` is missing" + (f" in `{name}`" if loc else "")
            remedy = "add it"
        elif kind == "literal_error":
            text = f"`{name}` is `{units.shorten(fault['input'])}`"
            remedy = f"use one of {fault['ctx']['expected']}"
        elif kind == "value_error":
            text = f"`{name}`: {text}"
        elif kind == "string_type":
            shown = units.shorten(fault["input"])
            text = f"`{name}`: expected a word, or a figure with its unit, given `{shown}`"
        else:
            shown = units.shorten(fault["input"])
            text = f"`{name}`: {text[0].lower()}{text[1:]}, given `{shown}`"
        yield Problem(document.file, line, text, remedy)


def _name(loc: tuple[int | str, ...]) -> str:
    """Last key of a location; an item of a list by its number, from one."""
    if len(loc) > 1 and isinstance(loc[-1], int):
        return f"{loc[-2]} {loc[-1] + 1}"
    return str(loc[-1]) if loc else ""


def _loc_in_data(loc: tuple[int | str, ...], data: Any) -> tuple[int | str, ...]:
    """The parts of a pydantic location that exist in the data (union names drop out)."""
    kept: list[int | str] = []
    here = data
    for part in loc:
        try:
            here = here[part]
        except (KeyError, IndexError, TypeError):
            continue
        kept.append(part)
    return tuple(kept)


def _keys_at(model: type[BaseModel], loc: tuple[int | str, ...]) -> list[str]:
    """Keys that the model has at a location, for near names."""
    here: type[BaseModel] = model
    for part in loc:
        found = here.model_fields.get(str(part)) if isinstance(part, str) else None
        if found is None:
            continue
        inner = _model_in(found.annotation)
        if inner is None:
            return []
        here = inner
    return [f.alias or n for n, f in here.model_fields.items()]


def _model_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for inner in getattr(annotation, "__args__", ()):
        found = _model_in(inner)
        if found is not None:
            return found
    return None
