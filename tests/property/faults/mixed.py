"""Assemblies with any number of faults in them, and plans of every other kind."""

from __future__ import annotations

from random import Random

from hypothesis import strategies as st

from rivetwright.model.plan import Plan
from tests.property.faults.assemblies import clean_assembly
from tests.property.faults.injected import FAULTS
from tests.property.strategies import plans

# These leave the others room: none of them takes a part, a row or a twin away.
GENTLE = tuple(code for code in FAULTS if code not in ("STACK-01", "STACK-02"))


def faulty_assembly(seed: int, codes: tuple[str, ...]) -> Plan:
    """An assembly drawn by a seed, with one fault after the other put into it."""
    made = clean_assembly(seed)
    for code in codes:
        FAULTS[code](made, Random(f"{seed} {code}"))
    return made.plan()


assemblies = st.builds(
    faulty_assembly,
    st.integers(0, 10_000),
    st.sampled_from([(), *((code,) for code in FAULTS)]),
)
any_plans = st.one_of(plans(), assemblies)
