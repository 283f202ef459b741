"""The catalogue: bad entries block themselves alone, the index says what the files say, lists merge and are taken back."""

from __future__ import annotations

import importlib.util
import json
import shutil
import sqlite3
from pathlib import Path
from types import ModuleType

import pytest

from coaxwright.catalogues import loading
from coaxwright.catalogues.baked import Baked, baked
from coaxwright.catalogues.entries import read_entries, tolerant_catalogue
from coaxwright.catalogues.finding import search
from coaxwright.catalogues.index import Index
from coaxwright.cli.main import run
from coaxwright.errors import Refusal
from coaxwright.reading.catalogue import build_catalogue

ROOT = Path(__file__).resolve().parents[2]
YARD = ROOT / "examples" / "boatyard"
GOOD = "  {name}:\n    kind: camera\n    source: invented\n    price: 30\n    emits: [{{family: tvi, mode: 1920x1080@25}}]\n"


def entry(name: str) -> str:
    return GOOD.format(name=name)


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """No catalogue and no cache but those of the test."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.delenv("COAXWRIGHT_PARTS", raising=False)
    return tmp_path / "data" / "coaxwright" / "parts"


@pytest.fixture(scope="module")
def big(tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    """Six files, some 400 parts."""
    spec = importlib.util.spec_from_file_location("big_catalogue", ROOT / "tests" / "bench" / "big_catalogue.py")
    assert spec is not None
    assert spec.loader is not None
    ranges: ModuleType = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(ranges)
    folder = tmp_path_factory.mktemp("big")
    for place in range(6):
        text = ranges.catalogue(60, 8, seed=place).replace("/cam-", f"/cam-{place}-").replace("/rec-", f"/rec-{place}-")
        (folder / f"{place}.yaml").write_text(text, encoding="utf-8")
    return [str(path) for path in sorted(folder.glob("*.yaml"))]


# Entries one by one


@pytest.mark.parametrize(
    "wrong",
    [
        "  zz/bad:\n    kind: camera\n    source: invented\n    emits: [{family: tvx, mode: 1920x1080@25}]\n",
        "  zz/bad:\n    kind: camera\n    source: [not closed\n",
        "  zz/bad:\n    kind: nothing\n",
        "  zz/bad: {kind: camera}\n",
    ],
)
@pytest.mark.parametrize("before", [True, False])
def test_a_bad_entry_blocks_itself_alone(tmp_path: Path, wrong: str, before: bool) -> None:
    path = tmp_path / "parts.yaml"
    middle = [wrong, entry("zz/two")] if before else [entry("zz/two"), wrong]
    path.write_text("currency: EUR\nparts:\n" + entry("zz/one") + "".join(middle), encoding="utf-8")
    catalogue, bad = tolerant_catalogue([read_entries(path, "parts.yaml")])
    assert {"zz/one", "zz/two"} <= set(catalogue.parts)
    assert list(bad) == ["zz/bad"]
    assert all(each.file == "parts.yaml" and each.span is not None and each.span.line >= 8 for each in bad["zz/bad"])
    where = catalogue.where("zz/two")
    assert where is not None
    assert path.read_text(encoding="utf-8").splitlines()[where[1].line - 1].strip() == "zz/two:"


def test_an_id_in_two_files_is_used_from_neither(tmp_path: Path) -> None:
    for name, others in (("a.yaml", "zz/one"), ("b.yaml", "zz/two")):
        (tmp_path / name).write_text("parts:\n" + entry("zz/both") + entry(others), encoding="utf-8")
    files = [str(tmp_path / name) for name in ("a.yaml", "b.yaml")]
    catalogue, bad = tolerant_catalogue([read_entries(name, name) for name in files])
    assert "zz/both" not in catalogue.parts
    assert {"zz/one", "zz/two"} <= set(catalogue.parts)
    assert list(bad) == ["zz/both"]
    with Index(files) as index:
        assert list(index.bad()) == ["zz/both"]


def test_pair_answers_beside_a_bad_entry(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shutil.copytree(YARD / "parts", tmp_path / "parts")
    (tmp_path / "parts" / "bad.yaml").write_text("parts:\n  zz/bad:\n    kind: camera\n" + entry("zz/good"), encoding="utf-8")
    globs = ["--parts", str(tmp_path / "parts" / "*.yaml")]
    assert run(["pair", "fennick/turret-5", "tarnwell/hybrid-8", *globs]) == 0
    told = capsys.readouterr()
    assert "zz/bad" in told.err
    assert "works on" in told.out
    assert run(["pair", "zz/good", "tarnwell/hybrid-8", *globs]) == 0
    capsys.readouterr()
    assert run(["pair", "zz/bad", "tarnwell/hybrid-8", *globs]) == 2
    assert "bad.yaml:2" in capsys.readouterr().err
    assert run(["catalogue", "check", *globs]) == 1
    assert "zz/bad" in capsys.readouterr().err


# The index


def test_the_index_says_what_the_files_say(big: list[str]) -> None:
    whole = build_catalogue((Path(name), name) for name in big)
    with Index(big) as index:
        own = [name for source in whole.sources for name in source.entries.parts]
        assert index.names() == sorted(own)
        for each in index.entries():
            part = whole.part(each.id)
            assert (each.kind, each.title, each.price, each.retired) == (part.kind, part.title, part.price, part.retired)
        for name in own[::37]:
            (source,) = index.sources([name])
            assert source.entries.parts[name] == whole.part(name)
            assert source.document.key_span(("parts", name)).line == whole.where(name)[1].line  # type: ignore[index]


def test_a_question_answered_with_the_index_is_the_one_without(
    big: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The same bytes, whichever way the parts were found; a mistaken name is answered with near ones either way."""
    globs = ["--parts", str(Path(big[0]).parent / "*.yaml"), "--today", "2026-12-01", "--format", "json"]
    whole = build_catalogue((Path(name), name) for name in big)
    pairs = list(zip(whole.ids("camera")[::23], whole.ids("recorder")[::3], strict=False))
    for camera, recorder in pairs:
        told = []
        for small in (1 << 40, 0):
            monkeypatch.setattr(loading, "SMALL", small)
            assert run(["pair", camera, recorder, *globs]) == 0
            told.append(capsys.readouterr().out)
        assert told[0] == told[1]
    assert run(["pair", pairs[0][0] + "x", pairs[0][1], *globs]) == 2
    assert "did you mean" in capsys.readouterr().err


