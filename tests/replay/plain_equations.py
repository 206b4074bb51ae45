"""The equations of motion written a second time, one draw, part by part from the data: what the generated text is held
against, here and in tests/references. Joints by ``hooke``, tables by ``numpy.interp``; nothing of the generator is
used."""

import math
from collections.abc import Mapping, Sequence

import numpy as np

from beachmark.mechanics import hooke
from beachmark.mechanics.replay.train import Coupling, Layout


def course(values: Mapping[str, float], name: str, unit: str, time: float) -> float:
    total = values[f"{name}{unit}"]
    for n in (1, 2):
        start, takes = values[f"{name}_ramp_{n}_start_s"], values[f"{name}_ramp_{n}_takes_s"]
        total += np.interp(time, [start, start + takes], [0.0, values[f"{name}_ramp_{n}_change{unit}"]])
    return float(total)


class PlainTrain:
    """Accelerations and rates of the slip states from time, angles, speeds and slip states.

    ``loads`` are those of the last call, by name.
    """

    def __init__(self, layout: Layout, values: Mapping[str, float]) -> None:
        self.layout, self.values = layout, values
        self.loads: dict[str, float] = {}
        self.parts = {
            part.name: {
                name.removeprefix(f"{part.name}."): x for name, x in values.items() if name.startswith(f"{part.name}.")
            }
            for part in (*layout.couplings, *layout.engines)
        }

    def rates(self, time: float, q: Sequence[float], w: Sequence[float], z: Sequence[float]) -> list[float]:
        layout, names = self.layout, self.layout.freedoms
        self.time = time % self.values["repeat_s"] if self.values["repeat_s"] else time
        self.q, self.w = dict(zip(names, q, strict=True)), dict(zip(names, w, strict=True))
        self.pushed = dict.fromkeys(names, 0.0)
        for part in layout.couplings:
            self._coupling(part)
        slip = iter(z)
        slid = [self._clutch(c.name, (c.driving, c.driven), next(slip)) for c in layout.clutches]
        for fluid in layout.converters:
            self._converter(fluid.name, fluid.pump, fluid.turbine, fluid.knots)
        slid += [self._tyre(tyre.name, tyre.wheel, next(slip)) for tyre in layout.tyres]
        for engine in layout.engines:
            self._engine(engine.name, engine.station, engine.knots)
        for torque in layout.outer_torques:
            self.pushed[torque.station] += course(self.values, f"{torque.name}.torque", "_nm", self.time)
        for station in layout.stations:
            if station.dragged:
                self.pushed[station.name] -= self.values[f"{station.name}.drag_nm_s_rad"] * self.w[station.name]
        slid += [self._vehicle(next(slip))] if layout.vehicle else []
        return [*w, *(self.pushed[name] / self._mass(name) for name in names), *slid]

    def _mass(self, name: str) -> float:
        vehicle = self.layout.vehicle is not None and name == self.layout.vehicle.name
        return self.values[f"{name}.mass_kg" if vehicle else f"{name}.inertia_kg_m2"]

    def _coupling(self, part: Coupling) -> None:
        v = self.parts[part.name]
        gear = v.get("ratio", 1.0)
        angle, ratio = self.q[part.driving] / gear, 1 / gear
        if part.jointed:
            ratio *= hooke.speed_ratio(angle_rad=v["angle_rad"], drive_angle_rad=angle + v["yoke_rad"])
            turned = hooke.driven_angle(angle_rad=v["angle_rad"], drive_angle_rad=angle + v["yoke_rad"])
            angle = turned - v["yoke_rad"]
        shares = [1.0] if len(part.driven) == 1 else [v["first_share"], 1 - v["first_share"]]
        twist = angle - sum(s * self.q[name] for s, name in zip(shares, part.driven, strict=True))
        rate = ratio * self.w[part.driving] - sum(s * self.w[name] for s, name in zip(shares, part.driven, strict=True))
        damped = v["spring_time_s"] * rate
        if part.lash:
            twist = math.copysign(max(abs(twist) - v["half_gap_rad"], 0.0), twist)
            damped *= min(1.0, 2000 * abs(twist))
        torque = v["stiffness_nm_rad"] * (twist + damped)
        if part.lash and torque * twist <= 0:
            torque = 0.0
        self.loads[part.name] = torque
        self.pushed[part.driving] -= ratio * torque
        for share, name in zip(shares, part.driven, strict=True):
            self.pushed[name] += share * torque

    def _clutch(self, name: str, ends: tuple[str, str | None], slid: float) -> float:
        stiffness, damping = self.values[f"{name}.stiffness_nm_rad"], self.values[f"{name}.damping_nm_s_rad"]
        speed = self.w[ends[0]] - (self.w[ends[1]] if ends[1] else 0.0)
        capacity = course(self.values, f"{name}.capacity", "_nm", self.time)
        torque = float(np.clip(stiffness * slid + damping * speed, -capacity, capacity))
        self.loads[name] = torque
        self.pushed[ends[0]] -= torque
        if ends[1]:
            self.pushed[ends[1]] += torque
        return (torque - stiffness * slid) / damping

    def _converter(self, name: str, pump: str, turbine: str, knots: int) -> None:
        at, capacity, gain = (
            [self.values[f"{name}.{quantity}_{n}"] for n in range(knots)]
            for quantity in ("speed_ratio", "capacity_nm_s2_rad2", "torque_ratio")
        )
        ratio = self.w[turbine] / max(abs(self.w[pump]), 1.0)
        taken = float(np.interp(ratio, at, capacity)) * self.w[pump] * abs(self.w[pump])
        self.pushed[pump] -= taken
        self.loads[name] = float(np.interp(ratio, at, gain)) * taken
        self.pushed[turbine] += self.loads[name]

    def _tyre(self, name: str, wheel: str, bent: float) -> float:
        v, vehicle = self.values, self.layout.vehicle
        assert vehicle is not None
        slip = v[f"{name}.radius_m"] * self.w[wheel] - self.w[vehicle.name]
        friction = course(v, f"{name}.friction", "", self.time)
        share, fast = v[f"{name}.slide_share"], (slip / v[f"{name}.slide_speed_m_s"]) ** 2
        sliding = friction * (share + (1 - share) / (1 + fast))
        rolled = v[f"{name}.rolling_per_m"] * abs(self.w[vehicle.name])
        growth = slip - (v[f"{name}.stiffness_per_m"] * abs(slip) / sliding + rolled) * bent
        grip = v[f"{name}.stiffness_per_m"] * bent + v[f"{name}.damping_s_m"] * growth
        force = v[f"{name}.load_n"] * float(np.clip(grip, -1.15 * friction, 1.15 * friction))
        self.loads[name] = force
        self.pushed[wheel] -= v[f"{name}.radius_m"] * force
        self.pushed[vehicle.name] += force
        return growth

    def _engine(self, name: str, station: str, knots: int) -> None:
        v, speed = self.parts[name], self.w[station]
        at, of = ([v[f"{q}_{n}"] for n in range(knots)] for q in ("speed_rad_s", "full_load_nm"))
        full = np.interp(speed, at, of)
        fuel = np.interp(speed, [v["governed_rad_s"], v["governed_rad_s"] + v["governor_band_rad_s"]], [1.0, 0.0])
        idle = np.clip(v["idle_gain_nm_s_rad"] * (v["idle_rad_s"] - speed), 0, v["idle_greatest_nm"])
        fired = course(self.values, f"{name}.throttle", "", self.time) * full * fuel + idle * np.clip(speed / 10, 0, 1)
        self.pushed[station] += float(fired - v["drag_nm"] * np.clip(speed / 10, -1, 1) - v["drag_nm_s_rad"] * speed)

    def _vehicle(self, slid: float) -> float:
        vehicle, v = self.layout.vehicle, self.values
        assert vehicle is not None
        name = vehicle.name
        hole = (self.q[name] - v[f"{name}.hole_place_m"]) / v[f"{name}.hole_length_m"]
        kerb = abs(self.q[name] - v[f"{name}.kerb_place_m"]) / v[f"{name}.kerb_length_m"]
        self.pushed[name] -= v[f"{name}.mass_kg"] * 9.80665 * math.sin(v[f"{name}.grade_rad"])
        self.pushed[name] -= v[f"{name}.hole_n"] * 1.5 * 3**0.5 * hole * max(0.0, 1 - hole**2) + v[
            f"{name}.kerb_n"
        ] * max(0.0, 1 - kerb)
        stiffness, damping = v[f"{name}.brake_stiffness_n_m"], v[f"{name}.brake_damping_n_s_m"]
        most = course(v, f"{name}.brake", "_n", self.time)
        force = float(np.clip(stiffness * slid + damping * self.w[name], -most, most))
        self.pushed[name] -= force
        return (force - stiffness * slid) / damping
