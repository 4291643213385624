"""Marks that come as a plain form: from the bench with scripting off, from a page."""

from __future__ import annotations

from dataclasses import replace

from starlette.datastructures import FormData

from rivetwright.bench.keep import Sender, keep
from rivetwright.bench.workshop import Workshop
from rivetwright.errors import Refusal
from rivetwright.web.bench_marks import read_form


def take_form(
    workshop: Workshop, sender: Sender, assembly: str, form: FormData
) -> Refusal | None:
    """Put the mark of a form into the record; why not, where it is refused.

    Args:
        workshop: the folder and its record.
        sender: who sent it.
        assembly: the plan's id; empty for what belongs to the whole shop.
        form: the fields that were sent.
    """
    own = replace(sender, device=f"{sender.device}.form")
    with workshop.lock:
        try:
            ids = workshop.hole_ids(assembly) if assembly else None
            mark = read_form(form, ids, assembly, workshop.clock())
            mark["device_seq"] = last_seq(workshop, own) + 1
            answer = keep(workshop, own, [mark])
        except Refusal as refusal:
            return refusal
    return answer.refused[0][1] if answer.refused else None


def last_seq(workshop: Workshop, sender: Sender) -> int:
    """How far a sender has counted."""
    if workshop.store is None:
        return 0
    return workshop.store.last_device_seq(workshop.project_id, sender.device)
