"""The page as text: whole, self-contained, true to the report, the same every time. No browser needed."""

from __future__ import annotations

import base64
import hashlib
import os
import re
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from coaxwright.checking import check_many, load_site
from coaxwright.cli.main import run
from coaxwright.errors import Problem
from coaxwright.findings import Fix, Report, SiteReport, Summary, Waived, Worsened
from coaxwright.handover.plan import Plan as Pack
from coaxwright.reporting import html, wording
from coaxwright.reporting.page.document import document, folder
from coaxwright.reporting.page.sections.opening import state, supplies, verdict
from coaxwright.reporting.page.survey import Survey
from coaxwright.show import figures
from coaxwright.show.painter import visible

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = sorted(path.name.removesuffix(".site.yaml") for path in (ROOT / "examples").rglob("*.site.yaml"))
Reports = Callable[[str | int], Report]
ADDRESSES = {"href", "src", "srcset", "action", "formaction", "data", "poster", "background", "xlink:href", "ping", "cite"}


class Reader(HTMLParser):
    """What a page holds: ids, links within it, addresses, elements, text."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.ids: list[str] = []
        self.addresses: list[str] = []
        self.elements: Counter[str] = Counter()
        self.attributes: Counter[str] = Counter()
        self.text = ""
        self.style = ""
        self._within = ""
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._within = tag
        self.elements[tag] += 1
        for name, value in attrs:
            self.attributes[name] += 1
            if name == "id":
                self.ids.append(value or "")
            if name in ADDRESSES:
                self.addresses.append(value or "")

    def handle_data(self, data: str) -> None:
        if self._within == "style":
            self.style += data
        else:
            self.text += data

    def handle_endtag(self, tag: str) -> None:
        self._within = ""


@pytest.fixture(params=[*EXAMPLES, 128])
def report(request: pytest.FixtureRequest, reports: Reports) -> Report:
    return reports(request.param)


def test_links_lead_somewhere_and_ids_are_single(report: Report) -> None:
    read = Reader(document(report))
    assert [name for name, times in Counter(read.ids).items() if times > 1] == []
    assert read.addresses
    assert [address for address in read.addresses if not address.startswith("#") or address[1:] not in read.ids] == []


def test_nothing_is_loaded_or_run(report: Report) -> None:
    page = document(report)
    read = Reader(page)
    forbidden = {"script", "iframe", "object", "embed", "link", "img", "form", "base", "foreignobject", "use", "image", "animate"}
    assert not forbidden & set(read.elements)
    assert not [name for name in read.attributes if name.startswith("on") or name == "style"]
    assert "url(" not in read.style
    assert "@import" not in read.style
    assert not re.search(r"(?i)javascript:|data:|https?://", " ".join(read.addresses))


def test_the_policy_names_the_one_stylesheet() -> None:
    """Content Security Policy Level 3, 2.3.1: a hash source is the base64 of the SHA-256 of the element's text."""
    page = document(Report("0", "sha256:0", (), ()))
    read = Reader(page)
    digest = base64.b64encode(hashlib.sha256(read.style.encode()).digest()).decode()
    policy = f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"
    assert f'content="{policy.replace(chr(39), "&#x27;")}"' in page
    assert page.index("Content-Security-Policy") < page.index("<style>")


def test_everything_that_was_found_is_told(report: Report) -> None:
    read = Reader(document(report))
    for site in report.sites:
        for finding in site.findings:
            if finding.waived is None and finding.kind == "fail":
                told = [finding.rule, finding.message, finding.why, *finding.working, *map(str, finding.sources)]
                told += [fix.title for fix in finding.fixes] + ([finding.caution] if finding.caution else [])
                assert [words for words in told if visible(words) not in read.text] == []
                if finding.margin is not None:
                    assert wording.margin(finding.margin) in read.text
            elif finding.waived is not None:
                assert finding.waived.reason in read.text
        for each in site.assumed:
            assert visible(each.what) in read.text
            assert visible(each.source) in read.text
        for name in ("open", "passed", "waived"):
            assert f"{getattr(site.summary, name)} {name}" in read.text
        assert f"{site.summary.not_applicable} not applicable" in read.text


