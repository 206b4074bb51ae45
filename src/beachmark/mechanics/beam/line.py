"""What a driveline is in bending: shafts of tube sections, joints, supports, and masses."""

import math
from dataclasses import dataclass

from beachmark.mechanics import _domain
from beachmark.mechanics._constants import STEEL_DENSITY_KG_M3, STEEL_YOUNGS_PA

_STEEL_POISSON = 0.3
SAME_PLACE = 1e-5  # of a shaft's length: two places closer than this are one; shorter elements spoil the sums


def cowper_shear_coefficient(*, outer_m: float, inner_m: float, poisson: float = _STEEL_POISSON) -> float:
    """Share of a round section that carries shear as if evenly spread (Timoshenko's coefficient).

    Formula: 6 (1 + v) (1 + r^2)^2 / ((7 + 6 v) (1 + r^2)^2 + (20 + 12 v) r^2), with r = d / D.
    Units: m, Poisson's number without unit; result without unit (none).
    Range: 0 <= d < D, 0 <= v <= 0.5.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Cowper, The shear coefficient in Timoshenko's beam theory, J. Appl. Mech. 33 (1966), pp. 335-340 (from
    memory).

    >>> round(cowper_shear_coefficient(outer_m=0.05, inner_m=0.0), 4)
    0.8864
    """
    _domain.ring(outer_m=outer_m, inner_m=inner_m)
    _domain.between(0.0, 0.5, "from 0 to 0.5", poisson=poisson)
    bore = (inner_m / outer_m) ** 2
    square = (1 + bore) ** 2
    return 6 * (1 + poisson) * square / ((7 + 6 * poisson) * square + (20 + 12 * poisson) * bore)


@dataclass(frozen=True, kw_only=True)
class Section:
    """A piece of shaft of one round section: diameters and length [m], E [Pa], density [kg/m^3]."""

    outer_m: float
    inner_m: float
    length_m: float
    youngs_pa: float = STEEL_YOUNGS_PA
    density_kg_m3: float = STEEL_DENSITY_KG_M3
    poisson: float = _STEEL_POISSON

    def __post_init__(self) -> None:
        _domain.ring(outer_m=self.outer_m, inner_m=self.inner_m)
        _domain.positive(length_m=self.length_m, youngs_pa=self.youngs_pa, density_kg_m3=self.density_kg_m3)
        _domain.between(0.0, 0.5, "from 0 to 0.5", poisson=self.poisson)

    @property
    def area_m2(self) -> float:
        """Cross-section of the metal [m^2]."""
        return math.pi / 4 * (self.outer_m**2 - self.inner_m**2)

    @property
    def second_moment_m4(self) -> float:
        """Second moment of area about a diameter [m^4]."""
        return math.pi / 64 * (self.outer_m**4 - self.inner_m**4)

    @property
    def shear_rigidity_n(self) -> float:
        """Shear stiffness kappa G A [N] with Cowper's coefficient."""
        kappa = cowper_shear_coefficient(outer_m=self.outer_m, inner_m=self.inner_m, poisson=self.poisson)
        return kappa * self.youngs_pa / (2 * (1 + self.poisson)) * self.area_m2


@dataclass(frozen=True, kw_only=True)
class PointMass:
    """A yoke, slip member or flange that turns with a shaft: mass [kg] and its inertias [kg m^2].

    ``position_m`` counts from the shaft's front joint. The transverse inertia is about a diameter, the polar
    one about the axis of spin. A mass at a joint tilts with the shaft that is named.
    """

    shaft: int
    position_m: float
    mass_kg: float
    transverse_inertia_kg_m2: float = 0.0
    polar_inertia_kg_m2: float = 0.0

    def __post_init__(self) -> None:
        _domain.non_negative(
            position_m=self.position_m,
            mass_kg=self.mass_kg,
            transverse_inertia_kg_m2=self.transverse_inertia_kg_m2,
            polar_inertia_kg_m2=self.polar_inertia_kg_m2,
        )


@dataclass(frozen=True, kw_only=True)
class Spring:
    """A support: radial stiffness [N/m], stiffness against tilt [N m/rad], mass [kg] that moves but does not spin.

    ``math.inf`` as a stiffness is a rigid pin (radial) or a clamp (angular). The same in every radial direction.
    """

    shaft: int
    position_m: float
    radial_n_m: float
    angular_nm_rad: float = 0.0
    mass_kg: float = 0.0

    def __post_init__(self) -> None:
        _domain.non_negative(position_m=self.position_m, mass_kg=self.mass_kg)
        stiffness = {"radial_n_m": self.radial_n_m, "angular_nm_rad": self.angular_nm_rad}
        for name, value in stiffness.items():
            if not value >= 0:  # written so that "not a number" is refused as well
                raise ValueError(f"{name} is {value:g}; it must be 0 or greater (math.inf is rigid).")


@dataclass(frozen=True, kw_only=True)
class BeamLine:
    """Shafts in order from the front; neighbours meet in a joint, which holds them together but carries no moment.

    ``elements_per_shaft`` is the least number of beam elements of a shaft; every end of a section, mass and
    support gets its own node besides.
    """

    shafts: tuple[tuple[Section, ...], ...]
    supports: tuple[Spring, ...] = ()
    masses: tuple[PointMass, ...] = ()
    elements_per_shaft: int = 12

    def __post_init__(self) -> None:
        _domain.between(1, 200, "from 1 to 200", elements_per_shaft=self.elements_per_shaft)
        if not self.shafts or not all(self.shafts):
            raise ValueError("shafts has an empty place; it must hold at least one shaft of at least one section.")
        for shaft, sections in enumerate(self.shafts):
            least = SAME_PLACE * self.length_of(shaft)
            lengths = [section.length_m for section in sections]
            _domain.between(least, math.inf, f"at least {SAME_PLACE:g} of the shaft's length", length_m=lengths)
        for item in self.attached:
            _domain.between(0, len(self.shafts) - 1, f"from 0 to {len(self.shafts) - 1}", shaft=item.shaft)
            length = self.length_of(item.shaft)
            longest = length * (1 + SAME_PLACE)
            _domain.between(0.0, longest, f"from 0 to the shaft's length ({length:g})", position_m=item.position_m)

    @property
    def attached(self) -> tuple[Spring | PointMass, ...]:
        """Everything that sits at a place of a shaft."""
        return (*self.supports, *self.masses)

    def length_of(self, shaft: int) -> float:
        """Return the length of a shaft from joint to joint [m]."""
        return sum(section.length_m for section in self.shafts[shaft])
