"""The charts of a report as Vega-Lite specifications: plain dicts, the same for screen and paper."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache, lru_cache
from importlib import resources

from beachmark.cases.assessment import Assessment
from beachmark.findings.curves import hard_use_peak, ratio_curves, twist_curves, whirl_curves
from beachmark.findings.ride_height import ride_curves
from beachmark.knowledge.model import Knowledge
from beachmark.report.charts.excitation import excitation_figure
from beachmark.report.charts.ratio import ratio_figure
from beachmark.report.charts.replay import replay_loads
from beachmark.report.charts.ride import ride_figure
from beachmark.report.charts.speed import speed_figure
from beachmark.report.charts.torque import torque_figure
from beachmark.report.charts.twist import twist_figure
from beachmark.report.charts.whirl import whirl_figure
from beachmark.report.document import ReportContent
from beachmark.report.look import Spec
from beachmark.report.weights import weights_figure
from beachmark.report.words import Units

# in the order in which a report shows them
CAPTIONS: Mapping[str, str] = {
    "driveline": "The driveline in side view and plan view: what is known of it and what was recorded on it.",
    "torque": (
        "Torque that can reach the driveline (solid) against the torque at which each part first yields (outlined), "
        "the weakest heavy; the rating of needles stands with the bearings. Dashed: cap of a steady pull; pale band: "
        "peak of hard use."
    ),
    "replay_loads": (
        "Greatest load in each event over the torque at which each part first yields, from the gearbox rearward. A bar "
        "holds nine draws in ten, its notch is the middle; hollow and dashed: assumed strength. The likeliest events "
        "are numbered; the thin line spans all others, with a notch for the middle of each."
    ),
    "ratio": (
        "Speed of each shaft and of the pinion over that of the gearbox output during one turn of it, by the exact "
        "motion of the joints at nominal angles, with least and greatest value."
    ),
    "excitation": (
        "Torsional excitation of the driven end against shaft speed, with the limits that it is held against."
    ),
    "ride": (
        "Angle of each joint from droop to bump, with the least and the large angle; below it, where a speed is known, "
        "the torsional excitation with its limit and the band in which practice disputes it."
    ),
    "whirl": (
        "Whirl of the whole driveline over shaft speed at nominal inputs, forward solid and backward dashed. A ring "
        "marks where an excitation once or twice a turn meets a whirl, a heavy ring the lowest that bends the line; "
        "upright lines are speeds that are reached."
    ),
    "speed": (
        "Shaft speeds (solid) against the bending critical speed (outlined). Real ends and joint masses lower the "
        "critical speed by 5 to 35 percent."
    ),
    "twist": (
        "Greatest torque swing in any shaft, zero to peak, over shaft speed in the highest gear at nominal inputs: by "
        "the angles of the joints (solid) and, at full engine torque, by the engine's firing order (dashed). Upright "
        "lines mark where each meets a natural frequency of the train in twist."
    ),
    "weights": (
        "What speaks for (right) and against (left) the first cause and its two best rivals. Outlined bars tell the "
        "same story as a stronger item and are not counted again."
    ),
}


def report_figures(
    assessment: Assessment, knowledge: Knowledge, content: ReportContent, *, units: str = "metric"
) -> dict[str, Spec]:
    """Every chart that the case has numbers for, by the keys of `CAPTIONS`; its `description` tells its numbers.

    Raises `InputError` when `units` is not known.
    """
    shown = Units(units)
    sums, vehicle, train = assessment.sums, assessment.case.vehicle, assessment.train
    replay = assessment.replay
    made = {
        "torque": torque_figure(sums, hard_use_peak(knowledge, vehicle), shown),
        "ratio": ratio_figure(ratio_curves(knowledge, train)),
        "excitation": excitation_figure(assessment, knowledge),
        "ride": ride_figure(ride_curves(knowledge, vehicle, train), knowledge, shown),
        "whirl": whirl_figure(whirl_curves(knowledge, vehicle, train), sums),
        "speed": speed_figure(sums, shown),
        "twist": twist_figure(twist_curves(knowledge, vehicle, train), shown),
        "replay_loads": replay_loads(replay) if replay and not replay.stale else {},
        "weights": weights_figure(assessment.opinion, content, CAPTIONS["weights"]),
    }
    if made["whirl"]:
        made["speed"] = {}  # the speed diagram says more; the bars stand in where no whole line is known
    return {key: spec for key, spec in made.items() if spec}


def figure_svg(spec: Spec) -> str:
    """A chart as SVG text with letters in the report's font; the same specification is drawn once."""
    return _rendered(json.dumps(spec, sort_keys=True))


@lru_cache(maxsize=128)
def _rendered(spec: str) -> str:
    _register_fonts()
    import vl_convert  # late: it starts a JavaScript engine

    return str(vl_convert.vegalite_to_svg(spec, allowed_base_urls=[]))


@cache
def _register_fonts() -> None:
    import vl_convert

    vl_convert.register_font_directory(str(resources.files("beachmark.report") / "fonts"))
