"""Whether the fields of a file have the right shape; goes on after each mistake.

A form is a pydantic class with one attribute for each field.  Forms that stand many
times in a file are `Kept`: a broken one is noted and left out, the rest is still
looked at, so that all mistakes of a file come together.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Annotated, Any, TypeVar, cast

from pydantic import (
    BaseModel,
    ConfigDict,
    ValidationError,
    ValidationInfo,
    ValidatorFunctionWrapHandler,
    WrapValidator,
)
from pydantic_core import ErrorDetails

from rivetwright.errors import nearest_hint
from rivetwright.intake.faults import Faults, Path
from rivetwright.intake.fields import OURS

T = TypeVar("T")
FormT = TypeVar("FormT", bound="Form")


class Form(BaseModel):
    """A group of fields in a file; nothing but the named fields may stand there."""

    model_config = ConfigDict(extra="forbid", frozen=True)


def _keep_going(
    written: Any, check: ValidatorFunctionWrapHandler, asked: ValidationInfo
) -> Any:
    """Check one form; note what is wrong with it and give None instead."""
    context = cast(dict[str, Any], asked.context)
    path = context["paths"].get(id(written))
    if path is None:
        return check(written)
    try:
        return check(written)
    except ValidationError as why:
        _note(why, path, context["top"], context["faults"])
        return None


Kept = Annotated[T | None, WrapValidator(_keep_going)]


def _paths(written: Any, path: Path = ()) -> Iterator[tuple[int, Path]]:
    """Every group and list with where it stands, by its identity."""
    if isinstance(written, Mapping):
        yield id(written), path
        for key, value in written.items():
            yield from _paths(value, (*path, key))
    elif isinstance(written, Sequence) and not isinstance(written, str):
        yield id(written), path
        for k, value in enumerate(written):
            yield from _paths(value, (*path, k))


def check_shape(
    form: type[FormT], written: dict[str, Any], unit: str, faults: Faults
) -> FormT | None:
    """Read the whole file into its form; None where even that is not possible.

    Top fields that are wrong as a whole are noted and left out, then the others
    are read.  Entries that were refused stand as None in the form.
    """
    for _ in range(2):
        context = {
            "unit": unit,
            "faults": faults,
            "top": form,
            "paths": dict(_paths(written)),
        }
        try:
            return form.model_validate(written, context=context)
        except ValidationError as why:
            _note(why, (), form, faults)
            wrong = {str(e["loc"][0]) for e in why.errors() if e["loc"]}
            written = {k: v for k, v in written.items() if k not in wrong}
    return None


def _note(why: ValidationError, path: Path, top: type[Form], faults: Faults) -> None:
    """Note every mistake pydantic found under a path, in our own words."""
    found = why.errors(include_url=False)
    extra = [e for e in found if e["type"] == "extra_forbidden"]
    renamed: set[Path] = set()
    for mistake in extra:
        place = _place(path, mistake)
        known = field_names(top, place[:-1])
        hint = nearest_hint(str(place[-1]), known)
        if hint:
            renamed.add((*place[:-1], hint.rpartition(" ")[2]))
        faults.add(
            place,
            f"the field {place[-1]}",
            f"{', '.join(known)}{hint}",
            "Write one of these fields, or delete this one",
        )
    for mistake in found:
        place = _place(path, mistake)
        if mistake["type"] != "extra_forbidden" and place not in renamed:
            _note_one(mistake, place, faults)


def _place(path: Path, mistake: ErrorDetails) -> Path:
    """Where a mistake stands in the file."""
    return path + tuple(step for step in mistake["loc"] if step != "[key]")


def _note_one(mistake: ErrorDetails, place: Path, faults: Faults) -> None:
    """Note one mistake about a field that is known."""
    kind, context = mistake["type"], mistake.get("ctx", {})
    written = mistake["input"]
    if kind == OURS:
        faults.add(place, context["found"], context["allowed"], context["do"])
    elif kind == "missing":
        field = str(place[-1])
        faults.add(place, f"no {field}", f"{field} written", f"Add {field}")
    elif kind == "literal_error":
        names = re.findall(r"'([^']+)'", context["expected"])
        hint = nearest_hint(str(written), names)
        faults.add(place, written, " or ".join(names) + hint, "Write one of these")
    elif kind in ("too_long", "too_short") and isinstance(written, Sequence):
        least = context.get("min_length", 0)
        most = context.get("max_length", least)
        count = f"{least}" if least == most else f"{least} to {most}"
        do = "Two numbers, or a decimal comma? Write .8 with a point"
        faults.add(place, written, f"a list of {count} values", do)
    elif kind in ("list_type", "tuple_type"):
        faults.add(place, written, "a list in square brackets", "Write [ ... ]")
    elif kind in ("dict_type", "model_type", "model_attributes_type"):
        do = "Write name: value pairs, in braces or one a line"
        faults.add(place, written, "a group of fields", do)
    else:
        faults.add(place, written, "a value as docs/plan-file.md shows it")


def field_names(top: type[Form], path: Path) -> list[str]:
    """Names of the fields that may stand at a path of a file."""
    form: Any = top
    for step in path:
        if isinstance(form, type) and issubclass(form, Form):
            field = form.model_fields.get(str(step))
            form = _inner_form(field.annotation) if field else None
    if isinstance(form, type) and issubclass(form, Form):
        return [field.alias or name for name, field in form.model_fields.items()]
    return []


def _inner_form(annotation: Any) -> Any:
    """The form inside a list, mapping or optional field."""
    if isinstance(annotation, type) and issubclass(annotation, Form):
        return annotation
    for inner in getattr(annotation, "__args__", ()):
        found = _inner_form(inner)
        if found is not None:
            return found
    return None
