"""Air through hoses, couplers and valves, and how much of it a stroke takes.

Pressures are gauge pressures, flows are of free air: as the compressor draws it in.
A pressure that comes out NaN means that the piece cannot carry the flow.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from fluids import ATMOSPHERE_1976, friction_factor
from scipy.optimize import brentq

from rivetwright.engines.figure import Law
from rivetwright.standards.air import air_figure
from rivetwright.standards.source import Source, Status

ATMOSPHERE_KPA = air_figure("atmosphere").value.central
VALVE_CONSTANT = air_figure("valve constant").value.central
# Below this share of the pressure before it a valve passes no more (FROM MEMORY).
CHOKED = 0.528
_STANDARD = ATMOSPHERE_1976(0)
_KG_M3_A_KPA = _STANDARD.rho / (_STANDARD.P / 1000)
_FREE_KG_M3 = _KG_M3_A_KPA * ATMOSPHERE_KPA
STEPS = 24
TURNS_MOST = 100
SETTLED = 1e-12

LABORATORY = air_figure("atmosphere").source
OWN = Source("own bookkeeping of free air", "", Status.DERIVED)

STROKE_AIR = Law(
    "stroke_air_m3",
    "Free air that one stroke takes; a spring brings the ram back",
    "pi / 4 * bore_mm ** 2 * stroke_mm / 1e9"
    " * (pressure_kpa + atmosphere_kpa) / atmosphere_kpa",
    "m3",
    LABORATORY,
)
USABLE_AIR = Law(
    "usable_air_m3",
    "Free air that the tank gives between two pressures",
    "tank_m3 * (from_kpa - to_kpa) / atmosphere_kpa",
    "m3",
    LABORATORY,
)
TANK_WANTED = Law(
    "tank_wanted_m3",
    "Tank that carries a demand above what the compressor gives",
    "duration_s * (demand_m3_s - delivery_m3_s) * atmosphere_kpa / (from_kpa - to_kpa)",
    "m3",
    LABORATORY,
)
LEAK = Law(
    "leak_m3_s",
    "Leak, from how far the tank falls with everything shut",
    "tank_m3 * fall_kpa / atmosphere_kpa / duration_s",
    "m3/s",
    OWN,
)
VALVE_FLOW = Law(
    "valve_flow_m3_s",
    "Free air through a valve or coupler that is not choked",
    "valve_constant * flow_coefficient * sqrt((inlet_kpa + atmosphere_kpa) ** 2"
    " - (outlet_kpa + atmosphere_kpa) ** 2)",
    "m3/s",
    air_figure("valve constant").source,
)
PIPE_FORMULA = (
    "inlet2 - outlet2 = (flow / area) ** 2 * density"
    " * (friction * length / bore + 2 * ln(inlet / outlet)), pressures absolute"
)
PIPE_SOURCE = Source(
    "Darcy's law for a gas that stays at room temperature, library fluids",
    "friction by the Reynolds number and roughness",
    Status.DERIVED,
    "within 5 % of ten published pipe losses; hose sources disagree by twice",
)

# So little that its loss cannot be told from none, and friction no longer reckoned.
STILL_M3_S = 1e-12


def pipe_loss_kpa(
    flow_m3_s: float,
    inlet_kpa: float,
    *,
    bore_mm: float,
    length_mm: float,
    roughness_mm: float,
    factor: float = 1.0,
) -> float:
    """Pressure that a hose or pipe takes from a flow.

    The gas stays at room temperature; friction is the library's.

    Args:
        flow_m3_s: free air [m3/s].
        inlet_kpa: gauge pressure before it [kPa].
        bore_mm: inner diameter [mm].
        length_mm: its length [mm].
        roughness_mm: height of the roughness inside [mm].
        factor: how many times a smooth hose's friction it has [-].

    Returns:
        The loss [kPa]; NaN where the hose cannot carry so much.

    Source:
        Darcy's law for isothermal flow, library fluids; DERIVED.
    """
    if flow_m3_s <= STILL_M3_S or length_mm <= 0:
        return 0.0
    inlet = inlet_kpa + ATMOSPHERE_KPA
    bore_m = bore_mm / 1000
    mass_kg_s = flow_m3_s * _FREE_KG_M3
    reynolds = 4 * mass_kg_s / (math.pi * bore_m * _STANDARD.mu)
    friction = factor * friction_factor(reynolds, eD=roughness_mm / bore_mm)
    flux = mass_kg_s / (math.pi / 4 * bore_m**2)
    # Squares of kPa: what the flow's own pressure weighs in the law.
    weight = flux**2 / _KG_M3_A_KPA / 1000
    outlet2 = _settled(inlet**2, weight, friction * length_mm / bore_mm)
    return inlet - math.sqrt(outlet2)


def _settled(inlet2: float, weight: float, resistance: float) -> float:
    """Square of the absolute outlet pressure; NaN where the flow chokes.

    The logarithm, the gas speeding up, is small until the flow chokes: putting the
    last answer into it settles fast, and outside it does not settle at all.
    """
    outlet2 = inlet2 - weight * resistance
    for _ in range(TURNS_MOST):
        if outlet2 <= weight:
            return math.nan
        last, outlet2 = (
            outlet2,
            inlet2 - weight * (resistance + math.log(inlet2 / outlet2)),
        )
        if abs(outlet2 - last) <= SETTLED * inlet2:
            return outlet2
    return math.nan


def valve_loss_kpa(
    flow_m3_s: float, inlet_kpa: float, flow_coefficient: float
) -> float:
    """Pressure that a valve, coupler or open regulator takes from a flow.

    Args:
        flow_m3_s: free air [m3/s].
        inlet_kpa: gauge pressure before it [kPa].
        flow_coefficient: its Cv [-].

    Returns:
        The loss [kPa]; NaN where it cannot pass so much.

    Source:
        The published valve flow, turned round; air.csv.
    """
    inlet = inlet_kpa + ATMOSPHERE_KPA
    left = inlet**2 - (flow_m3_s / (VALVE_CONSTANT * flow_coefficient)) ** 2
    if left < (CHOKED * inlet) ** 2:
        return math.nan
    return inlet - math.sqrt(left)


def flow_between_m3_s(
    outlet_at: Callable[[float], float], outlet_kpa: float, most_m3_s: float
) -> float:
    """Flow at which a line's far end stands at a pressure.

    Args:
        outlet_at: pressure at the far end for a flow; NaN where it cannot carry it.
        outlet_kpa: gauge pressure wanted there [kPa].
        most_m3_s: more than any such line is asked for [m3/s].

    Returns:
        The flow [m3/s]; nought where even standing air is below that pressure, and
        the most where a wide line gives even that.

    Source: own geometry.
    """

    def above(flow_m3_s: float) -> float:
        reached = outlet_at(flow_m3_s)
        return -ATMOSPHERE_KPA if math.isnan(reached) else reached - outlet_kpa

    if above(0.0) <= 0:
        return 0.0
    if above(most_m3_s) >= 0:
        return most_m3_s
    return float(brentq(above, 0.0, most_m3_s, xtol=1e-9, rtol=1e-4))


def fill_times_s(
    flow_at: Callable[[float], float], volume_m3: float, full_kpa: float
) -> tuple[list[float], list[float]]:
    """When a ram of full volume reaches which pressure, from empty.

    The ram's whole volume is taken from the start, which is a little too slow.

    Args:
        flow_at: flow into it at a pressure in it [m3/s at kPa].
        volume_m3: its volume [m3].
        full_kpa: gauge pressure that it would reach in the end [kPa].

    Returns:
        Pressures [kPa] and the times at which they are reached [s].

    Source: own bookkeeping of free air.
    """
    # Close to the end the flow dies out and the time grows without end.
    ends = full_kpa * (1 - np.linspace(1.0, 0.03, STEPS) ** 2)
    middles = (ends[1:] + ends[:-1]) / 2
    flows = np.array([flow_at(float(each)) for each in middles])
    with np.errstate(divide="ignore"):
        steps_s = np.diff(ends) * volume_m3 / ATMOSPHERE_KPA / flows
    return ends.tolist(), [0.0, *np.cumsum(steps_s).tolist()]
