"""Random plans, as a builder could write them, shared by the property tests.

Lengths are drawn in thousandths of an inch or tenths of a millimetre, so that plans
look like drawings; `any_length_mm` draws from all floats of a plausible size.
"""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from uuid import UUID, uuid5

from hypothesis import strategies as st

from rivetwright.intake.known import Numbers
from rivetwright.model.opening import (
    BulletinIn,
    Delivery,
    Hold,
    HoursEntry,
    MeasuredHead,
    Opening,
    Question,
    StepState,
    WorkDone,
)
from rivetwright.model.outline import BEND, FREE, CutOut, Face, Layer, Outline
from rivetwright.model.pattern import (
    Arc,
    Between,
    Counted,
    Pattern,
    Pitched,
    Points,
    Polyline,
    Straight,
)
from rivetwright.model.plan import (
    PLACE_KINDS,
    PREPARATIONS,
    Access,
    Callout,
    ExtraHole,
    HoleRange,
    OpenHoles,
    Part,
    Plan,
    Project,
    Row,
    RuleSets,
    Sheet,
)
from rivetwright.model.step import Need, Step
from rivetwright.standards.blind import KitBlindCode
from rivetwright.standards.codes import rivet_code

PLAN = "random"
STEPS = ("step-1", "step-2")
PROJECT = Project("0b3c5a4e-2f7d-4d1c-9b8a-6e5f4a3b2c1d", "Random", "INVENTED")
INCH = Fraction(254, 10)

BLIND = (KitBlindCode("BX4-2", "flush", INCH / 8, INCH / 16, INCH / 8, INCH / 24),)

thousandths_mm = st.integers(16, 250).map(lambda k: float(k * INCH / 1000))
place_mm = st.integers(-2000, 20_000).map(lambda k: float(k * INCH / 1000))
size_mm = st.integers(1, 20_000).map(lambda k: float(k * INCH / 1000))
any_length_mm = st.floats(1e-3, 1e4)
points_mm = st.tuples(place_mm, place_mm)
texts = st.text(
    st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Cn", "Co")),
    max_size=30,
).map(lambda text: text.replace("\ufeff", ""))
days = st.dates(date(2020, 1, 1), date(2035, 12, 31))


@st.composite
def callouts(draw: st.DrawFn, blind: tuple[KitBlindCode, ...]) -> Callout:
    """A solid rivet, or one of the kit's blind codes."""
    if blind and draw(st.booleans()):
        return draw(st.sampled_from(blind))
    standard = draw(st.sampled_from(["MS20470", "MS20426"]))
    diameter_32nds = draw(st.integers(3, 6))
    length_16ths = Fraction(draw(st.integers(4, 20)), 2)
    return rivet_code(standard, "AD", diameter_32nds, length_16ths)


@st.composite
def outlines(draw: st.DrawFn) -> Outline:
    """A rectangle, or a four-sided plate with a slant, sides free or bent."""
    u0, v0 = draw(points_mm)
    width, height = draw(size_mm), draw(size_mm)
    if draw(st.booleans()):
        names = st.sampled_from(["u0", "u1", "v0", "v1"])
        bends = tuple(draw(st.sets(names, max_size=2)))
        return Outline.rectangle((u0, u0 + width), (v0, v0 + height), bends)
    slant = width / 4
    corners = (
        (u0, v0),
        (u0 + width, v0),
        (u0 + width - slant, v0 + height),
        (u0 + slant, v0 + height),
    )
    sides = st.sampled_from([FREE, BEND])
    return Outline(corners, tuple(draw(st.tuples(sides, sides, sides, sides))))


@st.composite
def cut_outs(draw: st.DrawFn) -> CutOut:
    """A round cut-out, or a triangle."""
    centre_mm, radius_mm = draw(points_mm), draw(size_mm)
    if draw(st.booleans()):
        return CutOut(centre_mm, radius_mm, note=draw(texts))
    u, v = centre_mm
    return CutOut(corners_mm=((u, v), (u + radius_mm, v), (u, v + radius_mm)))


