"""Squeezing a solid rivet: its head, the force, and what the squeezer gives.

Pure functions over numbers or arrays, which broadcast. A head is a cylinder of
constant volume; the force is a flow curve times a friction hill, fitted to measured
squeezes of 2117-T4. Nothing here knows a table of tools.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rivetwright.standards.forming import forming_constant

Figures = NDArray[np.float64]

STRENGTH_KPA = float(forming_constant("strength").value)
HARDENING = float(forming_constant("hardening").value)
FRICTION = float(forming_constant("friction").value)


def _figures(number: ArrayLike) -> Figures:
    """A number or an array as figures to work with."""
    return np.asarray(number, dtype=np.float64)


def head_width_mm(
    shank_mm: ArrayLike, head_height_mm: ArrayLike, volume_ratio: ArrayLike
) -> Figures:
    """Width of a shop head of this height and volume.

    Args:
        shank_mm: shank diameter before it is set [mm].
        head_height_mm: height of the head [mm].
        volume_ratio: metal in the head [pi/4 D^3].

    Returns:
        The width, of a cylinder of that volume [mm]; nought where no metal is left.

    Source:
        Own geometry, constant volume; DERIVED. Take it as +-5 %.
    """
    shank, height = _figures(shank_mm), _figures(head_height_mm)
    volume = np.maximum(_figures(volume_ratio), 0.0)
    return shank * np.sqrt(volume * shank / height)


def head_height_mm(
    shank_mm: ArrayLike, head_width_mm: ArrayLike, volume_ratio: ArrayLike
) -> Figures:
    """Height of a shop head of this width and volume.

    Args:
        shank_mm: shank diameter before it is set [mm].
        head_width_mm: width of the head [mm].
        volume_ratio: metal in the head [pi/4 D^3].

    Returns:
        The height [mm].

    Source:
        Own geometry, constant volume; DERIVED.
    """
    shank, width = _figures(shank_mm), _figures(head_width_mm)
    return shank * _figures(volume_ratio) * (shank / width) ** 2


def volume_ratio(
    shank_mm: ArrayLike, head_width_mm: ArrayLike, head_height_mm: ArrayLike
) -> Figures:
    """Metal in a shop head of this width and height.

    Args:
        shank_mm: shank diameter before it was set [mm].
        head_width_mm: width of the head [mm].
        head_height_mm: height of the head [mm].

    Returns:
        The volume [pi/4 D^3].

    Source:
        Own geometry, constant volume; DERIVED.
    """
    shank, width = _figures(shank_mm), _figures(head_width_mm)
    return width**2 * _figures(head_height_mm) / shank**3


def strain(shank_mm: ArrayLike, head_width_mm: ArrayLike) -> Figures:
    """How far the metal of the head was worked: log of its area against the shank's.

    Args:
        shank_mm: shank diameter before it is set [mm].
        head_width_mm: width of the head [mm].

    Returns:
        The strain, nought where the head is no wider than the shank [-].

    Source:
        Constant volume; DERIVED.
    """
    width, shank = _figures(head_width_mm), _figures(shank_mm)
    return 2 * np.log(np.maximum(width / shank, 1.0))


def flow_stress_kpa(
    worked_strain: ArrayLike,
    *,
    strength_kpa: float = STRENGTH_KPA,
    hardening: float = HARDENING,
) -> Figures:
    """Stress at which the metal flows after that strain.

    Args:
        worked_strain: strain so far [-].
        strength_kpa: K of the flow curve; by default that of 2117-T4 [kPa].
        hardening: n of the flow curve [-].

    Returns:
        K strain^n [kPa].

    Source:
        Power law fitted to measured forces; DERIVED; forming_constants.csv.
    """
    return strength_kpa * _figures(worked_strain) ** hardening


def friction_ratio(
    head_width_mm: ArrayLike,
    head_height_mm: ArrayLike,
    *,
    friction: float = FRICTION,
    share: float = 1 / 3,
) -> Figures:
    """How much friction of head on dies adds to the force.

    Args:
        head_width_mm: width of the head [mm].
        head_height_mm: height of the head [mm].
        friction: coefficient of friction [-].
        share: 1/3 for a friction hill; forging textbooks take 0.4 [-].

    Returns:
        1 + share x friction x width / height [-].

    Source:
        Mean pressure of a friction hill on a disc; READ; friction fitted, DERIVED.
    """
    slender = _figures(head_width_mm) / _figures(head_height_mm)
    return 1 + share * friction * slender


def squeeze_force_n(
    shank_mm: ArrayLike,
    head_height_mm: ArrayLike,
    volume_ratio: ArrayLike,
    factor: ArrayLike = 1.0,
) -> Figures:
    """Force that squeezes a head down to this height.

    Args:
        shank_mm: shank diameter before it is set [mm].
        head_height_mm: height of the head [mm].
        volume_ratio: metal in the head [pi/4 D^3].
        factor: the alloy's force against that of 2117-T4 [-].

    Returns:
        The force [N]; nought while the head is no wider than the shank.

    Source:
        Flow curve times friction hill; DERIVED; measured from 1.07 to 1.81 D wide on
        2117-T4 of 3.2 and 3.96 mm, slow squeeze, dry flat dies. Other sizes by
        geometric similarity.
    """
    width = head_width_mm(shank_mm, head_height_mm, volume_ratio)
    stress_kpa = flow_stress_kpa(strain(shank_mm, width))
    area_mm2 = np.pi / 4 * width**2
    hill = friction_ratio(width, head_height_mm)
    return _figures(factor) * stress_kpa * area_mm2 * hill / 1000


def available_force_n(
    rated_n: ArrayLike,
    rated_kpa: ArrayLike,
    ends_mm: ArrayLike,
    left_mm: ArrayLike,
    pressure_kpa: ArrayLike,
) -> Figures:
    """Force a pneumatic squeezer gives with so much travel left.

    Args:
        rated_n: rated force [N].
        rated_kpa: pressure it is rated at [kPa].
        ends_mm: travel left at which it reaches its rated force [mm].
        left_mm: travel left [mm].
        pressure_kpa: pressure at the tool, gauge [kPa].

    Returns:
        The force [N]: in proportion to pressure, falling as 1 / sqrt(travel left).

    Source:
        Shape of a toggle near dead centre; DERIVED; `ends_mm` is JUDGEMENT until
        one rivet size has been set at two gaps.
    """
    at_end = _figures(rated_n) * _figures(pressure_kpa) / _figures(rated_kpa)
    return at_end * travel_share(ends_mm, left_mm)


def travel_share(ends_mm: ArrayLike, left_mm: ArrayLike) -> Figures:
    """Share of its end force that a toggle squeezer gives with travel left.

    Args:
        ends_mm: travel left from which on it gives all of it [mm].
        left_mm: travel left [mm].

    Returns:
        1 at the end, falling as 1 / sqrt(travel left) [-].

    Source:
        The travel left grows as the square of the knee's angle, the force falls as
        one over that angle; DERIVED.
    """
    ends = _figures(ends_mm)
    return np.sqrt(ends / np.maximum(_figures(left_mm), ends))


def toggle_force_n(
    push_n: ArrayLike, arm_mm: ArrayLike, knee_height_mm: ArrayLike
) -> Figures:
    """Force of a toggle with two equal arms.

    Args:
        push_n: force on the knee [N].
        arm_mm: length of each arm, along the line of force [mm].
        knee_height_mm: how far the knee stands off that line [mm].

    Returns:
        The force along the line [N].

    Source:
        Toggle joint of equal arms, F a / (2 h); READ; equilibrium of the knee.
    """
    return _figures(push_n) * _figures(arm_mm) / (2 * _figures(knee_height_mm))


def force_slope_n_mm(
    shank_mm: ArrayLike,
    head_height_mm: ArrayLike,
    volume_ratio: ArrayLike,
    factor: ArrayLike = 1.0,
) -> Figures:
    """How the squeeze force changes as the head grows higher.

    Args:
        shank_mm: shank diameter before it is set [mm].
        head_height_mm: height of the head [mm].
        volume_ratio: metal in the head [pi/4 D^3].
        factor: the alloy's force against that of 2117-T4 [-].

    Returns:
        dF/dH, below nought [N/mm]; nan while the head is no wider than the shank.

    Source:
        Derivative of `squeeze_force_n`; DERIVED.
    """
    height = _figures(head_height_mm)
    width = head_width_mm(shank_mm, height, volume_ratio)
    worked = strain(shank_mm, width)
    hill = friction_ratio(width, height)
    # Constant volume: strain falls by 1/H, area by 1/H, slenderness by 3/2 of 1/H.
    with np.errstate(divide="ignore", invalid="ignore"):
        relative = HARDENING / worked + 1 + 1.5 * (hill - 1) / hill
        force_n = squeeze_force_n(shank_mm, height, volume_ratio, factor)
        return np.asarray(-force_n * relative / height)


def gap_transfer(
    shank_mm: ArrayLike,
    head_height_mm: ArrayLike,
    volume_ratio: ArrayLike,
    stiffness_n_mm: ArrayLike,
    factor: ArrayLike = 1.0,
) -> Figures:
    """Share of a change of the closed gap that reaches the head.

    A gap set narrower squeezes harder, so the yoke springs open further and takes some
    of the change back. What the force itself is off by, a soft yoke takes badly.

    Args:
        shank_mm: shank diameter before it is set [mm].
        head_height_mm: height of the head [mm].
        volume_ratio: metal in the head [pi/4 D^3].
        stiffness_n_mm: force that springs the yoke open by one millimetre [N/mm].
        factor: the alloy's force against that of 2117-T4 [-].

    Returns:
        dH/dg [-]: 1 for a rigid yoke, less for a soft one; nan while the head is no
        wider than the shank.

    Source:
        Derivative of gap = height - force / stiffness; DERIVED.
    """
    slope = force_slope_n_mm(shank_mm, head_height_mm, volume_ratio, factor)
    return 1 / (1 - slope / _figures(stiffness_n_mm))


def barrel_ratio(end_share: ArrayLike) -> Figures:
    """Largest width of a barrel-shaped head against a cylinder of its volume.

    Args:
        end_share: width at the ends against that of the middle [-].

    Returns:
        The ratio, 1 for straight sides [-].

    Source:
        Own geometry, a parabola for the side; DERIVED.
    """
    ends = _figures(end_share)
    return np.sqrt(15 / (8 + 4 * ends + 3 * ends**2))


def exit_shift_mm(grip_mm: ArrayLike, lean_deg: ArrayLike) -> Figures:
    """How far a hole drilled off square comes out beside its place.

    Args:
        grip_mm: thickness drilled through [mm].
        lean_deg: lean of the hole from square [deg].

    Returns:
        The shift at the far side [mm].

    Source:
        Own geometry; DERIVED.
    """
    return _figures(grip_mm) * np.tan(np.radians(_figures(lean_deg)))


def free_tilt_deg(
    shank_mm: ArrayLike, hole_mm: ArrayLike, grip_mm: ArrayLike
) -> Figures:
    """How far a rivet can stand up straight again in a hole that is too wide for it.

    Args:
        shank_mm: shank diameter [mm].
        hole_mm: hole diameter [mm].
        grip_mm: thickness of the stack [mm].

    Returns:
        The angle its play allows [deg].

    Source:
        Own geometry; DERIVED.
    """
    play = _figures(hole_mm) - _figures(shank_mm)
    return np.degrees(np.arctan(play / _figures(grip_mm)))


def wedge_mm(
    head_width_mm: ArrayLike, lean_deg: ArrayLike, tilt_deg: ArrayLike = 0.0
) -> Figures:
    """Open wedge under one side of a head whose hole leans.

    Args:
        head_width_mm: width of the manufactured head [mm].
        lean_deg: lean of the hole from square [deg].
        tilt_deg: how much of it the rivet's play takes up [deg].

    Returns:
        The gap at the open side [mm].

    Source:
        Own geometry; DERIVED; no limit in degrees was found for hand-drilled holes.
    """
    left = np.maximum(_figures(lean_deg) - _figures(tilt_deg), 0.0)
    return _figures(head_width_mm) * np.tan(np.radians(left))
