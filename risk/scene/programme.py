"""Linear programmes, solved by HiGHS: where rows and places are the least of a sum of wishes.

HiGHS is called through its own binding; the same solver through scipy takes four times as long
to import as a drawing takes to be made.
"""

from __future__ import annotations

from highspy import Highs, HighsLp, HighsModelStatus, MatrixFormat, kHighsInf

#: Terms of a sum: (variable, factor).
Terms = list[tuple[int, float]]


class _Quiet(Highs):
    """HiGHS without the line about itself that it prints as soon as it is made."""

    def __init__(self) -> None:
        super().__init__()  # type: ignore[no-untyped-call]
        self.setOptionValue("output_flag", False)

    def enableCallbacks(self) -> None:  # noqa: N802 - the first thing that it does
        self.setOptionValue("output_flag", False)
        super().enableCallbacks()  # type: ignore[no-untyped-call]


class Programme:
    """A linear programme under construction: variables with a cost, and sums with a bound."""

    def __init__(self) -> None:
        self.cost: list[float] = []
        self._least: list[float] = []
        self._most: list[float] = []
        self._equal: list[bool] = []
        self._starts: list[int] = [0]
        self._columns: list[int] = []
        self._factors: list[float] = []

    def variable(self, cost: float = 0.0, least: float = 0.0) -> int:
        """Add a variable that is at least so much, at this cost a unit, and return its number."""
        self.cost.append(cost)
        self._least.append(least)
        return len(self.cost) - 1

    def at_most(self, terms: Terms, bound: float) -> None:
        """Demand that the sum of the terms is at most `bound`."""
        self._sum(terms, bound, equal=False)

    def equals_to(self, terms: Terms, value: float) -> None:
        """Demand that the sum of the terms is `value`."""
        self._sum(terms, value, equal=True)

    def distance(self, terms: Terms, weight: float, target: float = 0.0) -> None:
        """Add weight * |sum of terms - target| to the cost."""
        gap = self.variable(weight)
        self.at_most([*terms, (gap, -1.0)], target)
        self.at_most([*((c, -v) for c, v in terms), (gap, -1.0)], -target)

    def beyond(self, terms: Terms, weight: float, bound: float) -> None:
        """Add weight * (sum of terms - bound) to the cost, where that is positive."""
        self.at_most([*terms, (self.variable(weight), -1.0)], bound)

    def _sum(self, terms: Terms, bound: float, *, equal: bool) -> None:
        factors: dict[int, float] = {}
        for column, factor in terms:  # HiGHS takes a variable once in a sum
            factors[column] = factors.get(column, 0.0) + factor
        self._columns += factors.keys()
        self._factors += factors.values()
        self._starts.append(len(self._columns))
        self._most.append(bound)
        self._equal.append(equal)

    def solve(self) -> list[float]:
        """Return the variables at which the cost is least; the same for the same programme.

        Raises ValueError where the demands contradict each other or the cost has no least.
        """
        lp = HighsLp()
        lp.num_col_ = lp.a_matrix_.num_col_ = len(self.cost)
        lp.num_row_ = lp.a_matrix_.num_row_ = len(self._most)
        lp.col_cost_ = self.cost
        lp.col_lower_ = self._least
        lp.col_upper_ = [kHighsInf] * len(self.cost)
        lp.row_lower_ = [
            bound if equal else -kHighsInf
            for bound, equal in zip(self._most, self._equal, strict=True)
        ]
        lp.row_upper_ = self._most
        lp.a_matrix_.format_ = MatrixFormat.kRowwise
        lp.a_matrix_.start_ = self._starts
        lp.a_matrix_.index_ = self._columns
        lp.a_matrix_.value_ = self._factors
        highs = _Quiet()
        # One way through, whatever the machine.  The number of threads is left alone: HiGHS
        # refuses one that differs from what the same process has used before.
        highs.setOptionValue("parallel", "off")
        highs.setOptionValue("solver", "simplex")
        highs.passModel(lp)
        highs.run()
        if highs.getModelStatus() != HighsModelStatus.kOptimal:
            raise ValueError(f"no least cost: {highs.getModelStatus().name}")
        return list(highs.getSolution().col_value)
