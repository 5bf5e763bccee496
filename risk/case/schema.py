"""The keys of a case file as data: one declaration that reads, checks and documents them.

Each key is declared once with its shape and its meaning.  From that come the validator that
builds the frozen records of `risk.case.model` (`validator`), the published JSON Schema
(`json_schema`, ``python -m risk.case.schema``) and the names that error messages offer.

The declaration is a core schema of pydantic: the fast part of that library, without its
models, which would double the start-up time of the command line.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any, get_args

from pydantic_core import SchemaValidator, core_schema
from pydantic_core.core_schema import CoreSchema, DataclassField

from risk.case import model
from risk.case.values import (
    FORBIDDEN,
    FORBIDDEN_IN_NOTES,
    LONGEST_ID,
    OLDEST,
    fitness,
    likelihood,
    probability,
    rare_or_probability,
    whole,
    years,
)

#: Most people, questions or couples in one file; far beyond any family, but not beyond memory.
MOST_ITEMS = 200_000
#: Most children one question may ask about, and most siblings one `count` may stand for.
MOST_CHILDREN = 1000

_RATE_TEXT = (
    r"^\s*[+-]?[0-9.]+([eE][+-]?[0-9]+)?\s*(%|(/|\s+in\s+)\s*[0-9.]+([eE][+-]?[0-9]+)?)?\s*$"
)


# Shapes -------------------------------------------------------------------------------------


def _number(read: Callable[[object], Any], published: dict[str, Any]) -> CoreSchema:
    return core_schema.no_info_plain_validator_function(
        read, metadata={"pydantic_js_functions": [lambda _schema, _handler: dict(published)]}
    )


def _rate(minimum: int = 0, maximum: int | None = 1) -> dict[str, Any]:
    bare: dict[str, Any] = {"type": "number", "minimum": minimum}
    if maximum is not None:
        bare["maximum"] = maximum
    return {"anyOf": [bare, {"type": "string", "pattern": _RATE_TEXT}]}


def _integer(least: int, most: int) -> CoreSchema:
    return _number(whole(least, most), {"type": "integer", "minimum": least, "maximum": most})


def _string(forbidden: str = FORBIDDEN, *, least: int = 0, most: int | None = None) -> CoreSchema:
    # The published pattern says the same in a way that does not depend on how a library
    # understands "$" before a final line break.
    return core_schema.str_schema(
        strict=True,
        pattern=f"^[^{forbidden}]*$",
        min_length=least or None,
        max_length=most,
        metadata={"pydantic_js_updates": {"pattern": f"^(?![\\s\\S]*[{forbidden}])"}},
    )


def _one_of(*words: str) -> CoreSchema:
    return core_schema.literal_schema(list(words))


def _list(item: CoreSchema, least: int = 0, most: int = MOST_ITEMS) -> CoreSchema:
    return core_schema.tuple_schema(
        [item], variadic_item_index=0, min_length=least or None, max_length=most
    )


#: Default of a key that must be given.
NEEDED: Any = object()

#: For each record of the model, its keys in documented order: key, field and default.
KEYS: dict[type[Any], list[tuple[str, str, Any]]] = {}


def _key(
    name: str, schema: CoreSchema, meaning: str, *, default: Any = None, field: str | None = None
) -> DataclassField:
    """Declare one key: its name in the file, its shape, its meaning and its default."""
    if default is not NEEDED:
        schema = core_schema.with_default_schema(schema, default=default)
    return core_schema.dataclass_field(
        field or name,
        schema,
        validation_alias=name,
        metadata={"pydantic_js_updates": {"description": meaning}},
    )


def _object(cls: type[Any], meaning: str, *keys: DataclassField) -> CoreSchema:
    KEYS[cls] = [
        (str(key["validation_alias"]), key["name"], key["schema"].get("default", NEEDED))
        for key in keys
    ]
    return core_schema.dataclass_schema(
        cls,
        core_schema.dataclass_args_schema(cls.__name__, list(keys), extra_behavior="forbid"),
        [key["name"] for key in keys],
        slots=True,
        metadata={"pydantic_js_updates": {"description": meaning}},
    )


_PROBABILITY = _number(probability, _rate())
_RARE = _number(rare_or_probability, {"anyOf": [{"const": "rare"}, *_rate()["anyOf"]]})
_FITNESS = _number(
    fitness,
    {"anyOf": [{"type": "number", "minimum": 0, "exclusiveMaximum": 1}, _rate()["anyOf"][1]]},
)
_LIKELIHOOD = _number(likelihood, _rate(0, None))
_YEARS = _number(years, {"type": "number", "minimum": 0, "maximum": OLDEST})
_TEXT = _string()
_NAME = _string(least=1)
_NOTES = _string(FORBIDDEN_IN_NOTES)
_ID = _string(least=1, most=LONGEST_ID)
_FLAG = core_schema.bool_schema(strict=True)
_PAIR = _list(_ID, 2, 2)


def _by_alleles(number: CoreSchema, *, males_on_x: bool = False) -> CoreSchema:
    two = (
        _key("2", number, "with two; a male on the X has no such entry", field="two")
        if males_on_x
        else _key("2", number, "with two disease alleles", field="two", default=NEEDED)
    )
    return _object(
        model.ByAlleles,
        "One number for each number of disease alleles.",
        _key("0", number, "with no disease allele", field="zero", default=NEEDED),
        _key("1", number, "with one disease allele", field="one", default=NEEDED),
        two,
    )


def _by_sex_or_alleles(number: CoreSchema) -> CoreSchema:
    by_sex = _object(
        model.BySex,
        "A table by number of disease alleles for each sex.",
        _key("female", _by_alleles(number), "females", default=NEEDED),
        _key("male", _by_alleles(number, males_on_x=True), "males", default=NEEDED),
    )
    return core_schema.tagged_union_schema(
        {"by alleles": _by_alleles(number), "by sex": by_sex},
        lambda value: (
            "by sex"
            if isinstance(value, dict) and ("female" in value or "male" in value)
            else "by alleles"
        ),
    )


def _results(table: dict[str, model.ByAlleles]) -> tuple[model.ResultLikelihood, ...]:
    return tuple(model.ResultLikelihood(name, row) for name, row in table.items())


# The condition ------------------------------------------------------------------------------

_FREQUENCY = _object(
    model.Frequency,
    "How common the disease allele is in founders: exactly one of these keys.",
    _key("allele", _RARE, 'the disease-allele frequency q, or "rare" for the limit q -> 0'),
    _key(
        "carrier",
        _PROBABILITY,
        "recessive modes only: the chance c that a founder with at most one disease allele has "
        "one, so that q = c/(2-c)",
    ),
    _key("incidence", _PROBABILITY, "of the at-risk genotype at conception (x-linked: in males)"),
    _key(
        "mutation_selection_balance",
        _object(
            model.SelectionBalance,
            "X-linked only: new mutations replace what selection removes.",
            _key("fitness", _FITNESS, "of affected males, at least 0 and below 1", default=NEEDED),
        ),
        "x-linked only: the frequency at which mutation and selection balance",
    ),
)

_MUTATION = _object(
    model.Mutation,
    'New-mutation rates per gamete, normal to disease allele; "rare" for both is the limit 0.',
    _key("maternal", _RARE, "rate in egg cells; default 0"),
    _key("paternal", _RARE, "rate in sperm cells; default 0"),
)

_TEST = _object(
    model.Test,
    "A laboratory test: exactly one of `detects`, `sensitivity` with `specificity`, or "
    "`likelihood`.",
    _key("name", _NAME, "what results refer to", default=NEEDED),
    _key(
        "detects",
        _list(_NAME, 1),
        "variant classes whose alleles it counts without error; results have `found`",
    ),
    _key("sensitivity", _PROBABILITY, "chance of a positive result with a disease allele"),
    _key("specificity", _PROBABILITY, "chance of a negative result without a disease allele"),
    _key(
        "likelihood",
        core_schema.no_info_after_validator_function(
            _results,
            core_schema.dict_schema(
                _NAME, _by_alleles(_LIKELIHOOD), min_length=1, max_length=MOST_ITEMS
            ),
        ),
        "for each named result its chance or density by number of disease alleles",
    ),
)

_CONDITION = _object(
    model.Condition,
    "The condition: its inheritance, its frequency and everything that modifies them.",
    _key("name", _TEXT, "what the condition is called"),
    _key(
        "inheritance",
        _one_of(*get_args(model.Inheritance)),
        "mode of inheritance",
        default=NEEDED,
    ),
    _key("frequency", _FREQUENCY, "how common the disease allele is in founders", default=NEEDED),
    _key("mutation", _MUTATION, "new-mutation rates; default 0"),
    _key(
        "penetrance",
        _by_sex_or_alleles(_PROBABILITY),
        "lifetime chance of being affected by number of disease alleles, or by sex; default: "
        "full penetrance as the inheritance says",
    ),
    _key(
        "onset",
        _list(
            _object(
                model.OnsetPoint,
                "One point of the age-of-onset curve, which is linear between points.",
                _key("age", _YEARS, "in years; ages rise", default=NEEDED),
                _key(
                    "cumulative",
                    _PROBABILITY,
                    "share affected by that age of those who will ever be; never falls",
                    default=NEEDED,
                ),
            ),
            1,
        ),
        "of those who will ever be affected, the share affected by each age",
    ),
    _key(
        "viability",
        _by_sex_or_alleles(_PROBABILITY),
        "chance that a conceptus is born alive, by number of disease alleles, or by sex; default 1",
    ),
    _key(
        "variants",
        _list(
            _object(
                model.Variant,
                "A class of disease allele.",
                _key("name", _NAME, "what tests refer to", default=NEEDED),
                _key(
                    "share", _PROBABILITY, "among disease alleles; shares add to 1", default=NEEDED
                ),
            ),
            1,
        ),
        "classes of disease allele; default one class",
    ),
    _key("tests", _list(_TEST), "laboratory tests that people may have had"),
    _key(
        "germline_mosaicism",
        _object(
            model.Mosaicism,
            "Founders otherwise without the disease allele may carry it in their gametes alone.",
            _key("prior", _PROBABILITY, "chance that such a founder is a mosaic", default=NEEDED),
            _key(
                "gametes",
                _PROBABILITY,
                "share of a mosaic's gametes with the allele",
                default=NEEDED,
            ),
        ),
        "germline mosaicism of founders; default none",
    ),
)

# People, couples, questions -----------------------------------------------------------------

_RESULT = _object(
    model.TestResult,
    "What one test said of one person.",
    _key("test", _NAME, "name of the test", default=NEEDED),
    _key("found", _integer(0, 2), "disease alleles found by a test that `detects` classes"),
    _key("result", _NAME, '"positive", "negative" or a result named by the test'),
)

_TWIN = _object(
    model.Twin,
    "Membership of a twin (triplet, ...) group.",
    _key("group", _NAME, "the same text for all members", default=NEEDED),
    _key(
        "zygosity",
        _one_of("monozygotic", "dizygotic", "unknown"),
        "of the whole group",
        default=NEEDED,
    ),
    _key("monozygotic_chance", _PROBABILITY, "only with unknown zygosity; default 1/2"),
)

_PERSON = _object(
    model.Person,
    "One person of the family, or `count` alike siblings.",
    _key("id", _ID, "unique; the standard numbering II-2 is the habit", default=NEEDED),
    _key("name", _TEXT, "label for the drawing: an alias, never a real person's name"),
    _key("sex", _one_of("female", "male", "unknown"), "sex assigned at birth", default="unknown"),
    _key("gender", _one_of("woman", "man", "nonbinary"), "drawing only; default follows sex"),
    _key("father", _ID, "id of the genetic father; both parents or neither"),
    _key("mother", _ID, "id of the genetic mother; both parents or neither"),
    _key(
        "affected",
        core_schema.nullable_schema(_FLAG),
        "whether affected; absent or null: not known",
    ),
    _key("age", _YEARS, "in years now, or at death"),
    _key("genotype", _integer(0, 2), "number of disease alleles, where known for certain"),
    _key("tests", _list(_RESULT), "test results", default=()),
    _key(
        "inbreeding",
        _PROBABILITY,
        "founders only: inbreeding coefficient from relatives who are not drawn",
    ),
    _key("count", _integer(2, MOST_CHILDREN), "so many such siblings, each with these facts"),
    _key(
        "status",
        _one_of("alive", "deceased", "pregnancy", "stillbirth", "miscarriage", "termination"),
        "default alive",
        default="alive",
    ),
    _key("twin", _TWIN, "membership of a twin group"),
    _key("adopted", _one_of("in", "out"), "drawing only; parents are always the genetic ones"),
    _key("roles", _list(_one_of("proband", "consultand")), "roles in the counselling", default=()),
    _key("note", _NOTES, "text beside the symbol"),
)

_COUPLE = _object(
    model.Couple,
    "What the people alone do not say about two partners.",
    _key("partners", _PAIR, "two ids", default=NEEDED),
    _key("consanguineous", _FLAG, "whether the partners are related by blood"),
    _key("separated", _FLAG, "whether the partners are separated"),
    _key("childless", _one_of("choice", "infertility"), "why the couple has no children"),
)

_QUESTION = _object(
    model.Question,
    "One question; which keys it takes depends on `ask`.",
    _key("ask", _one_of(*model.QUESTION_KEYS), "what is asked", default=NEEDED),
    _key("person", _ID, "id of the person asked about"),
    _key("parents", _PAIR, "ids of the two parents of the children asked about"),
    _key("people", _PAIR, "ids of the two people asked about"),
    _key("sex", _one_of("female", "male"), "of the child; default either"),
    _key("by_age", _YEARS, "affected by this age; default in the whole life"),
    _key("of", _integer(1, MOST_CHILDREN), "number of children"),
    _key("at_least", _integer(0, MOST_CHILDREN), "at least so many of them are affected"),
    _key("exactly", _integer(0, MOST_CHILDREN), "exactly so many of them are affected"),
)

#: The whole case file.
CASE = _object(
    model.Case,
    "A family, a genetic condition and questions about them.",
    _key("version", _integer(1, 1), "version of this format: 1", default=NEEDED),
    _key("title", _TEXT, "a line that names the case"),
    _key("vignette", _NOTES, "free text: what the family came to ask"),
    _key("condition", _CONDITION, "the condition", default=NEEDED),
    _key("people", _list(_PERSON, 1), "the family", default=NEEDED),
    _key("couples", _list(_COUPLE), "what the people alone do not say", default=()),
    _key("questions", _list(_QUESTION), "what is to be answered", default=()),
)


@cache
def validator() -> SchemaValidator:
    """Return the validator of a whole case, built at its first use."""
    return SchemaValidator(CASE)


def json_schema() -> dict[str, Any]:
    """Return the JSON Schema (2020-12) of a case file: the shapes, without the cross rules.

    It is published as ``docs/case-schema.json``.  Needs the whole of pydantic, which nothing
    else here does.
    """
    from pydantic.json_schema import GenerateJsonSchema

    class Generator(GenerateJsonSchema):
        def field_title_should_be_set(self, schema: Any) -> bool:  # noqa: ARG002 - pydantic calls it
            return False

        def dataclass_args_schema(self, schema: Any) -> dict[str, Any]:
            return {**super().dataclass_args_schema(schema), "additionalProperties": False}

    schema = Generator().generate(CASE, mode="validation")
    return {
        "$schema": GenerateJsonSchema.schema_dialect,
        "title": "Case file of Two-Thirds, version 1",
        "$comment": "Generated by `python -m risk.case.schema`; do not edit.",
        **_bare(schema),
    }


def _bare(schema: Any) -> Any:
    """Leave out the names of our classes, and null as a default, which is no valid value."""
    if isinstance(schema, list):
        return [_bare(item) for item in schema]
    if not isinstance(schema, dict):
        return schema
    return {
        key: _bare(value)
        for key, value in schema.items()
        if not (key == "default" and value is None) and not (key == "title" and type(value) is str)
    }


if __name__ == "__main__":
    import json
    import sys

    sys.stdout.write(json.dumps(json_schema(), indent=2) + "\n")
