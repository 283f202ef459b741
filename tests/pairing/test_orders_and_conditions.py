"""What `pair --replace` puts first, every condition of `--where`, and words of tables.

Source of what is expected: docs/pair.md.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, field, replace
from pathlib import Path
from types import SimpleNamespace

import pytest

from coaxwright.errors import Refusal
from coaxwright.fixes.loss_kinds import Loss
from coaxwright.pairing import sets
from coaxwright.pairing.answers import FEATURES, _sorted_out, answer
from coaxwright.pairing.cells import Cell, Clerk
from coaxwright.pairing.everywhere import Everywhere, render_everywhere
from coaxwright.pairing.keeping import _filled
from coaxwright.pairing.placing import _measures
from coaxwright.pairing.ranking import Replacement, order
from coaxwright.pairing.set_losses import measures
from coaxwright.pairing.small_sites import Question
from coaxwright.pairing.table_forms import LEVELS, render_table
from coaxwright.pairing.tables import FACETS, Table, kept, parse_condition, tabulate
from coaxwright.pairing.telling import as_data, sections
from coaxwright.pairing.verdicts import _in_brief, _prices, picture_words
from coaxwright.reading.catalogue import Catalogue, build_catalogue
from coaxwright.rulebook.loading import load_rulebook
from coaxwright.show.screen import PROSE, Screen


@dataclass
class Plain:
    """As much of a cell as the order reads: the same for all."""

    worth: tuple[int, ...] = (1,)
    kept: int = 1
    more: dict[str, int] = field(default_factory=dict)


def other(part: str, *lost: str, price: float | None = 10.0, unknown: tuple[str, ...] = ()) -> Replacement:
    losses = [Loss(each, f"no {each}", True) for each in lost] + [Loss(each, f"{each}?", False) for each in unknown]
    return Replacement(part, Plain(), (), tuple(losses), price, None, ())  # type: ignore[arg-type]


HEAVY = (
    "movement", "largest picture", "lamp", "rating", "impact rating (IK)", "lens", "microphone", "supply voltage",
    "inputs", "largest picture taken at full width", "bays", "inputs with sound over the coax",
)  # fmt: skip


@pytest.mark.parametrize("heavy", HEAVY)
def test_what_a_part_was_chosen_for_weighs_more_than_two_lesser_losses(heavy: str) -> None:
    """What a camera or recorder was most likely chosen for: common practice."""
    light = other("b/light", "lowest temperature", "outputs")
    assert order(light) < order(other("a/heavy", heavy))


def test_a_part_that_does_not_move_comes_behind_all_that_do() -> None:
    moving = other("b/moves", "lens", "lamp", "microphone", price=900.0)
    assert order(moving) < order(other("a/fixed", "movement", price=1.0))


def test_of_equal_losses_the_cheaper_first_and_no_price_last() -> None:
    ordered = sorted([other("a/none", price=None), other("b/dear", price=90.0), other("c/cheap", price=9.0)], key=order)
    assert [each.part for each in ordered] == ["c/cheap", "b/dear", "a/none"]


@pytest.mark.parametrize(
    ("many", "told"), [(3, "r/1, r/2, r/3"), (4, "r/1, r/2, r/3 and 1 more"), (6, "r/1, r/2, r/3 and 3 more")]
)
def test_three_recorders_are_named_and_the_rest_counted(many: int, told: str) -> None:
    one = Everywhere(other("x/cam", "lens"), ("r/0",), tuple(f"r/{number}" for number in range(1, many + 1)), False)
    lines = render_everywhere("x/old", [one], "csv").splitlines()
    heads = ["part", "keeps as much on", "not on", "loses", "not known", "price", "remarks"]
    assert lines[0].lstrip("\ufeff").split(",") == heads
    assert told in lines[1]
    assert f"1 of {many + 1} recorders" in lines[1]
    assert "no lens" in lines[1]


def test_the_same_in_json() -> None:
    one = Everywhere(other("x/cam", "lens", unknown=("lamp",)), ("r/0",), ("r/1",), True)
    (told,) = json.loads(render_everywhere("x/old", [one], "json"))["parts"]
    assert told == {
        "part": "x/cam", "keeps_on": ["r/0"], "worse_on": ["r/1"], "successor": True, "loses": ["no lens"],
        "not_known": ["lamp?"], "price": 10.0, "currency": None, "remarks": [],
    }  # fmt: skip


def test_in_a_pipe_an_outcome_with_all_its_recorders_is_one_line(stated: Catalogue) -> None:
    """Tools that read lines would take the rest of a wrapped one for another."""
    recorders = sorted(stated.ids("recorder"))
    table = tabulate(Clerk(stated), ["some/camera"], recorders, Question(video_rate=25))
    told = render_table(table, "text", screen=Screen(None)).splitlines()
    marked = [line for line in told if line.startswith("  [")]
    assert sum(line.count("/recorder-") for line in marked) == len(recorders) == 12
    assert max(map(len, marked)) > PROSE
    assert not [line for line in told if line.startswith("   ")]


def test_every_outcome_has_the_level_of_what_it_means() -> None:
    """A picture at full width passes, a smaller one warns, none is an error, and what nobody knows is open."""
    outcomes = {"full", "asked-down", "reduced-width", "needs-setting", "no-picture", "too-long", "unfit-cable", None}
    assert set(LEVELS) == outcomes
    by_level: dict[str, set[str | None]] = {}
    for outcome, level in LEVELS.items():
        by_level.setdefault(str(level), set()).add(outcome)
    assert by_level == {
        "pass": {"full", "asked-down"}, "warning": {"reduced-width"}, "open": {None},
        "error": {"needs-setting", "no-picture", "too-long", "unfit-cable"},
    }  # fmt: skip


def test_a_table_has_every_pair() -> None:
    assert Table(["a", "b"], ["r", "s", "t"], [], [], [0, 0]).size == 6


@pytest.mark.parametrize(
    ("width", "height", "told"), [(1280, 720, "1 MP"), (1279, 720, "1279x720"), (2592, 1944, "5 MP"), (960, 576, "960x576")]
)
def test_a_picture_in_words(width: int, height: int, told: str) -> None:
    assert picture_words(width, height) == told


def test_what_a_camera_sends_that_nobody_can_switch() -> None:
    facts = {"emitted_width": 1920, "emitted_height": 1080, "emitted_fps": 12.5, "family": "tvi"}
    told = _in_brief(SimpleNamespace(facts=facts))  # type: ignore[arg-type]
    assert "TVI" in told
    assert "12.5" in told


PARTS = """\
parts:
  some/camera:
    kind: camera
    source: invented
    price: 120
    currency: EUR
    stock: 7
    lead_time: 3 days
    warranty_years: 5
    emits: [{family: tvi, mode: 2560x1440@25}]
    control: {moves: true}
    power: {kind: dc, volts: 12 V, volts_min: 10 V, volts_max: 15 V}
    night: {lamp: infrared, lamp_range: 40 m}
    optics: {focal_min: 2.8 mm, focal_max: 12 mm}
    housing: {rated: outdoor, ip: IP67, ik: IK10}
