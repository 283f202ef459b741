"""Names that people write for cables. Sizes and impedances: MIL-C-17 type numbers (from memory), common practice."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from coaxwright.errors import Refusal
from coaxwright.reading.catalogue import Catalogue, build_catalogue
from coaxwright.reading.site_reader import load_site_text

BOATYARD = Path(__file__).parents[2] / "examples" / "boatyard"
COAX_75 = ("59", "6", "11")
OTHER_IMPEDANCE = ("58", "62")  # 50 and 93 ohm: common practice


@pytest.mark.parametrize(
    ("name", "part"),
    [
        ("RG59", "rg59-copper"), ("RG-59", "rg59-copper"), ("RG 59", "rg59-copper"), ("RG-59/U", "rg59-copper"),
        ("rg59u", "rg59-copper"), ("RG59B/U", "rg59-copper"), ("RG-59 CCA", "rg59-cca"), ("RG6", "rg6-copper"),
        ("RG-6/U", "rg6-copper"), ("RG 11", "rg11-copper"), ("RG-58", "rg58"), ("RG58 C/U", "rg58"), ("RG62", "rg62"),
        ("Cat5e UTP", "cat5e"), ("CAT 5E", "cat5e"), ("Cat-6", "cat6"), ("dc 0.75 mm²", "dc-0.75mm2"),
        ("rg59-copper", "rg59-copper"),
    ],
)  # fmt: skip
def test_a_name_of_the_trade_is_a_part(name: str, part: str) -> None:
    catalogue = Catalogue()
    if "²" in name:
        assert catalogue.called(name) == (part,)  # a site file takes ASCII only
    else:
        assert catalogue.full_id(name) == part


@pytest.mark.parametrize("name", ["RG59X", "rg-59 foil", "RG6-tri", "RG11 trunk", "rg59-coper", "RG6 quad", "rg-58 thin"])
def test_what_is_offered_has_the_size_that_was_named(name: str) -> None:
    _, right = Catalogue().unknown(name, "cable")
    offered = re.findall(r"`([^`]+)`", right)
    number = re.search(r"\d+", name)
    assert offered
    assert number is not None
    assert all(re.match(rf"rg{number[0]}(?!\d)", each) for each in offered), right


@pytest.mark.parametrize(
    ("name", "first"),
    [
        ("rg59 coper", "rg59-copper"), ("rg59x", "rg59-copper"), ("rg59 cca x", "rg59-cca"), ("dc 18 awg x", "dc-18awg"),
        ("rg6 ccs quad", "rg6-ccs"),
    ],
)  # fmt: skip
def test_a_like_conductor_comes_first(name: str, first: str) -> None:
    _, right = Catalogue().unknown(name, "cable")
    assert right.startswith(f"did you mean `{first}"), right


@pytest.mark.parametrize(("name", "first"), [("rg95-copper", "rg59-copper"), ("RG-95", "rg59-copper")])
def test_digits_in_another_order_are_offered_where_no_cable_has_that_number(name: str, first: str) -> None:
    _, right = Catalogue().unknown(name, "cable")
    assert right.startswith(f"did you mean `{first}"), right


@pytest.mark.parametrize("name", ["RG60", "RG-213", "0.6mm2", "13 awg", "cat9"])
def test_a_size_that_no_cable_has_offers_no_other(name: str) -> None:
    _, right = Catalogue().unknown(name, "cable")
    assert "did you mean" not in right


@pytest.mark.parametrize(
    "name", ["RG26", "RG-85", "rg 85/u", "R59", "RJ59", "RG559", "RG69", "RG56", "RG-5", "RG61", "RG-16", "cat56", "KX6", "coax"]
)
def test_a_slip_never_leads_to_a_coax_of_another_impedance(name: str) -> None:
    """RG-58 has 50 ohm and RG-62 93 ohm (MIL-C-17 type numbers, from memory); video needs 75 (common practice)."""
    catalogue = Catalogue()
    assert catalogue.called(name) == ()
    _, right = catalogue.unknown(name, "cable")
    offered = [catalogue.part(each) for each in re.findall(r"`([^`]+)`", right) if " " not in each and each != "parts"]
    assert all(each.impedance in (75, 100) for each in offered), right


@pytest.mark.parametrize(
    ("name", "part"),
    [
        ("RG59/U CCA", "rg59-cca"), ("RG-59 U copper-clad aluminium", "rg59-cca"), ("RG6/U CCS", "rg6-ccs"),
        ("RG 11 copper clad steel", "rg11-ccs"), ("RG-59 BC", "rg59-copper"), ("RG6 bare copper", "rg6-copper"),
        ("Cat6 U/UTP CCA", "cat6-cca"), ("RG59 copper clad aluminum", "rg59-cca"),
    ],
)  # fmt: skip
def test_a_name_with_its_conductor_is_the_part_and_no_assumption(name: str, part: str) -> None:
    """Bare copper, copper-clad aluminium and steel as drums print them (common practice)."""
    catalogue = Catalogue()
    assert catalogue.full_id(name) == part
    assert not catalogue.names_a_size(name)


@pytest.mark.parametrize("name", ["RG6 CCA", "RG-11/U CCA", "RG58 CCA", "Cat3 CCA", "RG6 copper clad aluminium"])
def test_a_conductor_that_no_cable_of_that_size_has_is_not_taken_for_another(name: str) -> None:
    _, right = Catalogue().unknown(name, "cable")
    assert "did you mean" not in right
    assert "name size and conductor, as in `rg59-copper`" in right


@pytest.mark.parametrize("name", ["coax", "coax cable", "R59", "KX6", "utp", "twisted pair", "H155"])
def test_a_name_without_a_size_is_told_how_cables_are_named(name: str) -> None:
    _, right = Catalogue().unknown(name, "cable")
    assert right.startswith("name size and conductor, as in `rg59-copper` or `cat5e`")


@pytest.mark.parametrize(
    ("name", "first"), [("RG59 copper clad steel x", "rg59-ccs"), ("RG59 steel", "rg59-ccs"), ("RG59 alu CCA", "rg59-cca")]
)
def test_the_metal_under_the_copper_counts(name: str, first: str) -> None:
    _, right = Catalogue().unknown(name, "cable")
    assert right == f"did you mean `{first}`?"


@pytest.mark.parametrize(
    ("name", "part"),
    [
        ("RG-59 B/U", "rg59-copper"), ("rg_59", "rg59-copper"), ("RG.59/U", "rg59-copper"), ("RG-6 A/U", "rg6-copper"),
        ("RG 11 a/u", "rg11-copper"), ("RG-62 A/U", "rg62"), ("Cat 5 e", "cat5e"), ("CAT-5E U/UTP", "cat5e"), ("cat 6", "cat6"),
    ],
)  # fmt: skip
def test_other_spellings_of_a_name_are_the_same_part(name: str, part: str) -> None:
    assert Catalogue().full_id(name) == part


def test_every_75_ohm_name_leads_to_75_ohm_and_no_other_does() -> None:
    catalogue = Catalogue()
    for number in COAX_75:
        assert catalogue.part(f"RG-{number}").impedance == 75
    for number in OTHER_IMPEDANCE:
        assert catalogue.part(f"RG-{number}").impedance != 75


def test_aliases_of_a_part_file_and_one_name_for_two(tmp_path: Path) -> None:
    file = tmp_path / "p.yaml"
    file.write_text(
        "parts:\n"
        "  a/coax: {kind: cable, source: s, carries: [coax], aliases: [Art. 4711, blue drum]}\n"
        "  a/wire: {kind: cable, source: s, carries: [power], aliases: [blue drum]}\n"
    )
    catalogue = build_catalogue([(file, "p.yaml")])
    assert catalogue.full_id("art-4711") == "a/coax"
    assert not catalogue.names_a_size("art-4711")
    what, right = catalogue.unknown("Blue Drum", "cable")
    assert what == "`Blue Drum` is a name of a/coax and of a/wire"
    assert right == "write the id of one of them"


def test_a_size_alone_is_an_assumption_that_the_report_lists() -> None:
    from coaxwright.checking import check

    text = (BOATYARD / "alder-wharf.site.yaml").read_text().replace("rg59-copper", "RG-59/U")
    report = check(load_site_text(text, "f", BOATYARD))
    plain = check(load_site_text((BOATYARD / "alder-wharf.site.yaml").read_text(), "f", BOATYARD))
    said = [each for each in report.assumed if "by its size only" in each.what]
    assert len(said) == 1
    assert said[0].count == text.count("RG-59/U")
    assert not [each for each in plain.assumed if "by its size only" in each.what]
    assert [(each.rule, each.subject) for each in report.findings] == [(each.rule, each.subject) for each in plain.findings]


def test_a_name_that_is_none_is_refused_at_its_place() -> None:
    text = (BOATYARD / "alder-wharf.site.yaml").read_text().replace("rg59-copper", "RG-60/U", 1)
    with pytest.raises(Refusal, match="there is no part `RG-60/U`"):
        load_site_text(text, "f", BOATYARD)
