"""The command: exit codes, what goes where, and what it refuses."""

from __future__ import annotations

import json
import os
import pty
import re
import subprocess
import sys
from pathlib import Path

import pytest

from rivetwright import __version__
from rivetwright.bench.workshop import Workshop
from rivetwright.cli.screen import PIPED_WIDTH
from tests.unit.cli.conftest import Command
from tests.unit.cli.plans import without_places

COMMAND = (sys.executable, "-c", "from rivetwright.cli.main import run; run()")
TERMINAL_CODE = re.compile(r"\x1b")
NEVER = re.compile(r"\b(invalid|error|please)\b", re.IGNORECASE)
BROKEN = Path(__file__).parents[2] / "broken"


def test_a_plan_that_stops_ends_with_1(command: Command, ostrel: Path) -> None:
    """The aileron has planted mistake P1, which stops."""
    done = command("plan", ostrel / "aileron.yaml")
    assert (done.code, done.told) == (1, "")
    assert "STOP: do not set it\nLENGTH-01 A11:1-36: " in done.out


def test_a_plan_that_does_not_stop_ends_with_0(
    command: Command, tmp_path: Path
) -> None:
    """Six -4 rivets in 0.072 in: 0.2595 in wanted, which is -4; nothing to say."""
    done = command("plan", without_places(tmp_path))
    assert (done.code, done.told) == (0, "")
    assert "Nothing found that stops" in done.out


def test_a_broken_plan_is_refused_with_2(command: Command) -> None:
    """Nothing on stdout; on stderr file, line and field, found, allowed, what to do."""
    file = BROKEN / "decimal_comma.yaml"
    done = command("plan", file)
    assert (done.code, done.out) == (2, "")
    line = done.told.splitlines()[1]
    assert line.startswith(f"{file}:12: parts.11.thickness: found 0,032; allowed: ")
    assert line.endswith("Write 0.032 with a point, or choose the decimal comma.")


def test_mistakes_of_all_files_are_told_together(
    command: Command, ostrel: Path, tmp_path: Path
) -> None:
    """One missing file and one folder: two lines, and the good plan is not shown."""
    done = command("plan", tmp_path / "no.yaml", ostrel / "flap.yaml", tmp_path)
    assert (done.code, done.out) == (2, "")
    head, missing, folder = done.told.splitlines()
    assert head == "refused, 2 mistakes; nothing was taken over"
    assert missing.startswith(f"{tmp_path / 'no.yaml'}:0: file: found ")
    assert folder.startswith(f"{tmp_path}:0: file: found Is a directory; ")


def test_several_files_stop_where_one_does(
    command: Command, ostrel: Path, tmp_path: Path
) -> None:
    """A clean plan beside one that stops: both are shown, the end is 1."""
    clean = without_places(tmp_path)
    done = command("plan", clean, ostrel / "flap.yaml")
    assert done.code == 1
    titles = [line for line in done.out.splitlines() if "revision 1" in line]
    assert titles == [
        "Try Out, panel, revision 1: 1 row, 6 holes",
        "Ostrel Two, Flap, revision 1: 19 rows, 194 holes",
    ]


def test_json_of_one_plan_and_of_several(command: Command, ostrel: Path) -> None:
    """One result as it is, several as a list in the order of the files."""
    files = [ostrel / f"{name}.yaml" for name in ("aileron", "root-rib", "flap")]
    one = json.loads(command("plan", files[0], "--json").out)
    done = command("plan", *files, "--json")
    several = json.loads(done.out)
    assert done.code == 1
    assert [len(each["holes"]) for each in several] == [172, 110, 194]
    assert several[0] == one


def test_a_line_per_hole(command: Command, ostrel: Path) -> None:
    """110 holes, each on a line of its own with its name first."""
    done = command("plan", ostrel / "root-rib.yaml", "--holes")
    lines = [line for line in done.out.splitlines() if re.match(r"B\d+:\d+ ", line)]
    assert len(lines) == 110
    assert lines[0].split()[:4] == ["B1:1", "MS20470AD4-4.5", ".095", "-4.5"]


