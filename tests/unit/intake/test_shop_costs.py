"""The `costs:` block of a shop file: read, written, refused."""

from __future__ import annotations

import pytest

from rivetwright.errors import PlanRefused
from rivetwright.intake.shop_file import read_shop_bytes
from rivetwright.intake.write_shop import write_shop
from rivetwright.model.shop import Shop

HEAD = "format: rivetwright shop 1\nid: s\nname: S\nunit: in\n"


def shop(costs: str) -> Shop:
    """A shop with these figures."""
    return read_shop_bytes(f"{HEAD}costs: {{{costs}}}\n".encode(), "shop.yaml")


def test_figures_are_read_in_their_units() -> None:
    """10 s; 1-1/2 min = 90 s; 3 in = 76.2 mm; 10 in/s = 254 mm/s; 300 holes."""
    written = "squeezer: 10 s, turn: 1-1/2 min, held within: 3, hand speed: 10 in/s"
    assert shop(f"{written}, large: 300").costs == (
        ("squeezer", 10.0),
        ("turn", 90.0),
        ("held within", 76.2),
        ("hand speed", 254.0),
        ("large", 300.0),
    )


def test_written_again_they_are_the_same() -> None:
    """Every kind of unit there and back."""
    one = shop("yoke: 4 min, pitch: 1.25, hand speed: 300 mm/s, large: 250")
    assert read_shop_bytes(write_shop(one).encode(), "again").costs == one.costs


@pytest.mark.parametrize(
    ("costs", "said"),
    [
        ("squezer: 10 s", "nearest: squeezer"),
        ("squeezer: 10", "1-1/2 min"),
        ("squeezer: 9 h", "0 s to 4 h"),
        ("held within: 300", "1 mm to 2 m"),
        ("hand speed: 1 mm/s", "10 mm/s to 2 m/s"),
        ("large: many", "1 to 100000 holes"),
    ],
)
def test_what_cannot_be_is_refused(costs: str, said: str) -> None:
    """Names of no figure, no unit, a slipped point: with what is allowed."""
    with pytest.raises(PlanRefused) as refused:
        shop(costs)
    (fault,) = refused.value.faults
    assert said in fault.allowed
