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
    ends = _figures(ends_mm)
    share = np.sqrt(ends / np.maximum(_figures(left_mm), ends))
    return _figures(rated_n) * _figures(pressure_kpa) / _figures(rated_kpa) * share