def test_findings_alone(command: Command, ostrel: Path) -> None:
    """No table: after the title come the findings."""
    done = command("plan", ostrel / "flap.yaml", "--findings-only")
    title, note, blank, first = done.out.splitlines()[:4]
    assert title.startswith("Ostrel Two, Flap")
    assert note.endswith("INVENTED")
    assert (blank, first) == ("", "STOP: do not set it")


def test_bulletin_is_applied_to_the_plan_it_names(
    command: Command, ostrel: Path
) -> None:
    """After SB-07 B9 and B10 take 621 too, and B19 is there.

    0.040 + 0.032 + 0.063 = 0.135 in, and 0.135 + 0.1875 = 0.3225 in is 5.16
    sixteenths: -5. B19: 0.040 + 0.032 + 0.1875 = 0.2595 in is 4.15: -4.
    """
    files = [ostrel / "flap.yaml", ostrel / "root-rib.yaml"]
    done = command("plan", *files, "--bulletin", ostrel / "sb-07.yaml", "--json")
    flap, rib = json.loads(done.out)
    assert (flap["assembly"]["revision"], rib["assembly"]["revision"]) == (1, 2)
    wanted = {
        row: {h["wanted_length_code"] for h in rib["holes"] if h["row"] == row}
        for row in ("B9", "B10", "B19")
    }
    assert wanted == {"B9": {5}, "B10": {5}, "B19": {4}}
    assert sum(hole["row"] == "B19" for hole in rib["holes"]) == 5


def test_bulletin_for_no_plan_given_is_refused(command: Command, ostrel: Path) -> None:
    """SB-07 is for the root rib; with the flap alone it has nothing to change."""
    done = command("plan", ostrel / "flap.yaml", "--bulletin", ostrel / "sb-07.yaml")
    assert (done.code, done.out) == (2, "")
    assert "sb-07.yaml:5: assembly: found root-rib; allowed: " in done.told
    assert "(flap)" in done.told


def test_why_shows_everything_of_a_hole(command: Command, ostrel: Path) -> None:
    """State, verdict, finding, sheets and every group of figures with its source."""
    done = command("why", ostrel / "aileron.yaml", "A11:5")
    assert done.code == 0
    for words in (
        "A11:5  MS20426AD3-2.5  drilled",
        "weakest figure FROM MEMORY",
        "LENGTH-01 A11:1-36: ",
        "Shop head",
        "If the next size were needed",
        "grip_mm = sum_sheets(sheet_thickness_mm) + sealant_mm",
        "sum_sheets((0.635, 0.508, 0.635))",
        "oversize-shank",
    ):
        assert words in done.out
    sheet = r"^503 +\.025 in +2024-T3 +dimple +\.300 in to aft, at the web \(v0\)"
    assert re.search(sheet, done.out, re.M)


def test_why_shows_one_quantity(command: Command, ostrel: Path) -> None:
    """Grip of A11:5: 0.025 + 0.020 + 0.025 = 0.070 in, with nothing else before it."""
    done = command("why", ostrel / "aileron.yaml", "A11:5", "grip_mm")
    assert done.code == 0
    assert done.out.splitlines()[0] == "A11:5"
    assert "Grip = .070 in (1.78 mm)" in done.out
    assert "Shop head" not in done.out


@pytest.mark.parametrize(
    ("words", "found", "nearest"),
    [
        (("A99:5",), "found no row A99", "nearest: A9"),
        (("A11:99",), "found row A11 with 37 holes", "numbers 1 to 37"),
        (("A11",), "found 'A11'", "row:number"),
        (("A11:5", "grip_m"), "found no rule", "nearest: grip_mm"),
    ],
)
def test_what_the_plan_does_not_have_is_refused(
    command: Command, ostrel: Path, words: tuple[str, ...], found: str, nearest: str
) -> None:
    """An unknown hole or quantity is told with the nearest right name; nothing else."""
    done = command("why", ostrel / "aileron.yaml", *words)
    assert (done.code, done.out) == (2, "")
    assert found in done.told
    assert nearest in done.told


