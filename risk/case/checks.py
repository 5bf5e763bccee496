from __future__ import annotations
from risk.case.model import Case
from risk.problems import Problem
def check_case(case: Case, *, all_ids: bool = True) -> list[Problem]:
    return []
