"""Shops survive being written and read, whatever figures they hold."""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor

from hypothesis import given, settings
from hypothesis import strategies as st

from rivetwright.intake.lay_out import quantity
from rivetwright.intake.shop_file import read_shop_bytes
from rivetwright.intake.write_shop import write_shop
from rivetwright.model.shop import (
    AirPiece,
    Compressor,
    Die,
    GunSet,
    RivetGun,
    Shop,
    Squeezer,
    Tool,
)
from rivetwright.units.air import M3_PER_GALLON, M3_PER_LITRE
from rivetwright.units.force import KPA_PER_BAR, KPA_PER_PSI, N_PER_LBF
from rivetwright.units.mass import KG_PER_LB

FAMILIES = (
    {"psi": KPA_PER_PSI, "bar": KPA_PER_BAR},
    {"lbf": N_PER_LBF, "N": Fraction(1)},
    {"gal": M3_PER_GALLON, "l": M3_PER_LITRE},
    {"lb": KG_PER_LB, "kg": Fraction(1)},
)

words = st.text("abc 123-", max_size=12).map(str.strip)
titles = words.filter(bool)
sizes_32nds = st.integers(2, 8)


def some(least: float, most: float) -> st.SearchStrategy[float]:
    """A figure of a range, or one that a person would type."""
    whole = st.integers(ceil(least * 1000), floor(most * 1000))
    return st.floats(least, most) | whole.map(lambda parts: parts / 1000)


def some_or_nought(most: float) -> st.SearchStrategy[float]:
    """The same, or nought."""
    return st.just(0.0) | some(0.001, most)


def few(least: float, most: float) -> st.SearchStrategy[float]:
    """A plain number as a person types it."""
    return st.integers(round(least * 100), round(most * 100)).map(lambda x: x / 100)


def maybe(figure: st.SearchStrategy[float]) -> st.SearchStrategy[float | None]:
    """A figure, or nothing."""
    return st.none() | figure


yokes = st.builds(
    Tool,
    id=st.just("Y1"),
    kind=st.just("yoke"),
    closed_height_mm=maybe(some(1, 50)),
    has_fixed_die=st.booleans(),
    stiffness_n_mm=maybe(some(2_000, 1_000_000)),
    note=words,
)
bars = st.builds(
    Tool, id=st.just("B1"), kind=st.just("bar"), mass_kg=maybe(some(0.1, 20))
)
pneumatic = st.builds(
    Squeezer,
    title=titles,
    force_n=some(10, 80_000),
    pressure_kpa=some(10, 1_500),
    stroke_mm=maybe(some(1, 100)),
    ends_mm=maybe(some(1, 10)),
    bore_mm=maybe(some(10, 200)),
    cylinder_stroke_mm=maybe(some(1, 200)),
    diameter_32nds_max=st.none() | sizes_32nds,
    note=words,
)
by_hand = st.builds(
    Squeezer,
    title=titles,
    kind=st.just("hand"),
    hand_force_n=maybe(some(10, 2_000)),
    lever_ratio=maybe(few(1, 100)),
    ends_mm=maybe(some(1, 10)),
)


@st.composite
def dies(draw: st.DrawFn) -> Die:
    """A die whose figures do not contradict each other."""
    kind = draw(st.sampled_from(["flat", "cup", "male", "female"]))
    length_mm = draw(some(1, 40))
    engaged_mm = draw(some(2, 40))
    return Die(
        kind=kind,
        length_mm=length_mm,
        diameter_32nds=None if kind == "flat" else draw(sizes_32nds),
        count=draw(st.integers(1, 9)),
        length_max_mm=draw(maybe(some(length_mm, 40))),
        face_mm=draw(maybe(some(1, 50))),
        engaged_mm=engaged_mm,
        engaged_min_mm=draw(maybe(some(0.5, engaged_mm))),
        note=draw(words),
    )


pieces = st.one_of(
    st.builds(
        AirPiece,
        kind=st.just("regulator"),
        title=words,
        set_kpa=some(10, 1_500),
        dead_band_kpa=maybe(some_or_nought(200)),
    ),
    st.builds(
        AirPiece,
        kind=st.sampled_from(["hose", "pipe"]),
        title=words,
        bore_mm=some(2, 50),
        length_mm=some(30, 100_000),
    ),
    st.builds(
        AirPiece,
        kind=st.just("coupler"),
        count=st.integers(1, 9),
        flow_coefficient=maybe(few(0.01, 50)),
    ),
    st.builds(AirPiece, kind=st.just("pedal"), flow_coefficient=maybe(few(0.01, 50))),
)
compressors = st.builds(
    Compressor,
    title=titles,
    free_air_m3_s=maybe(st.floats(0.0001, 0.09)),
    tank_m3=maybe(some(0.001, 1.5)),
    starts_kpa=maybe(some(10, 700)),
    stops_kpa=maybe(some(701, 1_500)),
)
shops = st.builds(
    Shop,
    id=st.just("a"),
    name=st.just("b"),
    unit=st.sampled_from(["in", "mm"]),
    tools=st.tuples(yokes, bars),
    squeezers=st.lists(pneumatic | by_hand, max_size=2).map(tuple),
    dies=st.lists(dies(), max_size=3).map(tuple),
    shims_mm=st.lists(some(0.02, 10), max_size=3).map(tuple),
    pins_mm=st.lists(some_or_nought(40), max_size=3).map(tuple),
    guns=st.lists(
        st.builds(RivetGun, titles, st.none() | sizes_32nds, words), max_size=2
    ).map(tuple),
    gun_sets=st.lists(
        st.builds(
            GunSet,
            st.sampled_from(["cup", "flush", "back-rivet"]),
            st.none() | sizes_32nds,
            maybe(some(1, 50)),
            words,
        ),
        max_size=2,
    ).map(tuple),
    compressor=st.none() | compressors,
    air_line=st.lists(pieces, max_size=4).map(tuple),
)


@given(shops)
@settings(max_examples=50, deadline=None)
def test_shop_reads_back_equal_when_written(shop: Shop) -> None:
    """Writing a shop and reading the text gives the same shop, to the last bit."""
    assert read_shop_bytes(write_shop(shop).encode(), "shop") == shop


@given(st.floats(1e-4, 1e5), st.sampled_from(FAMILIES))
def test_quantity_reads_back_to_the_last_bit(
    value: float, units: dict[str, Fraction]
) -> None:
    """Whichever unit it is shown in, the figure means the same double."""
    shown, unit = quantity(value, units).split()
    assert float(Fraction(shown) * units[unit]) == value
