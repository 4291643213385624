"""Open what is written down: one assembly, or a folder with all of an aircraft."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.engines.worked import Progress
from rivetwright.errors import Fault, PlanRefused
from rivetwright.intake.bulletin_file import read_bulletin
from rivetwright.intake.plan_file import read_plan
from rivetwright.intake.shop_file import read_shop
from rivetwright.model.bulletin import Bulletin, apply_bulletin
from rivetwright.model.shop import Shop

FORMS = ("plan", "shop", "bulletin")
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
    path: Path, bulletins: Iterable[Path] = (), progress: Progress | None = None
) -> WorkedPlan:
    """Read an assembly, apply bulletins in the order given, and work it out.

    Raises:
        PlanRefused: a file was not read; every mistake in it is told.
    """
    plan = read_plan(path)
    for file in bulletins:
        plan = apply_bulletin(plan, read_bulletin(file, plan))
    return work_out(plan, progress)


def form_of(path: Path) -> str:
    """Whether a file calls itself a plan, a shop or a bulletin; else empty."""
    with path.open("rb") as file:
        head = file.read(_HEAD_BYTES).decode("utf-8", errors="replace")
    for line in head.splitlines():
        if line.startswith("format:"):
            words = line.partition(":")[2].split()
            return words[1] if len(words) > 1 and words[1] in FORMS else ""
    return ""


def project_files(folder: Path) -> dict[str, list[Path]]:
    """The folder's plan, shop and bulletin files by form, in order of name."""
    files: dict[str, list[Path]] = {form: [] for form in FORMS}
    for path in sorted(folder.glob("*.yaml")):
        form = form_of(path)
        if form:
            files[form].append(path)
    return files


def open_folder(folder: Path, progress: Progress | None = None) -> Project:
    """Read and work out everything in a folder.

    A file that is refused does not keep the others from being read. A bulletin
    gives a second assembly beside the one it changes: the plan after it.
    """
    files = project_files(folder)
    refused: list[PlanRefused] = []
    assemblies: list[Assembly] = []
    for path in files["plan"]:
        try:
            worked = open_plan(path, progress=progress)
        except PlanRefused as refusal:
            refused.append(refusal)
            continue
        plan = worked.worked.plan
        twice = [a for a in assemblies if a.key == plan.id]
        if twice:
            refused.append(_same_id(path, plan.id, twice[0].file))
            continue
        assemblies.append(Assembly(plan.id, path, worked))
    for path in files["bulletin"]:
        assemblies += _after_bulletin(path, tuple(assemblies), refused)
    shop = None
    for path in files["shop"]:
        try:
            shop = read_shop(path)
        except PlanRefused as refusal:
            refused.append(refusal)
    return Project(folder, tuple(assemblies), shop, tuple(refused))


def _same_id(path: Path, key: str, first: Path) -> PlanRefused:
    """The refusal of a second file with an assembly's id."""
    return PlanRefused(
        [
            Fault(
                path.name,
                0,
                "assembly.id",
                f"{key}, which {first.name} has too",
                "an id of its own for every assembly of a folder",
                "Change the id of the copy.",
            )
        ]
    )


def _after_bulletin(
    path: Path, assemblies: tuple[Assembly, ...], refused: list[PlanRefused]
) -> list[Assembly]:
    """The assembly that a bulletin changes, as it is afterwards."""
    untold: list[PlanRefused] = []
    for assembly in assemblies:
        plan = assembly.worked_plan.worked.plan
        try:
            bulletin = read_bulletin(path, plan)
        except PlanRefused as refusal:
            untold.append(refusal)
            continue
        after = apply_bulletin(plan, bulletin)
        key = f"{plan.id}-{bulletin.id.lower()}"
        return [Assembly(key, path, work_out(after), bulletin)]
    refused += untold[:1]
    return []
