"""Invented names for practice cases: people of the Lantern Isles and conditions that nobody has."""

from __future__ import annotations

from collections.abc import Mapping

from risk.case.model import Inheritance, Sex

PEOPLE: Mapping[Sex, tuple[str, ...]] = {
    "female": (
        "Adela", "Alva", "Asa", "Brisa", "Calla", "Dagny", "Edda", "Elka", "Fenna", "Freya",
        "Gerda", "Halla", "Ilse", "Ingra", "Jorun", "Kaia", "Katla", "Lisbet", "Lova", "Maren",
        "Minna", "Nella", "Odile", "Orla", "Petra", "Ragna", "Runa", "Selma", "Signy", "Silja",
        "Solva", "Svea", "Tilda", "Torild", "Tova", "Ulla", "Vesna", "Wenke", "Ylva", "Zelda",
    ),
    "male": (
        "Aksel", "Anders", "Arvid", "Birk", "Bero", "Darin", "Eskil", "Evald", "Falk", "Finn",
        "Gorm", "Hale", "Hauke", "Ivar", "Ivo", "Jarl", "Jorn", "Kasper", "Kell", "Leif", "Ludo",
        "Magne", "Nico", "Njal", "Olaf", "Orin", "Perrin", "Rurik", "Sander", "Silas", "Sten",
        "Tarn", "Tor", "Ulf", "Vidar", "Viggo", "Wim", "Wolmar", "Yorick", "Zeno",
    ),
    "unknown": ("Bo", "Eli", "Kim", "Lou", "Noa", "Robin", "Sasha", "Toni"),
}  # fmt: skip

CONDITIONS: Mapping[Inheritance, tuple[str, ...]] = {
    "autosomal_recessive": (
        "Saltglass disease", "Harbour fever", "Brinewater deficiency", "Kelp anaemia",
        "Palefoam disease", "Tidemark deficiency",
    ),
    "autosomal_dominant": (
        "Lantern tremor", "Driftwood ataxia", "Ropeweaver's hand", "Foghorn deafness",
        "Netmaker's palsy", "Beacon syndrome",
    ),
    "x_linked_recessive": (
        "Oarsman's weakness", "Gull blindness", "Anchorman's bleeding", "Skipper's myopathy",
        "Bollard disease", "Moorline weakness",
    ),
    "x_linked_dominant": ("Coral skin", "Seaglass teeth", "Marram rickets"),
}  # fmt: skip
