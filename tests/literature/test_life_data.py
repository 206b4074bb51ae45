"""Lives of many parts against printed values. The source's own digits; tolerance argued beside each."""

import numpy as np
import pytest

from beachmark.mechanics import life_data

# Hours of 10 failed units of 20; the others were whole at 500 h.
NIST_FAILURES = [54, 187, 216, 240, 244, 335, 361, 373, 375, 386]
NIST_SURVIVORS = [500] * 10
# Million turns to failure of 23 deep-groove ball bearings.
BEARINGS = [
    17.88, 28.92, 33.00, 41.52, 42.12, 45.60, 48.40, 51.84, 51.96, 54.12, 55.56, 67.80, 68.64, 68.64, 68.88, 84.12,
    93.12, 98.64, 105.12, 105.84, 127.92, 128.04, 173.40,
]  # fmt: skip
# Hours of 70 generator fans.
FANS_FAILED = [450, 1150, 1150, 1600, 2070, 2070, 2080, 3100, 3450, 4600, 6100, 8750]
FANS_WHOLE = {
    460: 1, 1560: 1, 1660: 1, 1850: 5, 2030: 3, 2200: 1, 3000: 4, 3200: 1, 3750: 2, 4150: 4, 4300: 4, 4850: 4, 5000: 3,
    6100: 3, 6300: 1, 6450: 2, 6700: 1, 7450: 1, 7800: 2, 8100: 2, 8200: 1, 8500: 3, 8750: 2, 9400: 1, 9900: 1,
    10100: 3, 11500: 1,
}  # fmt: skip
# Days at which valve seats of 41 engines were replaced, and the day up to which each engine was watched.
ENGINES: list[tuple[int, list[int]]] = [
    (761, []), (759, []), (667, [98]), (667, [326, 653, 653]), (665, []), (667, [84]), (663, [87]), (653, [646]),
    (653, [92]), (651, []), (650, [258, 328, 377, 621]), (648, [61, 539]), (644, [254, 276, 298, 640]),
    (642, [76, 538]), (641, [635]), (649, [349, 404, 561]), (631, []), (596, []), (614, [120, 479]),
    (582, [323, 449]), (589, [139, 139]), (593, []), (589, [573]), (606, [165, 408, 604]), (594, [249]),
    (613, [344, 497]), (595, [265, 586]), (389, [166, 206, 348]), (601, []), (601, [410, 581]), (611, []), (608, []),
    (587, []), (603, [367]), (585, [202, 563, 570]), (587, []), (578, []), (578, []), (586, []), (585, []), (582, []),
]  # fmt: skip


def test_weibull_by_likelihood__nist_sematech_handbook_8_4_1_3() -> None:
    """10 of 20 failed by 500 h: scale 606.528 h, shape 1.7208, mean 540.737, deviation 323.806, ln L -75.135.

    Source: NIST/SEMATECH e-Handbook of Statistical Methods, sec. 8.4.1.3, worked example.
    Known: read (the page prints the logarithm of the likelihood without its sign).
    """
    life = life_data.weibull_by_likelihood(failures=NIST_FAILURES, survivors=NIST_SURVIVORS)
    # Half a unit of the last printed digit.
    assert life.scale == pytest.approx(606.528, abs=0.0005)
    assert life.shape == pytest.approx(1.7208, abs=0.00005)
    assert life.mean == pytest.approx(540.737, abs=0.0005)
    assert life.standard_deviation == pytest.approx(323.806, abs=0.0005)
    likelihood = life_data.weibull_log_likelihood(life=life, failures=NIST_FAILURES, survivors=NIST_SURVIVORS)
    assert likelihood == pytest.approx(-75.135, abs=0.0005)


def test_weibull_by_likelihood__lieblein_zelen_1956_ball_bearings() -> None:
    """23 ball bearings: scale 81.875 million turns, shape 2.102.

    Source: Lieblein & Zelen, J. Res. NBS 57 (1956), data; the fit as documented with an open survival library.
    Known: read (in the documentation of that library).
    """
    life = life_data.weibull_by_likelihood(failures=BEARINGS)
    # Half a unit of the last printed digit.
    assert life.scale == pytest.approx(81.875, abs=0.0005)
    assert life.shape == pytest.approx(2.102, abs=0.0005)