""" + "".join(
    f"  some/recorder-{number:02}:\n"
    "    {kind: recorder, source: invented, inputs: [{channels: 1-4, accepts: [{family: tvi, mode: 2560x1440@25}]}]}\n"
    for number in range(12)
)


@pytest.fixture(scope="module")
def stated(tmp_path_factory: pytest.TempPathFactory) -> Catalogue:
    file = tmp_path_factory.mktemp("parts") / "some.parts.yaml"
    file.write_text(PARTS, encoding="utf-8")
    return build_catalogue([(Path(file), file.name)])


CONDITIONS = {
    "maker": ("maker=some", "maker=another"), "price": ("price<=120", "price<120"),
    "megapixels": ("megapixels>=3", "megapixels>=4"),
    "family": ("family=tvi", "family=cvi"), "rated": ("rated=outdoor", "rated=indoor"), "retired": ("retired=no", "retired=yes"),
    "stock": ("stock>=7", "stock>7"), "lead_time": ("lead_time<=3", "lead_time<3"), "warranty": ("warranty>=5", "warranty>5"),
    "moves": ("moves=yes", "moves=no"), "lamp": ("lamp=infrared", "lamp=none"), "lamp_range": ("lamp_range>=40", "lamp_range>40"),
    "ip": ("ip=IP67", "ip=IP66"), "ik": ("ik=IK10", "ik=IK08"), "focal": ("focal<=2.8", "focal<2.8"),
    "volts": ("volts=12", "volts=24"), "volts_min": ("volts_min<=10", "volts_min<10"),
    "volts_max": ("volts_max>=15", "volts_max>15"),
}  # fmt: skip


@pytest.mark.parametrize("facet", FACETS["camera"])
def test_every_condition_on_cameras_reads_its_field(stated: Catalogue, facet: str) -> None:
    """One that the datasheet meets, and one just beyond it. Sound is asked of more than one field: below."""
    if facet == "sound":
        return
    met, missed = CONDITIONS[facet]
    assert kept(stated, ["some/camera"], "camera", [parse_condition(met)]) == ["some/camera"]
    assert kept(stated, ["some/camera"], "camera", [parse_condition(missed)]) == []


@pytest.mark.parametrize("text", ["colour=red", "recorder.lamp=none", "camera.bays>=2", "shop.price<3"])
def test_a_condition_on_nothing_is_refused(text: str) -> None:
    with pytest.raises(Refusal, match="there is no `"):
        parse_condition(text)


@pytest.mark.parametrize(
    ("prices", "told"),
    [((50.0, 60.0), "Prices: 50 EUR and 60 EUR."), ((50.0, None), "Price of a/cam: 50 EUR."), ((None, None), "")],
)
def test_prices_in_words(prices: tuple[float | None, float | None], told: str) -> None:
    """Both where both are stated; of one alone it is said whose it is."""
    both = zip(("a/cam", "b/rec"), prices, strict=True)
    sold = [SimpleNamespace(part=part, price=price, currency="EUR") for part, price in both]
    assert " ".join(_prices(SimpleNamespace(sold=sold))) == told  # type: ignore[arg-type]


@pytest.mark.parametrize("moves", [True, False])
def test_control_is_asked_for_where_the_camera_moves(moves: bool) -> None:
    """Of a camera that stands still control is an extra that nobody asked for, as sound and sorted motion are."""
    rules = {name: rule for name, (_, rule) in FEATURES.items()}
    findings = [SimpleNamespace(rule=rule, kind="fail", caution=None) for rule in rules.values()]
    camera = SimpleNamespace(control=SimpleNamespace(moves=moves))
    asked, remarks, _ = _sorted_out(SimpleNamespace(findings=findings), {}, camera)  # type: ignore[arg-type]
    assert {each.rule for each in asked} == ({rules["control"]} if moves else set())
    assert {each.rule for each in remarks} == set(rules.values()) - {each.rule for each in asked}


def test_pieces_that_are_kept_count_each_with_its_worth() -> None:
    """Two pieces on four inputs of one group, each worth 5: none, one and two of them, worth 0, 5 and 10."""
    begun = {((4,), (0,), 2): (0, None)}
    found = _filled(begun, 0, 0, 5, (True,), (2,))  # type: ignore[arg-type]
    assert {(free, kept_now, left): worth for (free, kept_now, left), (worth, _) in found.items()} == {
        ((4,), (0,), 2): 0, ((3,), (1,), 1): 5, ((2,), (2,), 0): 10,
    }  # fmt: skip


def cell(**known: object) -> Cell:
    usual: dict[str, object] = {
        "outcome": "full", "family": "tvi", "width": 1920, "height": 1080, "acquired_fps": 25.0, "recorded_fps": 25.0,
        "recorded_width": 1920, "recorded_height": 1080, "sound": None, "control": None, "firmware": None, "sorted_motion": None,
    }  # fmt: skip
    return Cell(**{**usual, **known})  # type: ignore[arg-type]


def test_only_what_is_known_to_work_counts_for_a_camera() -> None:
    counted = measures(cell(sound=True, control=False, firmware=None, sorted_motion=True))
    assert {name: counted[name] for name in FEATURES} == {"sound": 1.0, "control": 0.0, "firmware": 0.0, "sorted_motion": 1.0}
    assert set(measures(None).values()) == {-2.0}


def test_a_rate_that_nobody_knows_counts_as_nothing() -> None:
    known, unknown = (list(_measures(cell(recorded_fps=rate), True)) for rate in (12.5, None))
    assert unknown[known.index(round(1920 * 1080 * 12.5 / 1000))] == 0


@pytest.mark.parametrize(("currencies", "told"), [(("EUR", "EUR"), (150.0, "EUR")), (("EUR", "CHF"), (None, None))])
def test_two_currencies_make_no_sum(currencies: tuple[str, str], told: object, monkeypatch: pytest.MonkeyPatch) -> None:
    prices = {"a/rec": (100.0, currencies[0]), "b/rec": (50.0, currencies[1])}
    monkeypatch.setattr(sets, "currency_of", lambda name, _: prices[name][1])
    parts = SimpleNamespace(part=lambda name: SimpleNamespace(price_of=lambda _: prices[name][0]))
    assert sets._price(SimpleNamespace(catalogue=parts), ("a/rec", "b/rec")) == told  # type: ignore[arg-type]


def test_one_pair_in_json_and_where_nothing_is_open(clerk: Clerk) -> None:
    """docs/pair.md lists what an answer tells; whoever reads its JSON finds each of it by the same name."""
    found = answer(clerk, "fennick/turret-5", "tarnwell/hybrid-8", Question(video_rate=25), load_rulebook())
    told = as_data(found)
    names = {"by_hand", "reach", "power", "own_maker", "other_inputs", "parts", "findings", "open", "cautions", "sources"}
    assert names <= set(told)
    assert told["sources"] == list(found.sources)
    assert dict(sections(replace(found, supply=())))["Open"] == ["nothing"]
    assert dict(sections(replace(found, supply=("a", "b"))))["Open"] == ["a, b"]