@pytest.mark.parametrize("kind", ["plan", "shop", "bulletin", "result"])
def test_schema_of_each_kind_is_json(command: Command, kind: str) -> None:
    """Each is a JSON Schema of the 2020-12 draft; without a word it is the plan's."""
    done = command("schema", kind)
    assert done.code == 0
    assert "2020-12" in json.loads(done.out)["$schema"]
    if kind == "plan":
        assert command("schema").out == done.out


def test_version(command: Command) -> None:
    """The version of the package, and nothing else."""
    assert command("--version").out == f"rivetwright {__version__}\n"


def test_without_words_the_help_is_shown(command: Command) -> None:
    """All commands with a line each; that is no mistake."""
    done = command()
    assert done.code == 0
    for name in ("plan", "why", "print", "serve", "demo", "schema"):
        assert re.search(rf"^  {name} +[A-Z]", done.out, re.MULTILINE)


@pytest.mark.parametrize("name", ["plan", "why", "print", "serve", "demo", "schema"])
def test_help_of_each_command_fits_80_columns(command: Command, name: str) -> None:
    """Every option is explained, and the examples stand on lines of their own."""
    done = command(name, "--help")
    assert done.code == 0
    assert max(map(len, done.out.splitlines())) <= 80
    if name != "demo":
        assert f"\n    rivetwright {name} " in done.out


@pytest.mark.parametrize(
    ("words", "found"),
    [
        (("plan",), "missing argument 'FILE'"),
        (("plan", "--foo", "a.yaml"), "no such option: --foo"),
        (("nope",), "no such command 'nope'"),
        (("serve", "--port", "x"), "'--port': Input should be a valid integer"),
        (("print", "--paper", "a7", "a.yaml"), "'--paper': 'a7' is not one of"),
    ],
)
def test_a_command_not_understood_is_refused(
    command: Command, words: tuple[str, ...], found: str
) -> None:
    """It ends with 2 and says in our words what was found and where help is."""
    done = command(*words)
    assert (done.code, done.out) == (2, "")
    assert f"read the command: found {found}" in done.told
    assert "--help" in done.told
    assert not NEVER.search(done.told)


def test_print_writes_a_pdf(command: Command, ostrel: Path, tmp_path: Path) -> None:
    """The pack of the flap lies in the folder asked for, and its name is told."""
    out = tmp_path / "pack"
    done = command("print", ostrel / "flap.yaml", "--out", out, "--paper", "a4")
    assert (done.code, done.told) == (0, "")
    written = list(out.iterdir())
    assert [f"written {file}" for file in written] == done.out.splitlines()
    assert all(file.read_bytes().startswith(b"%PDF") for file in written)


def test_print_into_a_file_is_refused(
    command: Command, ostrel: Path, tmp_path: Path
) -> None:
    """A file where the folder should be: told, and nothing crashes."""
    out = tmp_path / "taken"
    out.write_text("", encoding="utf-8")
    done = command("print", ostrel / "flap.yaml", "--out", out)
    assert (done.code, done.out) == (2, "")
    assert "use a file: found " in done.told


def test_demo_prints_a_summary_of_the_folder(
    command: Command, ostrel: Path, tmp_path: Path
) -> None:
    """Three assemblies and the root rib after its bulletin, with what was found."""
    done = command("demo", "--folder", ostrel, "--out", tmp_path, "--no-serve")
    assert (done.code, done.told) == (0, "")
    lines = done.out.splitlines()
    assert lines[0] == "Ostrel Two"
    assert lines[1].endswith("INVENTED")
    assert [line.split(":")[0].strip() for line in lines[2:6]] == [
        "aileron",
        "flap",
        "root-rib",
        "root-rib-sb-07",
    ]
    # P1 stops at A11:1-36 and no bar goes in at A23 to A26; P1b and P8 are to be
    # checked at 6 + 4 holes, and the 4 of P10 that wait for a bar on order.
    assert lines[2].startswith("  aileron: 172 holes; findings at holes: 40 stop, 14 ")
    assert len(list(tmp_path.iterdir())) == 4


