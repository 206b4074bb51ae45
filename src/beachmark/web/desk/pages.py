"""What the desk shows."""

from __future__ import annotations

from dataclasses import dataclass, field

from beachmark.basis.errors import BeachmarkError, Fault
from beachmark.web.house import House
from beachmark.workflow.pages import CaseLine, Opinion, capital, is_settled

ON_A_PAGE = 25


@dataclass(frozen=True)
class CaseRow:
    """One case in the list."""

    number: int
    title: str
    reference: str
    finding: str
    strength: str
    open_gates: int
    changed: str


@dataclass(frozen=True)
class DeskPage:
    """The list of cases with the two ways to make one."""

    rows: tuple[CaseRow, ...]
    stored: int
    search: str
    sheet: int
    sheets: int
    typed: dict[str, str] = field(default_factory=dict)
    faults: tuple[Fault, ...] = ()
    faulty: str = ""  # new, import


def desk_page(
    house: House,
    *,
    search: str = "",
    sheet: int = 1,
    typed: dict[str, str] | None = None,
    faults: tuple[Fault, ...] = (),
    faulty: str = "",
) -> DeskPage:
    """The desk: the newest change first, one sheet of it."""
    every = house.store.list()
    wanted = search.casefold()
    lines = [line for line in every if wanted in f"{line.number} {line.title} {line.reference}".casefold()]
    lines.sort(key=lambda line: (line.changed, line.number), reverse=True)
    sheets = max(1, -(-len(lines) // ON_A_PAGE))
    sheet = min(max(sheet, 1), sheets)
    shown = lines[(sheet - 1) * ON_A_PAGE : sheet * ON_A_PAGE]
    rows = tuple(_row(house, line) for line in shown)
    return DeskPage(rows, len(every), search, sheet, sheets, typed or {}, faults, faulty)


def _row(house: House, line: CaseLine) -> CaseRow:
    number = line.number
    try:
        worked = house.at(number, line.revision)
    except BeachmarkError as error:
        # one case that cannot be read must not take the desk with it
        words = f"Cannot be read: {str(error).splitlines()[0][:160]}"
        return CaseRow(number, line.title, line.reference, words, "", 0, line.changed)
    case, opinion = worked.loaded.case, worked.assessment.opinion
    return CaseRow(
        number=number,
        title=case.title,
        reference=case.reference,
        finding=_finding(opinion),
        strength=opinion.first_failure.strength.word if is_settled(opinion) else "",
        open_gates=sum(not gate.answered for gate in opinion.gates),
        changed=worked.loaded.changed,
    )


def _finding(opinion: Opinion) -> str:
    if not opinion.items:
        return "Nothing recorded yet"
    return capital(opinion.first_failure.words) if is_settled(opinion) else "No cause leads yet"


def desk_object(page: DeskPage) -> dict[str, object]:
    """The JSON twin of the desk."""
    rows = [
        {
            "number": row.number,
            "title": row.title,
            "reference": row.reference,
            "first_failure": row.finding if row.strength else None,
            "strength": row.strength or None,
            "open_gates": row.open_gates,
            "changed": row.changed,
        }
        for row in page.rows
    ]
    return {
        "object": "beachmark.desk",
        "version": 1,
        "stored": page.stored,
        "sheet": page.sheet,
        "sheets": page.sheets,
        "cases": rows,
    }
