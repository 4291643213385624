"""Learning curves against worked examples of handbooks and textbooks.

All figures were READ on stored pages; the books behind two of them only as quoted
there, so the status is SECOND-HAND:

- A management accountant's textbook, chapter 15, p. 324 (a page of the book online,
  READ): running average, first unit 100 hours, 80 %.
- A project management handbook, chapter on learning curves, Table 18-1 and its text
  (pages of the chapter, READ; the table itself only in the figures its text quotes):
  unit curve, first unit 812 hours, 75 %.
- An operations management textbook, Table E.3 "learning-curve coefficients" (quoted
  in a question with its answer, SECOND-HAND): unit curve, 70 to 90 %.
- A certified accountants' question with its answer (READ): running average, 50 hours,
  80 %, four units.
"""

from __future__ import annotations

import pytest

from rivetwright.engines.forecast.curve import (
    running_average,
    running_total,
    unit_time,
    unit_total,
)

# Units, average so far, total so far, and of the units added each time total and
# average. The last total is printed 254.76; 655.36 - 409.6 is 245.76, and the average
# printed beside it, 30.72 x 8, agrees with that: two digits changed places.
RUNNING_80 = """
 1 100    100    100    100
 2  80    160     60     60
 4  64    256     96     48
 8  51.2  409.6  153.6   38.4
16  40.96 655.36 245.76  30.72
"""

# Table E.3: unit number, then unit time and total time for 70, 75, 80, 85, 90 %.
COEFFICIENTS = """
 1 1.000 1.000 1.000 1.000 1.000 1.000 1.000 1.000 1.000 1.000
 2 .700 1.700 .750 1.750 .800 1.800 .850 1.850 .900 1.900
 3 .568 2.268 .634 2.384 .702 2.502 .773 2.623 .846 2.746
 4 .490 2.758 .562 2.946 .640 3.142 .723 3.345 .810 3.556
 5 .437 3.195 .513 3.459 .596 3.738 .686 4.031 .783 4.339
 6 .398 3.593 .475 3.934 .562 4.299 .657 4.688 .762 5.101
 7 .367 3.960 .446 4.380 .534 4.834 .634 5.322 .744 5.845
 8 .343 4.303 .422 4.802 .512 5.346 .614 5.936 .729 6.574
 9 .323 4.626 .402 5.204 .493 5.839 .597 6.533 .716 7.290
10 .306 4.932 .385 5.589 .477 6.315 .583 7.116 .705 7.994
11 .291 5.223 .370 5.958 .462 6.777 .570 7.686 .695 8.689
12 .278 5.501 .357 6.315 .449 7.227 .558 8.244 .685 9.374
13 .267 5.769 .345 6.660 .438 7.665 .548 8.792 .677 10.052
14 .257 6.026 .334 6.994 .428 8.092 .539 9.331 .670 10.721
15 .248 6.274 .325 7.319 .418 8.511 .530 9.861 .663 11.384
16 .240 6.514 .316 7.635 .410 8.920 .522 10.383 .656 12.040
17 .233 6.747 .309 7.944 .402 9.322 .515 10.898 .650 12.690
18 .226 6.973 .301 8.245 .394 9.716 .508 11.405 .644 13.334
19 .220 7.192 .295 8.540 .388 10.104 .501 11.907 .639 13.974
"""
SLOPES = (0.70, 0.75, 0.80, 0.85, 0.90)
# The last printed digit.
PRINTED = 0.00101


def _figures(table: str) -> list[list[float]]:
    return [
        [float(cell) for cell in line.split()] for line in table.split("\n") if line
    ]


def test_running_average_of_the_accountants_textbook() -> None:
    """The whole table of p. 324, totals and lots as differences of totals."""
    before = 0.0
    units_before = 0
    for units, average, total, lot, lot_average in _figures(RUNNING_80):
        assert running_average(100, units, 0.8) == pytest.approx(average)
        assert running_total(100, units, 0.8) == pytest.approx(total)
        found = float(running_total(100, units, 0.8)) - before
        assert found == pytest.approx(lot)
        assert found / (units - units_before) == pytest.approx(lot_average)
        before, units_before = total, int(units)


def test_running_average_of_the_examination_question() -> None:
    """First unit 50 hours at 80 %: 40 for two units on average, 32 for four."""
    averages = [float(running_average(50, n, 0.8)) for n in (1, 2, 4)]
    assert averages == pytest.approx([50, 40, 32])


@pytest.mark.parametrize(("k", "slope"), list(enumerate(SLOPES)))
def test_unit_curve_of_table_e_3(k: int, slope: float) -> None:
    """Nineteen unit times and totals a slope, to the last printed digit."""
    for line in _figures(COEFFICIENTS):
        unit, total = line[1 + 2 * k], line[2 + 2 * k]
        assert unit_time(1, line[0], slope) == pytest.approx(unit, abs=PRINTED)
        assert unit_total(1, int(line[0]), slope) == pytest.approx(total, abs=PRINTED)


def test_unit_curve_of_the_project_management_handbook() -> None:
    """812 hours at 75 %: 203 hours less at unit 2, 120 at unit 100, 30 less at 200.

    The first 250 units take 34,170 hours in all by the table, 137 on average.
    """
    first, second, hundredth, later = unit_time(812, [1, 2, 100, 200], 0.75)
    assert round(first - second) == 203
    assert round(hundredth) == 120
    assert round(hundredth - later) == 30
    total = unit_total(812, 250, 0.75)
    assert total == pytest.approx(34_170, abs=5)
    assert round(total / 250) == 137


def test_first_unit_from_a_target() -> None:
    """A 100th unit of 120 hours at 75 % means a first of about 812, as the table has.

    The text calls it approximate agreement.
    """
    assert 120 / unit_time(1, 100, 0.75) == pytest.approx(812, rel=0.001)
