"""One sound call of every public function of mechanics.life_data."""

from typing import Any

from beachmark.mechanics.life_data import WeibullLife

AGES = {"failures": [54.0, 187.0, 216.0], "survivors": [500.0, 510.0]}
CALLS: dict[str, dict[str, Any]] = {
    "life_data.mean_repairs": {"events": [[5.0, 10.0], [6.0]], "ends": [17.0, 19.0]},
    "life_data.median_ranks": {"count": 6},
    "life_data.weibull_by_likelihood": AGES,
    "life_data.weibull_by_ranks": {"failures": [16.0, 34.0, 53.0]},
    "life_data.weibull_log_likelihood": {"life": WeibullLife(scale=400.0, shape=1.5), **AGES},
}
# Ages come in any one unit, hours, km or cycles, and go out in the same.
WITHOUT_UNIT = {"count", "ends", "events", "failures", "life", "survivors"}