def test_demo_begins_its_record_once(
    command: Command, ostrel: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Copied to build/demo, its log becomes facts; run again, there are no more.

    79 rivets sit: 44 in the aileron, 35 in the root rib.
    """
    monkeypatch.chdir(tmp_path)
    told = set()
    for _ in range(2):
        done = command("demo", "--from", ostrel, "--out", tmp_path / "o", "--no-serve")
        assert (done.code, done.told) == (0, "")
        told.add(done.out.splitlines()[0])
    assert len(told) == 1
    workshop = Workshop(tmp_path / "build" / "demo")
    try:
        assert str(workshop.position()) in told.pop()
        plans = [workshop.now().assembly(key) for key in workshop.plan_ids]
        counts = [int(one.worked_plan.worked.holes.is_set.sum()) for one in plans]
        assert sum(counts) == 79
    finally:
        workshop.close()
    assert not (ostrel / "record").exists()


def test_demo_tells_a_refused_file_and_goes_on(
    command: Command, tmp_path: Path
) -> None:
    """A broken file beside a good one: the good one is printed, the other told."""
    without_places(tmp_path)
    broken = tmp_path / "broken.yaml"
    broken.write_text("format: rivetwright plan 1\nrows: 3\n", encoding="utf-8")
    out = tmp_path / "out"
    done = command("demo", "--folder", tmp_path, "--out", out, "--no-serve")
    assert done.code == 0
    assert "panel: 6 holes" in done.out
    assert f"{broken}:2: rows: found " in done.told


def test_a_folder_that_is_not_there_is_refused(
    command: Command, tmp_path: Path
) -> None:
    """Neither demo nor serve starts without its folder."""
    for words in (("demo", "--folder"), ("serve",)):
        done = command(*words, tmp_path / "nowhere")
        assert (done.code, done.out) == (2, "")
        assert "nowhere" in done.told


def test_piped_output_has_no_terminal_codes(ostrel: Path) -> None:
    """Into a pipe: plain text, no wider than a page on its side, exit code kept."""
    words = ["plan", str(ostrel / "aileron.yaml")]
    around = {k: v for k, v in os.environ.items() if k not in ("COLUMNS", "LINES")}
    done = subprocess.run(
        [*COMMAND, *words], capture_output=True, text=True, env=around
    )
    assert (done.returncode, done.stderr) == (1, "")
    assert not TERMINAL_CODE.search(done.stdout)
    lines = done.stdout.splitlines()
    assert max(map(len, lines)) <= PIPED_WIDTH
    assert not [line for line in lines if line != line.rstrip()]


def test_a_reader_that_goes_away_is_no_crash(ostrel: Path) -> None:
    """The first bytes of the JSON are read and the pipe is shut: nothing is told."""
    words = ["plan", str(ostrel / "aileron.yaml"), "--json"]
    with subprocess.Popen(
        [*COMMAND, *words], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as done:
        assert done.stdout
        assert done.stderr
        done.stdout.read(10)
        done.stdout.close()
        assert done.stderr.read() == b""
    assert done.returncode == 1


def test_on_a_terminal_there_is_a_bar_and_then_the_table(ostrel: Path) -> None:
    """On a real terminal of 80 columns the table fits and headings are set off."""
    main, shown = pty.openpty()
    words = ["plan", str(ostrel / "aileron.yaml"), str(ostrel / "flap.yaml")]
    around = {**os.environ, "COLUMNS": "80", "TERM": "xterm"}
    with subprocess.Popen(
        [*COMMAND, *words], stdout=shown, stderr=shown, env=around
    ) as done:
        os.close(shown)
        raw = b"".join(_read_all(main))
    os.close(main)
    said = raw.decode("utf-8")
    assert done.returncode == 1
    assert "flap.yaml: " in said
    plain = re.sub(r"\x1b\[[0-9;?]*[A-Za-z]", "", said)
    table = plain.partition("172 holes")[2].partition("STOP")[0].splitlines()
    assert max(map(len, table)) <= 80
    assert "\x1b[1m" in said


def _read_all(main: int) -> list[bytes]:
    """Everything a terminal shows until the program at the other end leaves."""
    read: list[bytes] = []
    while True:
        try:
            some = os.read(main, 65536)
        except OSError:  # so Linux says that the other end is shut
            return read
        if not some:
            return read
        read.append(some)
