"""Whether the fields of a file have the right shape; goes on after each mistake.

A form is a pydantic class with one attribute for each field.  Forms that stand many
times in a file are `Kept`: a broken one is noted and left out, the rest is still
looked at, so that all mistakes of a file come together.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Annotated, Any, TypeVar, cast, get_origin

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
    for mistake in extra:
        place = _place(path, mistake)
        known = field_names(top, place[:-1])
        hint = nearest_hint(str(place[-1]), known)
        if hint:
            faults.hush((*place[:-1], hint.rpartition(" ")[2]))
        faults.add(
            place,
            f"the field {place[-1]}",
            f"{', '.join(known)}{hint}",
            "Write one of these fields, or delete this one",
        )
    for mistake in found:
        if mistake["type"] != "extra_forbidden":
            _note_one(mistake, _place(path, mistake), faults)


def _place(path: Path, mistake: ErrorDetails) -> Path:
    """Where a mistake stands in the file."""
    return path + tuple(step for step in mistake["loc"] if step != "[key]")


def _note_one(mistake: ErrorDetails, place: Path, faults: Faults) -> None:
    """Note one mistake about a field that is known."""
    kind, context = mistake["type"], mistake.get("ctx", {})
    written = mistake["input"]
    if kind == OURS:
        faults.add(place, context["found"], context["allowed"], context["do"])
    elif kind == "missing" and isinstance(place[-1], int):
        found = f"a list of {place[-1]} value(s)"
        allowed = f"a list of {place[-1] + 1} values"
        faults.add(place[:-1], found, allowed, "Write all of them")
    elif kind == "missing":
        field = str(place[-1])
        faults.add(place, f"no {field}", f"a value for {field}", f"Add {field}: ...")
    elif kind == "literal_error":
        names = re.findall(r"'([^']+)'", context["expected"])
        hint = nearest_hint(str(written), names)
        faults.add(place, written, " or ".join(names) + hint, "Write one of these")
    elif kind == "too_long":
        allowed = f"a list of {context['max_length']} values"
        do = "Two numbers, or a decimal comma? Write .8 with a point"
        faults.add(place, written, allowed, do)
    elif kind in ("list_type", "tuple_type"):
        faults.add(place, written, "a list in square brackets", "Write [ ... ]")
    else:
        do = "Write name: value pairs, in braces or one a line"
        faults.add(place, written, "a group of fields", do)


def field_names(top: type[Form], path: Path) -> list[str]:
    """Names of the fields that may stand at a path of a file."""
    form = top
    is_name = False
    for step in path:
        if is_name:
            is_name = False
            continue
        fields = {f.alias or name: f for name, f in form.model_fields.items()}
        annotation = fields[str(step)].annotation
        is_name = get_origin(annotation) in (dict, tuple)
        inner = _inner_form(annotation)
        assert inner is not None, "only a form refuses a field"
        form = inner
    return [field.alias or name for name, field in form.model_fields.items()]


def _inner_form(annotation: Any) -> type[Form] | None:
    """The form inside a list, mapping or optional field."""
    if isinstance(annotation, type) and issubclass(annotation, Form):
        return annotation
    for inner in getattr(annotation, "__args__", ()):
        found = _inner_form(inner)
        if found is not None:
            return found
    return None