TABLES = (
    ["pair", "*", "*", "--format", "json"],
    ["pair", "fennick/cam-[01]*", "*", "--best-for", "cameras", "--format", "json"],
    ["pair", "{camera}", "{recorder}", "--replace", "camera", "--format", "json"],
    ["pair", "{camera}", "*/rec-0-*", "--replace", "camera", "--format", "json"],
    ["pair", "{camera}", "{recorder}", "--replace", "recorder", "--format", "csv"],
    ["pair", "--cameras", "{listed}", "*", "--format", "json"],
    ["parts", "list", "--format", "json"],
    ["parts", "show", "{camera}", "--format", "json"],
)


@pytest.mark.parametrize("call", TABLES, ids=lambda call: " ".join(call[:2]) + call[-3])
def test_tables_sets_and_replacements_are_the_same_with_the_index(
    call: list[str], big: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The same bytes, errors in parts and bad entries too, whether files are read or their index is."""
    whole = build_catalogue((Path(name), name) for name in big)
    listed = tmp_path / "list.csv"
    listed.write_text("Model,Qty\n" + "".join(f"{name},2\n" for name in whole.ids("camera")[:3]), encoding="utf-8")
    wrong = entry("zz/wrong").replace("1920x1080@25}]", "1920x1080@25}]\n    starts_as: {family: ahd, mode: 1920x1080@25}")
    text = "parts:\n" + entry("zz/one") + "  zz/bad:\n    kind: camera\n" + wrong + entry(whole.ids("camera")[5])
    (tmp_path / "more.yaml").write_text(text, encoding="utf-8")
    named = {"camera": whole.ids("camera")[7], "recorder": whole.ids("recorder")[2], "listed": str(listed)}
    globs = ["--parts", str(Path(big[0]).parent / "*.yaml"), "--parts", str(tmp_path / "more.yaml")]
    told = []
    for small in (1 << 40, 0, 0):
        monkeypatch.setattr(loading, "SMALL", small)
        assert run([*(each.format(**named) for each in call), *globs]) == 0
        told.append(capsys.readouterr())
    assert "zz/bad" in told[0].err
    assert told[1] == told[2] == told[0]


def test_an_index_of_another_form_is_made_anew(tmp_path: Path, home: Path) -> None:
    """An older program may have had other columns: its tables are not written to."""
    home.mkdir(parents=True)
    path = home / "a.yaml"
    path.write_text("parts:\n" + entry("zz/one"), encoding="utf-8")
    store = sqlite3.connect(home / ".coaxwright-index.sqlite")
    store.executescript("create table made (key text); insert into made values ('old'); create table files (path text);")
    store.close()
    with Index([str(path)], home) as index:
        assert index.names() == ["zz/one"]


def test_a_file_that_changed_under_the_index_is_not_told_of_at_a_wrong_place(tmp_path: Path, home: Path) -> None:
    home.mkdir(parents=True)
    path = home / "a.yaml"
    path.write_text("parts:\n" + entry("zz/one"), encoding="utf-8")
    with Index([str(path)], home) as index:
        (held,) = index.everything()
    assert held.source is not None
    assert held.source.document.key_span(("parts", "zz/one")).line == 2
    (other,) = (Index([str(path)], home).everything(),)
    path.write_text("# one line more\nparts:\n" + entry("zz/one"), encoding="utf-8")
    assert other[0].source is not None
    with pytest.raises(Refusal, match="changed"):
        other[0].source.document.key_span(("parts", "zz/one"))


def test_a_changed_file_is_read_again_and_a_damaged_index_made_anew(tmp_path: Path, home: Path) -> None:
    home.mkdir(parents=True)
    path = home / "a.yaml"
    path.write_text("parts:\n" + entry("zz/one"), encoding="utf-8")
    with Index([str(path)], home) as index:
        assert index.names() == ["zz/one"]
    path.write_text("parts:\n" + entry("zz/other") + entry("zz/one"), encoding="utf-8")
    with Index([str(path)], home) as index:
        assert index.names() == ["zz/one", "zz/other"]
    (home / ".coaxwright-index.sqlite").write_bytes(b"no store at all" * 100)
    with Index([str(path)], home) as index:
        assert index.names() == ["zz/one", "zz/other"]


# Commands


def test_found_by_words_other_names_and_article_numbers(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    home.mkdir(parents=True)
    more = "    title: Großer Turm\n    aliases: [TX-9]\n    articles: ['104-22-5']\n"
    more += "    retired_since: 2026-06-30\n    successor: yy/x5\n"
    (home / "a.yaml").write_text("parts:\n" + entry("zz/x5") + more + entry("yy/x5"), encoding="utf-8")
    for words, found in (("104-22-5", ["zz/x5"]), ("tx9", ["zz/x5"]), ("turm gro", ["zz/x5"]), ("x5", ["yy/x5", "zz/x5"])):
        assert run(["catalogue", "find", *words.split(), "--format", "json"]) == 0
        assert [each["id"] for each in json.loads(capsys.readouterr().out)["parts"]] == found
    assert run(["catalogue", "find", "104-22-5"]) == 0
    assert "no longer since 2026-06-30; replaced by yy/x5" in " ".join(capsys.readouterr().out.split())
    assert run(["catalogue", "find", "x55"]) == 1
    assert "did you mean" in capsys.readouterr().err
    assert run(["pair", "TX-9", "none", "--format", "json"]) == 2


def test_without_a_catalogue_it_says_where_one_is_looked_for(capsys: pytest.CaptureFixture[str], home: Path) -> None:
    assert run(["catalogue", "find", "x"]) == 2
    assert str(home) in capsys.readouterr().err


def test_verdicts_read_only_what_the_site_names(
    tmp_path: Path, home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    site = str(YARD / "alder-wharf.site.yaml")
    calls = (["check", site, "--format", "json", "--today", "2026-12-01"], ["limits", site, "cameras/slipway"])
    before = []
    for call in calls:
        run(call)
        before.append(capsys.readouterr().out)
    home.mkdir(parents=True)
    (home / "a.yaml").write_text("parts:\n" + entry("tarnwell/turret-5"), encoding="utf-8")
    monkeypatch.setenv("COAXWRIGHT_PARTS", str(home))
    for call, told in zip(calls, before, strict=True):
        run(call)
        assert capsys.readouterr().out == told


FIRST = "Model,Price,Signals,Modes\nDome 4,48.50,TVI,1920x1080@25\nTurret 9,60,TVI,2592x1944@20\n"
SECOND = "Model,Price,Signals,Modes\nDome 4,49.50,TVI,1920x1080@25\nBullet 2,30,AHD,1920x1080@25\n"
LIST = ["--kind", "camera", "--maker", "hollin", "--currency", "EUR"]


def lists(folder: Path) -> tuple[str, str]:
    for name, text in (("first.csv", FIRST), ("second.csv", SECOND)):
        (folder / name).write_text(text, encoding="utf-8")
    return str(folder / "first.csv"), str(folder / "second.csv")


def test_a_second_list_merges_and_can_be_taken_back(tmp_path: Path, home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """By hand: a price of 49.50 for 48.50, one new, one gone; what a person wrote stays, comments too."""
    first, second = lists(tmp_path)
    assert run(["catalogue", "add", first, *LIST]) == 0
    path = home / "hollin.yaml"
    mended = path.read_text(encoding="utf-8").replace("    price: 48.5\n", "    price: 48.5  # net\n    housing: {ip: IP67}\n")
    path.write_text(mended, encoding="utf-8")
    assert run(["catalogue", "update", second, *LIST]) == 1
    assert path.read_text(encoding="utf-8") == mended
    capsys.readouterr()
    written = ["--write", "--retire-missing", "--date", "2026-12-01", "--format", "json"]
    assert run(["catalogue", "update", second, *LIST, *written]) == 0
    data = json.loads(capsys.readouterr().out)
    assert list(data["new"]) == ["hollin/bullet-2"]
    text = path.read_text(encoding="utf-8")
    for words in ("price: 49.5", "# net", "housing: {ip: IP67}", "price_date: 2026-12-01", "retired: true", "hollin/bullet-2"):
        assert words in text
    assert run(["catalogue", "update", second, *LIST]) == 0
    assert run(["catalogue", "update", "--undo"]) == 0
    assert path.read_text(encoding="utf-8") == mended
    assert run(["catalogue", "update", "--undo"]) == 2
    assert "nothing to undo" in capsys.readouterr().err


def test_an_update_is_not_taken_back_over_later_work(tmp_path: Path, home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    first, _ = lists(tmp_path)
    assert run(["catalogue", "add", first, *LIST]) == 0
    path = home / "hollin.yaml"
    path.write_text(path.read_text(encoding="utf-8") + "# later\n", encoding="utf-8")
    assert run(["catalogue", "update", "--undo"]) == 2
    assert "# later" in path.read_text(encoding="utf-8")


def test_two_updates_at_once_are_refused(tmp_path: Path, home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from coaxwright.catalogues.merging import locked

    first, _ = lists(tmp_path)
    home.mkdir(parents=True)
    with locked(home):
        assert run(["catalogue", "add", first, *LIST]) == 2
    assert "somebody else" in capsys.readouterr().err
    assert not (home / "hollin.yaml").exists()


# A catalogue made ready in one file


def test_a_catalogue_made_ready_says_what_the_files_say(big: list[str], tmp_path: Path) -> None:
    big = big[:1]
    data = baked(big)
    assert baked(big) == data
    assert str(Path(big[0]).parent).encode() not in data  # nothing of where the files lay
    place = tmp_path / "made.sqlite"
    place.write_bytes(data)
    with Baked(place) as made, Index(big) as index:
        assert made.names() == index.names()
        assert made.count() == index.count() == 68
        names = [*index.names("recorder")[:3], *index.names("camera")[:3]]
        ours, theirs = loading.named(made, names).catalogue, loading.named(index, names).catalogue
        assert ours.parts == theirs.parts
        for name in names:
            span, other = ours.where(name), theirs.where(name)
            assert span is not None
            assert other is not None
            assert (span[1], span[0]) == (other[1], Path(other[0]).name)
        digests = [sorted(each.document.sha256 for each in found.sources) for found in (ours, theirs)]
        assert digests[0] == digests[1]


FLOW = "parts: {zz/one: {kind: camera, source: invented, emits: [{family: tvi, mode: 1920x1080@25}]}}\n"


@pytest.mark.parametrize("text", [FLOW, "parts:\n" + entry("zz/one") + "  zz/bad:\n    kind: nothing\n"])
def test_a_catalogue_made_ready_of_odd_files(tmp_path: Path, text: str) -> None:
    path = tmp_path / "odd.yaml"
    path.write_text(text, encoding="utf-8")
    place = tmp_path / "made.sqlite"
    place.write_bytes(baked([str(path)]))
    with Baked(place) as made, Index([str(path)]) as index:
        assert loading.named(made, ["zz/one"]).catalogue.part("zz/one").source == "invented"
        assert list(made.bad()) == list(index.bad())
        if "zz/bad" in text:
            with pytest.raises(Refusal):
                loading.named(made, ["zz/bad"])


def test_a_search_by_kind_counts_and_finds_only_that_kind(big: list[str]) -> None:
    with Index(big) as index:
        recorders = index.names("recorder")
        found = search(index, "invented 1", "recorder", 500)
        wanted = [name for name in recorders if any(word.startswith("1") for word in name.replace("/", "-").split("-"))]
        assert {each.kind for each in found} == {"recorder"}
        assert {each.id for each in found} >= set(wanted)
        assert index.count("recorder", "invented 1") == len(found)
        assert [each.id for each in index.first("recorder", 3)] == recorders[:3]
        assert index.count("recorder", "...") == 0
        assert index.found("...", 5) == []
