"""Sheets of cells put together into the fields of a plan, each with its cell."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from rivetwright.errors import nearest_hint
from rivetwright.intake.faults import Path
from rivetwright.intake.forms import PLAN_FORMAT
from rivetwright.intake.sheets.cell_faults import CellFaults
from rivetwright.intake.sheets.cells import parted, text_of
from rivetwright.intake.sheets.layout import (
    ASSEMBLY,
    CUT_OUTS,
    EACH,
    FACES,
    JOINED,
    KEY,
    LAYERS,
    SHEETS_FORMAT,
    VALUE,
    Column,
    Sheet,
)
from rivetwright.intake.sheets.layout_opening import HELP, SHEETS

Cells = Sequence[Sequence[str]]

LEFT_OUT = "#"
OWN_SHEET = "_"


@dataclass
class _Entry:
    """An entry whose lines are being read."""

    path: Path
    fields: dict[str, Any] = field(default_factory=dict)
    keys: dict[str, list[str]] = field(default_factory=dict)


def gather(sheets: Mapping[str, Cells], faults: CellFaults) -> dict[str, Any]:
    """Put sheets together into the fields of a plan.

    Args:
        sheets: lines of cells by name of sheet, titles first; line 1 is the first.
        faults: where mistakes are noted and the cells of all fields are told.

    Returns:
        The fields as a plan file has them; not whole where there are mistakes.
    """
    known = {sheet.name.lower(): sheet for sheet in SHEETS}
    found: dict[str, Cells] = {}
    for name, lines in sheets.items():
        tidy = " ".join(name.split()).lower()
        if tidy in known:
            found[known[tidy].name] = lines
        elif tidy != HELP.lower() and not name.startswith(OWN_SHEET):
            names = [sheet.name for sheet in SHEETS]
            faults.add(
                (f"sheet {name}",),
                f"a sheet {name}",
                ", ".join(names) + nearest_hint(name, names),
                f"Rename it, or begin its name with {OWN_SHEET} to have it left alone",
            )
    if ASSEMBLY.name not in found:
        do = "Begin with the template: rivetwright export --template"
        faults.add((), "no sheet Assembly", "a sheet Assembly", do)
        return {}
    return _Gathering(faults).all_sheets(found)


class _Gathering:
    """Reads sheet after sheet into one group of fields."""

    def __init__(self, faults: CellFaults) -> None:
        self.faults = faults
        self.written: dict[str, Any] = {}
        self._layers: dict[tuple[str, str], tuple[Path, dict[str, Any]]] = {}

    def all_sheets(self, found: Mapping[str, Cells]) -> dict[str, Any]:
        """Read every sheet that is there."""
        self._assembly(found[ASSEMBLY.name])
        for sheet in SHEETS[1:]:
            if sheet.name in found:
                self._sheet(sheet, found[sheet.name])
        return self.written

    def _assembly(self, lines: Cells) -> None:
        """The sheet of single fields."""
        by_title = {column.title: column for column in ASSEMBLY.columns}
        entry = _Entry((), self.written)
        title = ""
        for number, line in enumerate(lines[1:], start=2):
            named, value = (text_of(one) for one in (*line, "", "")[:2])
            if (not named and not value) or named.startswith(LEFT_OUT):
                continue
            title = " ".join(named.split()).lower() or title
            at = (ASSEMBLY.name, number, 0)
            if title not in by_title:
                allowed = ", ".join(by_title) + nearest_hint(title, by_title)
                self.faults.at_cell(
                    at, "field", named, allowed, "Write one of these fields"
                )
                continue
            column = by_title[title]
            if named and column.path in self.faults.lines:
                do = "Delete one of the two lines"
                self.faults.at_cell(at, "field", f"{title} twice", "each once", do)
                continue
            self.faults.place(column.path, ASSEMBLY.name, number, 1)
            self._take(entry, column, line[1:2], (ASSEMBLY.name, number, 1))
        given = self.written.get("format")
        if given != SHEETS_FORMAT:
            do = "Write it beside format on the sheet Assembly"
            self.faults.add(("format",), given or "no format", SHEETS_FORMAT, do)
        self.written["format"] = PLAN_FORMAT

    def _columns(self, sheet: Sheet, titles: Sequence[str]) -> dict[int, Column]:
        """Which column of ours stands where; notes strange and doubled titles."""
        by_title = {column.title: column for column in sheet.columns}
        columns: dict[int, Column] = {}
        for k, written in enumerate(titles):
            title = " ".join(text_of(written).split()).lower()
            if not title:
                continue
            at = (sheet.name, 1, k)
            column = by_title.get(title)
            if column is None:
                allowed = ", ".join(by_title) + nearest_hint(title, by_title)
                do = "Write one of these titles, or delete the column"
                self.faults.at_cell(at, "title", written, allowed, do)
            elif column in columns.values():
                do = "Delete one of the two columns"
                self.faults.at_cell(at, "title", f"{title} twice", "each once", do)
            else:
                columns[k] = column
        return columns

    def _sheet(self, sheet: Sheet, lines: Cells) -> None:
        """A sheet of entries, line by line."""
        if not lines:
            return
        columns = self._columns(sheet, lines[0])
        lead = next((k for k, one in columns.items() if one == sheet.columns[0]), None)
        entry: _Entry | None = None
        for number, line in enumerate(lines[1:], start=2):
            texts = {k: line[k] for k in columns if k < len(line) and line[k].strip()}
            strange = [
                k for k in range(len(line)) if line[k].strip() and k not in columns
            ]
            first = next(iter(line), "").strip()
            if first.startswith(LEFT_OUT):
                continue
            if strange and lines[0] and not self.faults.is_told((sheet.name,)):
                self._untitled(sheet, lines[0], number, strange[0])
            if not texts:
                continue
            if lead in texts:
                entry = self._begun(sheet, columns, texts, number)
            elif entry is None:
                at = (sheet.name, number, min(texts))
                title = sheet.columns[0].title
                do = f"Write the {title}, or put the line under its entry"
                self.faults.at_cell(at, title, "nothing", f"a {title}", do)
                continue
            if entry is None:
                continue
            for k, text in texts.items():
                at = (sheet.name, number, k)
                if lead in texts or columns[k].is_repeated:
                    self._take(entry, columns[k], [text], at)
                else:
                    self._second(sheet, columns[k], text, at)
            self._even(sheet, entry, columns, texts, number)

    def _untitled(
        self, sheet: Sheet, titles: Sequence[str], number: int, k: int
    ) -> None:
        """Note a cell in a column without a title."""
        if k < len(titles) and titles[k].strip():
            return
        at = (sheet.name, number, k)
        do = "Give the column one of our titles, or empty the cell"
        self.faults.at_cell(at, "cell", "a value without a title", "a title above", do)

    def _second(
        self, sheet: Sheet, column: Column, text: str, at: tuple[str, int, int]
    ) -> None:
        """Note a second value of a field that takes one."""
        title = sheet.columns[0].title
        do = f"Write the {title} on this line, or empty the cell"
        found = f"{text.strip()} on a line without a {title}"
        self.faults.at_cell(at, column.title, found, "one value an entry", do)

    def _begun(
        self,
        sheet: Sheet,
        columns: Mapping[int, Column],
        texts: Mapping[int, str],
        number: int,
    ) -> _Entry | None:
        """Begin an entry where it belongs; None where that is not known."""
        outer = {
            str(column.path[0]): text_of(texts[k])
            for k, column in columns.items()
            if k in texts and column.path and str(column.path[0]).startswith("<")
        }
        lead = next(k for k, one in columns.items() if one == sheet.columns[0])
        at = (sheet.name, number, lead)
        if sheet.is_named:
            entry = self._named(sheet, text_of(texts[lead]), at)
        else:
            entry = self._listed(sheet, outer, at)
        if entry is None:
            return None
        self.faults.place(entry.path, *at)
        for k, column in columns.items():
            if column.path and not column.is_repeated:
                self.faults.place((*entry.path, *column.path), sheet.name, number, k)
        return entry

    def _named(
        self, sheet: Sheet, name: str, at: tuple[str, int, int]
    ) -> _Entry | None:
        """An entry with a name."""
        section: dict[str, Any] = self.written
        for step in sheet.into:
            section = section.setdefault(step, {})
        path: Path = (*sheet.into, name)
        if name in section:
            found = f"{name} a second time"
            do = "Rename or delete one of them"
            self.faults.at_cell(at, "name", found, "each name once", do)
            return None
        section[name] = {}
        return _Entry(path, section[name], {"name": [name]})

    def _listed(
        self, sheet: Sheet, outer: Mapping[str, str], at: tuple[str, int, int]
    ) -> _Entry | None:
        """An entry of a list."""
        if sheet in (LAYERS, CUT_OUTS):
            return self._in_face(sheet, outer, at)
        section: Any = self.written
        for step in sheet.into[:-1]:
            section = section.setdefault(step, {})
        entries = section.setdefault(sheet.into[-1], [])
        entries.append({})
        return _Entry((*sheet.into, len(entries) - 1), entries[-1])

    def _in_face(
        self, sheet: Sheet, outer: Mapping[str, str], at: tuple[str, int, int]
    ) -> _Entry | None:
        """A layer of a face, or a cut-out of a layer."""
        name = outer["<face>"]
        faces = self.written.get(FACES.into[0], {})
        if name not in faces:
            path: Path = (f"face in {sheet.name}", at[1])
            self.faults.place(path, *at)
            self.faults.unknown(path, "face", name, faces)
            return None
        layers = faces[name].setdefault("layers", [])
        label = outer.get("<layer>", "")
        if sheet is LAYERS:
            label = label or str(len(layers) + 1)
            fields: dict[str, Any] = {}
            made: Path = ("faces", name, "layers", len(layers))
            if (name, label) in self._layers:
                found, do = f"layer {label} of {name} twice", "Number the layers anew"
                self.faults.at_cell(at, "layer", found, "each number once", do)
            self._layers[name, label] = made, fields
            layers.append(fields)
            return _Entry(made, fields)
        if (name, label) not in self._layers:
            known = [one for face, one in self._layers if face == name]
            path = (f"layer in {sheet.name}", at[1])
            self.faults.place(path, *at)
            self.faults.unknown(path, "layer", label or "without number", known)
            return None
        above, fields = self._layers[name, label]
        cut_outs = fields.setdefault("cut_outs", [])
        cut_outs.append({})
        return _Entry((*above, "cut_outs", len(cut_outs) - 1), cut_outs[-1])

    def _take(
        self,
        entry: _Entry,
        column: Column,
        texts: Sequence[str],
        at: tuple[str, int, int],
    ) -> None:
        """Put the text of a cell to its field."""
        written = texts[0] if texts else ""
        if not written.strip() or not column.path:
            return
        if str(column.path[0]).startswith("<") and column.path[0] not in (KEY, VALUE):
            return
        if column.path == (VALUE,):
            self._whole(entry, text_of(written), at)
            return
        within: Any = entry.fields
        path = entry.path
        for k, step in enumerate(column.path):
            rest = column.path[k + 1 :]
            if step == JOINED:
                for one in parted(written):
                    self.faults.place((*path, len(within)), *at)
                    within.append(one)
                return
            if step in (KEY, VALUE):
                self._keyed(entry, path, within, str(step), text_of(written), at)
                return
            if step == EACH:
                self._each(within, path, at[1], rest, text_of(written), at)
                return
            path = (*path, step)
            self.faults.place(path, *at)
            if not rest:
                _put(within, step, text_of(written))
                return
            within = _within(within, step, rest[0])

    def _whole(self, entry: _Entry, text: str, at: tuple[str, int, int]) -> None:
        """The one value of a named entry."""
        section = self.written
        for step in entry.path[:-1]:
            section = section[str(step)]
        section[str(entry.path[-1])] = text
        self.faults.lines.pop(entry.path, None)
        self.faults.place(entry.path, *at)

    def _keyed(
        self,
        entry: _Entry,
        path: Path,
        within: dict[str, str],
        step: str,
        text: str,
        at: tuple[str, int, int],
    ) -> None:
        """A name, or what belongs to the name on the same line."""
        if step == KEY:
            if text in within:
                do = "Delete one of them"
                found = f"{text} a second time"
                self.faults.at_cell(at, "name", found, "each once", do)
            within[text] = ""
            entry.keys[str(path)] = [text]
            self.faults.place((*path, text), *at)
            return
        name = next(iter(entry.keys.pop(str(path), [])), "")
        if not name:
            do = "Write the part, or others, in the column before"
            self.faults.at_cell(at, str(path[-1]), text, "a part beside it", do)
            return
        within[name] = text
        self.faults.lines.pop((*path, name), None)
        self.faults.place((*path, name), *at)

    def _each(
        self,
        within: list[Any],
        path: Path,
        number: int,
        rest: tuple[str | int, ...],
        text: str,
        at: tuple[str, int, int],
    ) -> None:
        """One value of the list entry that stands on this line."""
        last = (*path, "line", number)
        if last not in self.faults.lines:
            # A mark of our own: the entry that was begun on this line.
            self.faults.place(last, *at)
            within.append([] if isinstance(rest[0], int) else {})
        element: Any = within[-1]
        path = (*path, len(within) - 1)
        self.faults.place(path, *at)
        for k, step in enumerate(rest):
            path = (*path, step)
            self.faults.place(path, *at)
            if k == len(rest) - 1:
                _put(element, step, text)
            else:
                element = _within(element, step, rest[k + 1])

    def _even(
        self,
        sheet: Sheet,
        entry: _Entry,
        columns: Mapping[int, Column],
        texts: Mapping[int, str],
        number: int,
    ) -> None:
        """Note a place of which only one of its two columns has a value."""
        where = {column.path: k for k, column in columns.items()}
        for path, k in where.items():
            if not path or path[-1] not in (0, 1):
                continue
            other = where.get((*path[:-1], 1 - int(path[-1])))
            if k in texts and (other is None or other not in texts):
                at = (sheet.name, number, k if other is None else other)
                title = columns[k].title
                do = "Write the other of the two columns too"
                found = f"nothing beside {title} {text_of(texts[k])}"
                self.faults.at_cell(at, title, found, "both of the two values", do)
                whole = path[: path.index(EACH)] if EACH in path else path[:-1]
                self.faults.hush((*entry.path, *whole))


def _within(within: Any, step: str | int, following: str | int) -> Any:
    """The group or list that a value stands in; made where it is not there yet."""
    is_list = isinstance(following, int) or following in (EACH, JOINED)
    if isinstance(within, dict):
        return within.setdefault(step, [] if is_list else {})
    return within[int(step)]


def _put(within: Any, step: str | int, text: str) -> None:
    """Put a text into a group, or at its place of a pair."""
    if isinstance(within, list):
        within.append(text)
    else:
        within[str(step)] = text