def test_what_is_open_says_what_to_supply(report: Report) -> None:
    page = document(report)
    cells = re.findall(r"<t[hd][ >].*?</t[hd]>", page, re.DOTALL)
    words = {word.strip(",") for cell in cells for word in Reader(cell).text.split()}
    for site in report.sites:
        for finding in site.findings:
            if finding.kind == "open" and finding.waived is None:
                for path in finding.missing:
                    entry = re.match(r"parts/[^/]+/[^/]+|\w+/[^/]+", path)
                    assert entry is not None
                    assert {entry[0], path.removeprefix(f"{entry[0]}/")} <= words


def test_each_camera_has_its_figures(reports: Reports) -> None:
    """Figures of one camera, read off the page, against the same facts as `check --format json` gives them."""
    report = reports("gannet-bay")
    page = document(report)
    facts = report.sites[0].facts["cameras/quay-cam-11"]
    row = re.search(r'<tr id="s1-cameras-quay-cam-11">.*?</tr>', page, re.DOTALL)
    assert row is not None
    said = Reader(row[0]).text
    assert f"{facts['volts_day']:.2f} V" in said
    assert f"{facts['volts_night']:.2f} V" in said
    assert f"{facts['metres']:.0f} m" in said
    assert f"{facts['settled']['width']} × {facts['settled']['height']}" in said
    assert f"{facts['days_kept']:.1f} days" in said
    assert wording.margin(facts["volts_night"] / facts["volts_min"] - 1) in said


def test_the_same_bytes_whatever_the_hash_seed(tmp_path: Path) -> None:
    pages = set()
    for seed in ("0", "1"):
        target = tmp_path / f"{seed}.html"
        call = [sys.executable, "-m", "coaxwright", "report", "examples/fish-market", "--output", str(target)]
        environment = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT / "engine"), "TZ": f"UTC-{seed}"}
        subprocess.run(call, cwd=ROOT, env=environment, check=True)
        pages.add(target.read_bytes())
    assert len(pages) == 1


def test_64_cameras_are_quick_and_small(reports: Reports, guarded: Callable[[float], Any]) -> None:
    report = reports("gannet-bay")
    document(report)
    with guarded(2000):
        page = document(check_many([ROOT / "examples" / "fish-market" / "gannet-bay.site.yaml"]))
    with guarded(500):  # it takes 0.05 to 0.2 s
        document(report)
    assert len(page.encode()) < 1_000_000


def test_fixes_are_proven_or_said_not_to_be(reports: Reports) -> None:
    report = reports("alder-wharf")
    site = report.sites[0]
    broken = "place/x on cameras/a (warning)"
    harms = (Worsened("place/x", "cameras/a", "warning", how="fails"),)
    proven = Fix("run 2.5 mm2", clears=("power/undervoltage",), harms=harms, cost=12.5, currency="EUR",
                 margin=0.1, proven=True)  # fmt: skip
    found = replace(site.findings[0], kind="fail", level="error", fixes=(Fix("something else"), proven))
    changed = replace(site, findings=(found,), summary=Summary(error=1, passed=1))
    text = Reader(document(replace(report, sites=(changed,)))).text
    assert f"run 2.5 mm2 (proven on this site: clears 1 finding; newly breaks {broken}; costs 12.5 EUR)" in text
    assert f"run 2.5 mm2 (clears power/undervoltage; newly breaks {broken}; costs 12.5 EUR; then 10 % to spare)" in text
    assert "could be tried, not proven on this site" in text


def test_the_first_screen_names_the_change_that_clears_most(reports: Reports) -> None:
    report = reports("alder-wharf")
    site = report.sites[0]
    failed = replace(site.findings[0], kind="fail", level="error")
    first, second = replace(failed, subject="cameras/gate"), replace(failed, subject="cameras/fuel")
    one = replace(first, fixes=(Fix("mend one", clears=("a",), proven=True),))
    harms = (Worsened("x", "y", "note", how="fails"),)
    both = replace(second, fixes=(Fix("mend both", clears=("a", "b"), proven=True),
                                  Fix("mend and break", clears=("a", "b", "c"), harms=harms, proven=True)))  # fmt: skip
    changed = replace(site, findings=(one, both), summary=Summary(error=2))
    text = Reader(document(replace(report, sites=(changed,)))).text
    assert "Do: mend both (proven on this site: clears 2 findings)" in text


