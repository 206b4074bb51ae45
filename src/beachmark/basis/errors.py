"""One family of errors; each fault names the place, what is wrong there and what is allowed."""

from __future__ import annotations

from dataclasses import asdict, dataclass


@dataclass(frozen=True)
class Fault:
    """One thing wrong in one place of an input."""

    where: str  # file, form or argument
    field: str  # the field as the person sees it, for example `vehicle.axle.ratio`
    wrong: str  # what is wrong, naming the value
    allowed: str = ""  # what would be accepted
    line: int | None = None

    def __str__(self) -> str:
        place = self.where if self.line is None else f"{self.where}, line {self.line}"
        field = f", {self.field}" if self.field else ""
        allowed = f" Allowed: {self.allowed}." if self.allowed else ""
        return f"{place}{field}: {self.wrong}.{allowed}"

    def as_json(self) -> dict[str, str | int | None]:
        """The fault as a plain object with stable keys."""
        return asdict(self)


class BeachmarkError(Exception):
    """Something that a user can understand and mend; never shown as a traceback."""


class InputError(BeachmarkError):
    """Input that cannot be taken; carries every fault that was found, not only the first."""

    def __init__(self, faults: list[Fault]):
        self.faults = faults
        super().__init__("\n".join(str(fault) for fault in faults))


class NotFoundError(BeachmarkError):
    """The thing asked for is not there."""


def refuse(where: str, field: str, wrong: str, allowed: str = "", line: int | None = None) -> InputError:
    """Build an `InputError` with one fault, ready to be raised."""
    return InputError([Fault(where=where, field=field, wrong=wrong, allowed=allowed, line=line)])
