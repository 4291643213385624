"""Figures of the forecast before the builder's own record speaks.

No survey of home builders' hours was found: every row says how it is known, and what
was chosen by simulation is measured again by the aircraft benchmark.  Table file
forecast_constants.csv.
"""

from __future__ import annotations

from rivetwright.standards.source import Looked
from rivetwright.standards.table import constant_row

_TABLE = "forecast_constants"


def forecast_constant(name: str) -> Looked[float]:
    """Look up a figure of the forecast.

    Args:
        name: a name of forecast_constants.csv, such as ``slope`` [-].

    Returns:
        The figure with its table row [as the row says].

    Raises:
        OutsideTable: the table has no such figure.

    Source:
        forecast_constants.csv; status per row.
    """
    row = constant_row(_TABLE, name, asked="look up a figure of the forecast")
    return row.looked(float(row.number("value")))


def forecast_figure(name: str) -> float:
    """Give a figure of the forecast as a plain number.

    Args:
        name: a name of forecast_constants.csv [-].

    Returns:
        The figure [as the row says].

    Raises:
        OutsideTable: the table has no such figure.

    Source:
        forecast_constants.csv; status per row.
    """
    return forecast_constant(name).value