def test_weibull_by_likelihood__nelson_1982_p_318_generator_fans() -> None:
    """70 fans of diesel generators, 12 failed: scale 26 297 h, shape 1.0584.

    Source: Nelson, Applied Life Data Analysis (1982), p. 318 (data read in two places).
    Known: from memory (the two numbers of the fit).
    """
    whole = np.repeat(list(FANS_WHOLE), list(FANS_WHOLE.values()))
    assert len(FANS_FAILED) + whole.size == 70
    life = life_data.weibull_by_likelihood(failures=FANS_FAILED, survivors=whole)
    assert life.scale == pytest.approx(26_297, abs=0.5)  # whole hours
    assert life.shape == pytest.approx(1.0584, abs=0.0001)  # four decimals, one unit: 1.05845 rounds either way


def test_median_ranks__table_for_six_parts() -> None:
    """Six parts: 10.91, 26.45, 42.14, 57.86, 73.55, 89.09 %.

    Source: table of median ranks in a public reference on reliability, worked example of Weibull paper.
    Known: read.
    """
    printed = [0.1091, 0.2645, 0.4214, 0.5786, 0.7355, 0.8909]
    # Four printed decimals. The usual shortcut (i - 0.3) / (n + 0.4) gives 0.1094 and does not pass.
    assert life_data.median_ranks(count=6) == pytest.approx(printed, abs=0.0001)


def test_weibull_by_ranks__worked_example_16_to_120_hours() -> None:
    """16, 34, 53, 75, 93 and 120 h on Weibull paper: shape 1.4301, scale 76.318 h.

    Source: the same worked example (data and table of ranks read).
    Known: from memory (the two results).
    """
    life = life_data.weibull_by_ranks(failures=[120, 16, 34, 53, 75, 93])
    # The example goes on from ranks of four digits: 0.01 %.
    assert life.shape == pytest.approx(1.4301, rel=1e-4)
    assert life.scale == pytest.approx(76.318, rel=1e-4)


def test_mean_repairs__worked_example_of_five_systems() -> None:
    """Five systems, the last time of each is its retirement: 0.2 at 5, 1.2 at 13, 2 at 17, 3.667 at 25.

    Source: worked example of recurrent events in a public reference on reliability, as carried in the documentation
    of an open library.
    Known: read.
    """
    systems = [[5, 10, 15, 17], [6, 13, 17, 19], [12, 20, 25, 26], [13, 15, 24], [16, 22, 25, 28]]
    found = life_data.mean_repairs(events=[one[:-1] for one in systems], ends=[one[-1] for one in systems])
    printed = {
        5: 0.2, 6: 0.4, 10: 0.6, 12: 0.8, 13: 1.2, 15: 1.6, 16: 1.8, 17: 2.0, 20: 2.33333, 22: 2.66667, 25: 3.66667,
    }  # fmt: skip
    assert found.ages.tolist() == list(printed)
    assert found.repairs == pytest.approx(list(printed.values()), abs=5e-6)  # five printed decimals


def test_mean_repairs__nelson_1995_valve_seats_of_41_engines() -> None:
    """41 engines, 48 replacements: 0.0244 a piece by day 61, 0.6835 by 404, 1.0597 by 604, 1.5427 by 653.

    Source: Nelson & Doganaksoy (1989), Nelson, Technometrics 37 (1995), valve-seat data (read).
    Known: derived (the mean at four ages, summed beforehand with another program).
    """
    assert len(ENGINES) == 41
    assert sum(len(days) for _, days in ENGINES) == 48
    found = life_data.mean_repairs(events=[days for _, days in ENGINES], ends=[end for end, _ in ENGINES])
    at = dict(zip(found.ages.tolist(), found.repairs.tolist(), strict=True))
    # Four decimals.
    assert [at[61], at[404], at[604], at[653]] == pytest.approx([0.0244, 0.6835, 1.0597, 1.5427], abs=0.00005)