@st.composite
def patterns(draw: st.DrawFn) -> Pattern:
    """One of the ways to say where holes lie."""
    count = draw(st.integers(2, 12))
    first_mm, last_mm = draw(st.tuples(points_mm, points_mm))
    angles = st.integers(-180, 180).map(float)
    ways: list[st.SearchStrategy[Pattern]] = [
        st.just(Straight(first_mm, last_mm, count)),
        st.just(Straight(first_mm, (0.0, 0.0), 1)),
        st.just(Between(first_mm, last_mm, count)),
        st.builds(Pitched, st.just(first_mm), st.just(last_mm), st.just(25.4)),
        st.builds(Arc, points_mm, size_mm, angles, angles, st.just(count)),
        st.lists(points_mm, min_size=2, max_size=4).map(
            lambda corners: Polyline(tuple(corners), count)
        ),
        st.lists(points_mm, min_size=1, max_size=4).map(lambda p: Points(tuple(p))),
        st.just(Counted(count)),
    ]
    return draw(st.one_of(ways))


@st.composite
def accesses(draw: st.DrawFn) -> Access:
    """What stands round a row."""
    some = st.none() | size_mm
    gap_mm = draw(some)
    word = draw(st.sampled_from(["open", "closed"]))
    return Access(
        entry_mm=draw(some),
        throat_flange_mm=draw(st.just(0.0) | size_mm),
        gap_behind_mm=gap_mm,
        gap_behind=word if gap_mm is None else "number",
        wall_shop_mm=draw(some),
        wall_head_mm=draw(some),
        both_sides=draw(st.booleans()),
        tools=tuple(draw(st.sets(st.sampled_from(["Y1", "Y2", "B1"])))),
    )


@st.composite
def rows(
    draw: st.DrawFn,
    name: str,
    parts: tuple[str, ...],
    faces: tuple[str, ...],
    blind: tuple[KitBlindCode, ...],
) -> Row:
    """A row with everything a row may have."""
    pattern = draw(patterns())
    count = pattern.count
    skip = draw(st.sets(st.integers(1, count), max_size=min(2, count - 1)))
    extra = ()
    if draw(st.booleans()):
        extra = (ExtraHole(count + 1, draw(st.none() | points_mm)),)
    needs_stack = isinstance(pattern, Counted) or not faces
    preparations = st.sampled_from(PREPARATIONS)
    stack: tuple[Sheet, ...] = ()
    preparation: tuple[tuple[str, str], ...] = ()
    if needs_stack or draw(st.booleans()):
        sheets = st.builds(Sheet, st.sampled_from(parts), preparations)
        stack = tuple(draw(st.lists(sheets, min_size=1, max_size=4)))
    elif draw(st.booleans()):
        preparation = (("*", draw(preparations)),)
    was = draw(st.sampled_from([(), (f"old-{name}",)]))
    return Row(
        id=str(uuid5(UUID(PROJECT.id), f"{PLAN}/{(was or (name,))[0]}")),
        name=name,
        callout=draw(callouts(blind)),
        pattern=pattern,
        step=draw(st.sampled_from(STEPS)),
        face=draw(st.sampled_from(faces)) if faces else "",
        stack=stack,
        preparation=preparation,
        head_side=draw(st.sampled_from(["near", "far"])),
        skip=tuple(sorted(skip)),
        extra=extra,
        places=draw(st.sampled_from(PLACE_KINDS)),
        place_tolerance_mm=draw(st.just(0.0) | any_length_mm),
        drill_mm=draw(st.none() | any_length_mm),
        access=draw(st.none() | accesses()),
        was=was,
        note=draw(texts),
    )


def last_number(row: Row) -> int:
    """The highest hole number of a row."""
    return Numbers.of(row).last


@st.composite
def work_done(draw: st.DrawFn, hole: str, part: str) -> WorkDone:
    """One line of the log of work on holes."""
    return WorkDone(
        operation=draw(st.sampled_from(["drilled", "dimpled", "set", "removed"])),
        holes=(hole,),
        day=draw(st.none() | days),
        part=draw(st.sampled_from(["", part])),
        by=draw(st.sampled_from([(), ("builder",), ("builder", "friend")])),
        setup=draw(texts),
        callout=draw(st.sampled_from(["", "MS20470AD4-4"])),
        note=draw(texts),
    )


