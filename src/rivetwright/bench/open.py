"""Open what is written down: one assembly, or a folder with all of an aircraft."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from rivetwright.bench.bulletins import bulletin_for, revised
from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.engines.worked import Progress
from rivetwright.errors import Fault, PlanRefused
from rivetwright.intake.plan_file import read_plan
from rivetwright.intake.shop_file import read_shop
from rivetwright.model.bulletin import Bulletin
from rivetwright.model.plan import Plan
from rivetwright.model.shop import Shop

FORMS = ("plan", "shop", "bulletin")
ENDINGS = (".yaml", ".yml")
_HEAD_BYTES = 4096


@dataclass(frozen=True)
class Assembly:
    """One worked-out assembly and the files it was read from.

    `bulletin` is the one it was revised by, where it stands for the plan after it.
    """

    key: str
    file: Path
    worked_plan: WorkedPlan
    bulletin: Bulletin | None = None


@dataclass(frozen=True)
class Project:
    """Everything in one folder; files that were refused stand beside the others."""

    folder: Path
    assemblies: tuple[Assembly, ...]
    shop: Shop | None
    refused: tuple[PlanRefused, ...]

    @property
    def name(self) -> str:
        """The aircraft's name; the folder's where no plan was read."""
        for assembly in self.assemblies:
            return assembly.worked_plan.worked.plan.project.name
        return self.folder.name


def open_plan(
    path: Path,
    bulletins: Sequence[Path] = (),
    progress: Progress | None = None,
    shop: Path | None = None,
) -> WorkedPlan:
    """Read an assembly, apply bulletins in the order given, and work it out.

    Raises:
        PlanRefused: a file was not read; every mistake in it is told.
    """
    return open_plans([path], bulletins, progress, shop)[0]


def open_plans(
    paths: Sequence[Path],
    bulletins: Sequence[Path] = (),
    progress: Progress | None = None,
    shop: Path | None = None,
) -> list[WorkedPlan]:
    """Read assemblies, apply each bulletin to the one it is for, and work them out.

    Without a shop nothing is said about tools.

    Raises:
        PlanRefused: a file was not read; the mistakes of all files are told.
    """
    plans: list[Plan] = []
    faults: list[Fault] = []
    for path in paths:
        try:
            plans.append(read_plan(path))
        except PlanRefused as refusal:
            faults += refusal.faults
    try:
        owned = read_shop(shop) if shop else None
    except PlanRefused as refusal:
        faults += refusal.faults
    if faults:
        raise PlanRefused(faults)
    for path in bulletins:
        k, bulletin = bulletin_for(path, plans)
        plans[k] = revised(plans[k], bulletin, path)
    names = [path.name for path in paths]
    return [
        work_out(plan, part_of(progress, names[k], k, len(plans)), owned)
        for k, plan in enumerate(plans)
    ]


def open_shop(path: Path) -> Shop:
    """Read a shop.

    Raises:
        PlanRefused: the file was not read; every mistake in it is told.
    """
    return read_shop(path)


def part_of(
    progress: Progress | None, name: str, done: int, count: int
) -> Progress | None:
    """Progress of one file as a share of several, its name before each rule's."""
    if progress is None:
        return None
    whole = progress

    def told(title: str, rules_done: int, rules: int) -> None:
        whole(f"{name}: {title}", done * rules + rules_done, count * rules)

    return told


def form_of(path: Path) -> str:
    """Whether a file calls itself a plan, a shop or a bulletin; empty for neither.

    A misspelt form counts as a plan, so that reading it says what is wrong.
    """
    with path.open("rb") as file:
        head = file.read(_HEAD_BYTES).decode("utf-8-sig", errors="replace")
    for line in head.splitlines():
        if line.startswith("format:"):
            words = line.partition(":")[2].replace('"', " ").replace("'", " ").split()
            if words[:1] != ["rivetwright"]:
                return ""
            return words[1] if len(words) > 1 and words[1] in FORMS else "plan"
    return ""