def test_without_facts_the_rest_is_there(reports: Reports) -> None:
    report = reports("quill-orchard")
    plain = replace(report, sites=tuple(replace(site, facts={}) for site in report.sites))
    read = Reader(document(plain))
    assert "Camera by camera" not in read.text
    assert report.sites[0].findings[0].message in read.text
    assert [address for address in read.addresses if address[1:] not in read.ids] == []


def _bare(**counts: int) -> Survey:
    return Survey(SiteReport("Site", "a.site.yaml", "site: Site\n", Summary(**counts), (), (), {}))


@pytest.mark.parametrize(
    ("counts", "begins", "look"),
    [
        ({"passed": 3}, "Everything that could be judged passes.", "pass"),
        ({}, "Nothing was judged", "open"),
        ({"not_applicable": 4}, "Nothing was judged", "open"),
        ({"passed": 3, "open": 1}, "Nothing failed, but 1 question open", "open"),
        ({"passed": 3, "warning": 2}, "No error found, 2 warnings", "warning"),
        ({"fault": 1, "passed": 9}, "Not fully checked", "error"),
        ({"error": 2, "passed": 9}, "Does not work as drawn: there are 2 errors.", "error"),
    ],
)
def test_the_verdict_never_says_more_than_was_judged(counts: dict[str, int], begins: str, look: str) -> None:
    survey = _bare(**counts)
    assert verdict(survey).startswith(begins)
    assert state(survey.report.summary) == look
    assert "safe" not in verdict(survey)


def test_supplies_of_like_devices_stand_together(reports: Reports) -> None:
    site = reports("quill-orchard").sites[0]
    opened = [each for each in site.findings if each.kind == "open" and each.waived is None]
    told = supplies(opened)
    assert sorted({path for each in opened for path in each.missing}) == sorted(
        {f"{entry}/{each.field}" for each in told for entry in each.entries}
    )


def test_waivers_stand_with_their_reasons(reports: Reports) -> None:
    text = Reader(document(reports("gannet-bay"))).text
    assert "no camera is to be added to the market recorder before it is replaced" in text
    assert "owner's engineer" in text
    assert "2031-06-30" in text


def test_several_sites_give_an_index(reports: Reports) -> None:
    sites = tuple(reports(name).sites[0] for name in EXAMPLES)
    base = reports(EXAMPLES[0])
    many = replace(base, sites=sites, unread=(Problem("gone.site.yaml", "there is no such file"),))
    read = Reader(document(many))
    assert [name for name, times in Counter(read.ids).items() if times > 1] == []
    assert [address for address in read.addresses if address[1:] not in read.ids] == []
    assert "gone.site.yaml: there is no such file" in read.text
    order = [site.site for site in sorted(sites, key=lambda site: -site.summary.error)]
    places = [read.text.index(name) for name in order]
    assert places[0] == min(places), "the worst site comes first"


def test_a_folder_of_pages(reports: Reports) -> None:
    sites = (reports("alder-wharf").sites[0], replace(reports("low-mere").sites[0], file="x/Alder Wharf.site.yaml"))
    made = folder(replace(reports("alder-wharf"), sites=sites))
    assert list(made) == ["index.html", "alder-wharf.html", "alder-wharf-2.html"]
    assert {"alder-wharf.html", "alder-wharf-2.html"} <= set(Reader(made["index.html"]).addresses)
    assert made == html.pages(replace(reports("alder-wharf"), sites=sites))


