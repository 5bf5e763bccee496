"""Crosses as the JSON objects that the contract fixes: fractions as text, counts as numbers."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from risk.teaching.counts import Fit, Simulation
from risk.teaching.cross import Offspring
from risk.teaching.crossing import Cross
from risk.teaching.generations import Generation
from risk.teaching.testcross import ParentChances


def cross_json(cross: Cross) -> dict[str, Any]:
    """Return what ``cross MOTHER FATHER --json`` prints; keys not asked for are left out."""
    square = cross.square
    value: dict[str, Any] = {
        "rows": list(square.rows),
        "columns": list(square.columns),
        "cells": [list(row) for row in square.cells],
        **({"affected": square.gene.affected} if square.by_sex else {}),
        **_offspring(square),
    }
    if cross.generations:
        value["generations"] = [_generation(each) for each in cross.generations]
    if cross.reciprocal:
        other, generations = cross.reciprocal
        value["reciprocal"] = {
            "mother": other.mother,
            "father": other.father,
            "generations": [_generation(each) for each in generations],
        }
    if cross.simulation:
        value["simulated"] = _simulated(cross.simulation)
    if cross.fit:
        value["goodness_of_fit"] = _fit(cross.fit, cross.square.by_sex)
    return value


def parent_json(chances: ParentChances) -> dict[str, str]:
    """Return what ``cross --test D:R --json`` prints."""
    return {
        "heterozygous": str(chances.heterozygous),
        "homozygous_dominant": str(chances.homozygous_dominant),
    }


def _shares(shares: Mapping[Any, Fraction]) -> dict[str, str]:
    return {kind: str(share) for kind, share in shares.items()}


def _offspring(each: Offspring) -> dict[str, Any]:
    if not each.by_sex:
        return {"genotypes": _shares(each.genotypes), "phenotypes": _shares(each.phenotypes)}
    return {
        child: {
            "genotypes": _shares(brood.genotypes),
            "phenotypes": _shares(brood.phenotypes),
            "affected": str(brood.affected),
            "carriers": str(brood.carriers),
        }
        for child, brood in each.broods.items()
    }


def _generation(each: Generation) -> dict[str, Any]:
    value: dict[str, Any] = {"name": each.name, **_offspring(each)}
    if each.inbreeding is not None:
        if not each.by_sex:
            value["homozygous"] = str(each.homozygous)
        value["inbreeding"] = str(each.inbreeding)
    if each.recurrent_share is not None:
        value["recurrent_share"] = str(each.recurrent_share)
    return value


def _simulated(drawn: Simulation) -> dict[str, Any]:
    return {
        "genotypes": dict(drawn.genotypes),
        "phenotypes": dict(drawn.phenotypes),
        "dominant_by_chance": [drawn.low, drawn.high],
    }


def _fit(fit: Fit, by_sex: bool) -> dict[str, Any]:
    value: dict[str, Any] = {
        "chi_square": fit.chi_square,
        "degrees_of_freedom": fit.degrees_of_freedom,
        "p": fit.p,
    }
    if fit.small:
        value["small_counts"] = True
        if not by_sex:
            value["exact_p"] = fit.exact_p
    return value