def project_files(folder: Path) -> dict[str, list[Path]]:
    """The folder's plan, shop and bulletin files by form, in order of name.

    Raises:
        PlanRefused: there is no such folder.
    """
    if not folder.is_dir():
        found = "a file" if folder.exists() else "nothing of that name"
        allowed = "a folder with plan files"
        fault = Fault(str(folder), 0, "folder", found, allowed, "Check its name")
        raise PlanRefused([fault])
    files: dict[str, list[Path]] = {form: [] for form in FORMS}
    for path in sorted(folder.iterdir()):
        if path.suffix in ENDINGS and path.is_file():
            form = form_of(path)
            if form:
                files[form].append(path)
    return files


def open_folder(folder: Path, progress: Progress | None = None) -> Project:
    """Read and work out everything in a folder.

    A file that is refused does not keep the others from being read. A bulletin
    gives a second assembly beside the one it changes: the plan after it.

    Raises:
        PlanRefused: there is no such folder.
    """
    files = project_files(folder)
    reading = _Reading(len(files["plan"]) + len(files["bulletin"]), progress)
    for path in files["shop"]:
        reading.take_shop(path)
    for path in files["plan"]:
        reading.take_plan(path)
    for path in files["bulletin"]:
        reading.take_bulletin(path)
    refused = (*reading.refused, *reading.refused_shops)
    return Project(folder, tuple(reading.assemblies), reading.shop, refused)


class _Reading:
    """The files of a folder taken one by one; what one is refused for is kept."""

    def __init__(self, count: int, progress: Progress | None) -> None:
        self.assemblies: list[Assembly] = []
        self.shop: Shop | None = None
        self.refused: list[PlanRefused] = []
        self.refused_shops: list[PlanRefused] = []
        self._plans: list[Plan] = []
        self._count = count
        self._taken = 0
        self._progress = progress

    def take_shop(self, path: Path) -> None:
        """Read a shop: what is worked out after it is asked of its tools."""
        try:
            self.shop = read_shop(path)
        except PlanRefused as refusal:
            self.refused_shops.append(refusal)

    def take_plan(self, path: Path) -> None:
        """Read a plan and work it out."""
        self._taken += 1
        try:
            plan = read_plan(path)
            self._add(plan.id, path, plan, None)
        except PlanRefused as refusal:
            self.refused.append(refusal)
        else:
            self._plans.append(plan)

    def take_bulletin(self, path: Path) -> None:
        """Work out the assembly that a bulletin changes, as it is afterwards."""
        self._taken += 1
        try:
            k, bulletin = bulletin_for(path, self._plans)
            plan = self._plans[k]
            after = revised(plan, bulletin, path)
            self._add(f"{plan.id}-{bulletin.id.lower()}", path, after, bulletin)
        except PlanRefused as refusal:
            self.refused.append(refusal)

    def _add(self, key: str, path: Path, plan: Plan, bulletin: Bulletin | None) -> None:
        """Work a plan out and keep it under its own key."""
        for there in self.assemblies:
            if there.key == key:
                raise _same_key(path, key, there.file, bulletin)
        progress = part_of(self._progress, path.name, self._taken - 1, self._count)
        worked_plan = work_out(plan, progress, self.shop)
        self.assemblies.append(Assembly(key, path, worked_plan, bulletin))


def _same_key(
    path: Path, key: str, first: Path, bulletin: Bulletin | None
) -> PlanRefused:
    """The refusal of a second file with the id of an assembly or a bulletin."""
    field = "assembly.id" if bulletin is None else "id"
    found = f"{key if bulletin is None else bulletin.id}, which {first.name} has too"
    allowed = "an id of its own for every assembly and bulletin of a folder"
    fault = Fault(str(path), 0, field, found, allowed, "Change the id of the copy")
    return PlanRefused([fault])