def test_the_command(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    examples = str(ROOT / "examples" / "boatyard")
    assert run(["report", examples, "-o", str(tmp_path / "a.html")]) == 0
    assert run(["check", examples, "--format", "html", "--output", str(tmp_path / "b.html")]) == 0
    assert (tmp_path / "a.html").read_bytes() == (tmp_path / "b.html").read_bytes()
    assert run(["report", examples, "--format", "md"]) == 0
    assert "## Alder Wharf boatyard" in capfd.readouterr().out
    assert run(["report", str(ROOT / "examples" / "cider-press"), "--fail-on", "error", "-o", str(tmp_path / "c.html")]) == 1
    assert run(["report", str(ROOT / "examples"), "-o", str(tmp_path / "many")]) == 0
    assert len(list((tmp_path / "many").iterdir())) == len(EXAMPLES) + 1
    assert run(["report", str(tmp_path / "none.site.yaml"), "-o", str(tmp_path / "d.html")]) == 2
    assert "no such file" in capfd.readouterr().err
    assert run(["report"]) == 2


def test_the_command_tries_changes(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A site with one thin run: what `report --fixes` shows was applied to a copy and judged again."""
    text = (ROOT / "examples" / "boatyard" / "alder-wharf.site.yaml").read_text(encoding="utf-8")
    shutil.copytree(ROOT / "examples" / "boatyard" / "parts", tmp_path / "parts")
    thin = text.replace("{cable: dc-1.5mm2, length: 85 m,", "{cable: dc-0.5mm2, length: 85 m,")
    assert thin != text
    path = tmp_path / "thin.site.yaml"
    path.write_text(thin, encoding="utf-8")
    assert run(["report", str(path), "--fixes", "-o", str(tmp_path / "thin.html")]) == 0
    told = Reader((tmp_path / "thin.html").read_text(encoding="utf-8")).text
    assert "(proven on this site: clears " in told
    assert "clears power/undervoltage" in told
    assert capfd.readouterr().err == ""


def test_a_waiver_without_a_name(reports: Reports) -> None:
    report = reports("gannet-bay")
    site = report.sites[0]
    found = tuple(replace(each, waived=Waived("old riser")) if each.waived else each for each in site.findings)
    text = Reader(document(replace(report, sites=(replace(site, findings=found),)))).text
    assert "old risernot namedno end" in text


# The drawing


def _labels(page: str) -> list[str]:
    """What is written in the drawings, each text by itself; titles that are only read aloud are left out."""
    return [re.sub(r"<title>.*?</title>|<[^>]+>", "", each) for each in re.findall(r"<text.*?</text>", page, re.DOTALL)]


@pytest.mark.parametrize("name", ["quill-orchard", "gannet-bay", "kestrel-reach"])
def test_every_line_of_the_drawing_keeps_number_and_length(name: str, reports: Reports) -> None:
    """The numbers of the cable schedule, whose sheets are made in another room; a finding never takes their place."""
    report = reports(name)
    site = report.sites[0]
    loaded = load_site(next(each for each in (ROOT / "examples").rglob(f"{name}.site.yaml")))
    labels = _labels(document(report))
    drawn = [each for each in Pack(loaded, site).lines if each.use in ("video", "power")]
    numbered = {each.subject + each.use: each.number[:-1] if each.number[-1].isalpha() else each.number
                for each in Pack(loaded, site).cables}  # fmt: skip
    seen = 0
    for line in drawn:
        group, _, camera = line.subject.partition("/")
        if group != "cameras" or not line.known or line.subject + line.use not in numbered:
            continue
        metres = [hop.metres for hop in line.hops if hop.cable is not None]
        length = "no length" if None in metres else figures.metres(sum(each for each in metres if each is not None))
        number = numbered[line.subject + line.use]
        assert any(each.startswith(number) and length in each for each in labels), (camera, number, length)
        seen += 1
    assert seen > 10


def test_cameras_on_one_input_are_marked(tmp_path: Path) -> None:
    folder = ROOT / "examples" / "boatyard"
    text = (folder / "alder-wharf.site.yaml").read_text(encoding="utf-8")
    shutil.copytree(folder / "parts", tmp_path / "parts")
    (tmp_path / "two.site.yaml").write_text(text.replace("into: rec1/3", "into: rec1/2"), encoding="utf-8")
    assert run(["report", str(tmp_path / "two.site.yaml"), "-o", str(tmp_path / "two.html")]) == 0
    labels = _labels((tmp_path / "two.html").read_text(encoding="utf-8"))
    assert sum("2 on one" in each for each in labels) == 2