@st.composite
def openings(draw: st.DrawFn, row: Row, part: str) -> Opening:
    """What had already happened to one row."""
    hole = f"{row.name}:{last_number(row)}"
    state = draw(st.sampled_from(["not started", "under way", "waiting", "done"]))
    return Opening(
        day=draw(st.none() | days),
        set_holes=draw(st.sampled_from([(), (hole,)])),
        drilled=(hole,),
        holds=(
            Hold("H1", (hole,), draw(texts), "question", "Q1", draw(st.none() | days)),
        ),
        questions=(Question("Q1", (hole,), draw(texts), draw(days), draw(texts)),),
        deliveries=(Delivery(part, "on order", draw(days), draw(texts)),),
        steps=tuple(StepState(step, state, draw(texts)) for step in STEPS[:1]),
        hours=(
            HoursEntry(draw(days), "drill", draw(st.integers(1, 600)), 12, "holes"),
        ),
        heads=(
            MeasuredHead(
                hole,
                draw(any_length_mm),
                draw(size_mm),
                draw(texts),
                looks=draw(st.sampled_from([(), ("leans", "tail bent over")])),
                offset_mm=draw(st.none() | size_mm),
                proud_mm=draw(st.none() | size_mm),
            ),
        ),
        done=tuple(draw(st.lists(work_done(hole, part), max_size=3))),
        bulletins=(BulletinIn("SB-1", draw(st.none() | days), draw(texts)),),
    )


@st.composite
def part_lists(draw: st.DrawFn) -> tuple[Part, ...]:
    """One to four parts."""
    return tuple(
        Part(
            name=f"{100 + k}",
            title=draw(texts),
            thickness_mm=draw(thousandths_mm),
            material=draw(st.sampled_from(["", "2024-T3", "6061-T6"])),
            bend_radius_mm=draw(st.none() | thousandths_mm),
            quantity=draw(st.integers(1, 4)),
            is_standard=draw(st.booleans()),
        )
        for k in range(draw(st.integers(1, 4)))
    )


@st.composite
def opened(draw: st.DrawFn, row: Row, part: str) -> OpenHoles:
    """The last hole of a row left open for a part."""
    hole = last_number(row)
    return OpenHoles(
        "O1",
        (HoleRange(row.name, hole, hole),),
        draw(texts),
        step=draw(st.sampled_from(["", STEPS[1]])),
        part=part,
        callout=draw(st.none() | callouts(())),
    )


@st.composite
def plans(draw: st.DrawFn, *, with_faces: bool | None = None) -> Plan:
    """A whole plan; without faces it is rows of stacks and callouts alone."""
    parts = draw(part_lists())
    names = tuple(part.name for part in parts)
    blind = BLIND[: draw(st.integers(0, 1))]
    wants_faces = draw(st.booleans()) if with_faces is None else with_faces
    faces = _faces(draw, names) if wants_faces else ()
    face_names = tuple(face.name for face in faces)
    made = tuple(
        draw(rows(f"R{k}", names, face_names, blind))
        for k in range(1, draw(st.integers(1, 4)) + 1)
    )
    first = draw(opened(made[0], names[0]))
    needs = (Need("step", STEPS[0]), Need("part", names[0], "when here"))
    return Plan(
        id=PLAN,
        name=draw(texts),
        project=PROJECT,
        unit=draw(st.sampled_from(["in", "mm"])),
        parts=parts,
        faces=faces,
        rows=made,
        steps=(
            Step(STEPS[0], draw(texts), closes=face_names[:1]),
            Step(STEPS[1], draw(texts), needs, text_sets=(str(first.holes[0]),)),
        ),
        open_holes=draw(st.sampled_from([(), (first,)])),
        blind_codes=blind,
        rule_sets=draw(
            st.sampled_from([RuleSets(), RuleSets(drills="strength basis")])
        ),
        opening=draw(st.just(Opening()) | openings(made[0], names[0])),
        revision=draw(st.integers(1, 9)),
        issued=draw(st.none() | days),
        note=draw(texts),
    )


def _faces(draw: st.DrawFn, parts: tuple[str, ...]) -> tuple[Face, ...]:
    """One or two faces with layers."""
    layers = st.builds(
        Layer,
        part=st.sampled_from(parts),
        outline=outlines(),
        cut_outs=st.lists(cut_outs(), max_size=1).map(tuple),
        from_step=st.sampled_from(["", *STEPS]),
    )
    return tuple(
        Face(
            name=f"F{k}",
            title=draw(texts),
            layers=tuple(draw(st.lists(layers, min_size=1, max_size=3))),
            axis_u=draw(texts),
            edges=draw(st.sampled_from([(), (("u0", "front"), ("v1", "upper"))])),
            taper_mm=draw(st.sampled_from([(), ((0.0, 30.0), (100.0, 5.0))])),
        )
        for k in range(draw(st.integers(1, 2)))
    )
