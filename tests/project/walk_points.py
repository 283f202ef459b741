# ruff: noqa: E501
"""The forty points of docs/walk.md: command, score of a stranger (0, 1 or 2), and what keeps it from 2.

Asked by common practice of command lines, reports and quizzes. `$T` is an empty folder. `pytest` stands for the tests
named, without the seconds; where a point is `measured`, its output is of the machine that made the page.
"""

from __future__ import annotations

from typing import NamedTuple

PRESS = "examples/cider-press/quill-orchard.site.yaml"
NURSERY = "examples/plant-nursery/rowan-bank.site.yaml"
DAY = "--today 2026-11-30"


class Point(NamedTuple):
    """One point: a heading of a group, where one begins here, then what is looked at."""

    title: str
    command: str
    score: int = 2
    lacks: str = ""
    group: str = ""
    measured: bool = False


def passed(*tests: str) -> str:
    """The tests that hold a point which no command shows."""
    return f"pytest -q -n 0 {' '.join(tests)} | grep -o '^[0-9]* passed.* in' | sed 's/ in$//'"


def seen(*tests: str) -> str:
    """The same in a real browser."""
    return f"COAXWRIGHT_REAL=1 {passed(*tests)}"


POINTS = (
    Point("A fresh environment: under 60 s, under 60 MB, no compiler", "python3 -m venv $T/v && time $T/v/bin/pip install -q . 2> $T/said; du -sm --exclude='pip*' --exclude='setuptools*' $T/v/lib/python3*/site-packages | cut -f1", 1, "Quick, but 68 MB.", "First five minutes", measured=True),
    Point("A bare call says what this is and what to do next", "coaxwright"),
    Point("Help of every command begins with examples and is quick", "coaxwright check -h | head -3; time coaxwright check -h > /dev/null; " + passed("tests/cli/test_calls.py -k help"), measured=True),
    Point("A first site checks without an edit", f"cd $T; coaxwright new mill.site.yaml; wc -l < mill.site.yaml; coaxwright check mill.site.yaml {DAY} > said; echo status $?; tail -1 said"),
    Point("Every command of the README works and prints what is shown", passed("tests/project/test_readme_outputs.py")),
    Point("One mistake in each of ten fields", "cd $T; coaxwright new mill.site.yaml > made 2>&1; for m in 's/14 days/14 dys/' 's/rate: 25/rate: 26/' 's/: indoor}/: indors}/' 's/own.camera/own\\/camra/' 's/psu1.1/psu9\\/1/' 's/rg59-copper/rg59-coper/' 's/generic.dc12-5a-4way/7/' 's/site: mill/site: [mill/' 's/video: {into: rec1.2}/video: {into: rec1\\/2, over: [{length: 45 ells}]}/' 's/  cam04/  cam 04/'; do sed \"$m\" mill.site.yaml > m.site.yaml; coaxwright check m.site.yaml 2>&1 | head -1; done"),
    Point("A key, a rule and a command that are misspelt", "sed s/recorders:/recoders:/ " + NURSERY + " | coaxwright check - --stdin-filename " + NURSERY + "; coaxwright explain power/undervoltge; coaxwright chek x; coaxwright check x --fromat json"),
    Point("Files that are missing, empty, binary; a folder without sites", "cd $T; touch empty.site.yaml; mkdir none; printf '\\377\\1' > bin.site.yaml; for f in missing.site.yaml empty.site.yaml none bin.site.yaml; do coaxwright check $f; echo status $?; done"),
    Point("The first failing example says what to change", "coaxwright demo"),
    Point("Random breakages end in plain words", passed("tests/hostile/test_attacks.py tests/hostile/test_rule_fuzz.py")),
    Point("A finding in full: id, place, numbers, margin, why, sources", f"coaxwright check {PRESS} --detail full {DAY} | grep -m1 -A30 'power/undervoltage'", group="Findings"),
    Point("Marks under a line with tabs, emoji and wide letters", "printf 'site: \"日本 🎥\"\\nvideo_rate: 25\\nretention: 14\\n' | coaxwright check -; " + passed("tests/reporting/test_excerpt.py")),
    Point("Why a rule exists, with a wrong and a right example", "coaxwright explain power/undervoltage"),
    Point("Numbers of messages, worked out by hand", "python3 -c \"r, p, v = 5.89, 5.8, 12; print('yard %.2f V' % ((v + (v*v - 4*r*p)**.5)/2)); print('glasshouse %.1f days' % (3.72e12*8/20.48e6/86400)); print('short by %.0f %%' % (100 - 736/10.8))\"; coaxwright check " + f"{PRESS} {NURSERY} --detail concise {DAY} | grep -e 'yard gets' -e 'disks of rec1 hold'"),
    Point("A change, applied, clears its finding and makes nothing worse", f"cp -r examples/plant-nursery $T/n; cd $T/n; coaxwright check *.site.yaml {DAY} | tail -1; coaxwright fix *.site.yaml --on cameras/gate --write | grep '^[-+] '; coaxwright check *.site.yaml {DAY} | tail -1"),
    Point("The last line counts and says what to do next", f"coaxwright check {PRESS} {DAY} | tail -1"),
    Point("A length that is taken out opens what hangs on it", f"sed 's/dc-0.5mm2-outdoor, length: 70 m/dc-0.5mm2-outdoor/' {NURSERY} | coaxwright check - --stdin-filename {NURSERY} --detail concise | grep undervoltage"),
    Point("Waivers need reasons; those without use or past their day are told", "printf 'waivers:\\n  - {rule: power/undervoltage, on: cameras/gate, reason: agreed, by: the owner, until: 2026-01-31}\\n  - {rule: cable/joint-count, on: cameras/gate, reason: agreed, by: the owner, until: 2027-01-31}\\n' | cat " + f"{NURSERY} - | coaxwright check - --stdin-filename {NURSERY} --detail concise {DAY} | grep -i waive"),
    Point("Forty cameras with one fault are one block", "cp -r examples/boatyard/parts $T; cd $T; coaxwright new m.site.yaml --cameras 40 --length 300m --parts 'parts/*.yaml' > made 2>&1; coaxwright check m.site.yaml " + f"{DAY} | grep -e ERROR -e '39 more'"),
    Point("A line for each finding", f"coaxwright check {PRESS} --detail concise {DAY}"),
    Point("Forms for machines are valid and the same every time", f"coaxwright check {PRESS} --format json {DAY} | sha256sum | cut -c1-12; PYTHONHASHSEED=7 coaxwright check {PRESS} --format json {DAY} | sha256sum | cut -c1-12; " + passed("tests/reporting/test_machine_formats.py"), 1, "There is no JUnit form.", "Machines"),
    Point("Exit status is the same in every form", f"for f in text json sarif md html annotations statistics jsonl; do coaxwright check {PRESS} --format $f > /dev/null; echo $f $?; done"),
    Point("No escape codes where none belong", f"coaxwright check {PRESS} | grep -c $'\\e'; NO_COLOR=1 coaxwright check {PRESS} | grep -c $'\\e'; TERM=dumb coaxwright check {PRESS} | grep -c $'\\e'"),
    Point("Pipes and full disks", f"coaxwright check {PRESS} {DAY} 2> /dev/null | tail -1 | cut -c1-40; coaxwright check {PRESS} {DAY} | head -1; coaxwright check {PRESS} > /dev/full; echo status $?"),
    Point("Hook and completion", passed("tests/project/test_hooks.py")),
    Point("The report asks for nothing and says nothing to the console", seen("tests/report/test_browser.py -k 'no_request'"), group="Report and page"),
    Point("Without script all is there", seen("tests/report/test_browser.py -k without_script")),
    Point("By keyboard alone", seen("tests/report/test_browser.py -k keyboard")),
    Point("No faults of access, contrast worked out, states differ without colour", seen("tests/report/test_browser.py -k 'axe or contrast or without_colour'")),
    Point("Narrow screens and 400 %", seen("tests/report/test_browser.py -k reflow")),
    Point("Print on A4 and Letter", seen("tests/report/test_browser.py -k 'print or page_count or landscape'")),
    Point("Drawings of 1 to 128 cameras", passed("tests/report/test_layout.py")),
    Point("At the counter: this camera with that recorder?", "coaxwright pair brackwater/dome-2 tarnwell/middle-8 --parts 'examples/cider-press/parts/*.yaml'; " + seen("tests/desk/test_counter_journey.py -k 'server or static_host'")),
    Point("The desk: address, reload, wrong uploads, two tabs, its end", seen("tests/desk/test_tabs.py tests/desk/test_session.py tests/desk/test_guard.py")),
    Point("Metres, feet and commas say the same, or are refused", "for l in '70 m' '229.6588 ft' \"'0,07 km'\" '70 ells'; do sed \"s/outdoor, length: 70 m/outdoor, length: $l/\" " + f"{NURSERY} | coaxwright check - --stdin-filename {NURSERY} --detail concise {DAY} 2>&1 | grep -m1 -e 'gate gets' -e unit -e length -e comma; done", group="Data"),
    Point("Untidy spreadsheets are read, or refused with the cell", passed("tests/schedules/test_messy.py tests/schedules/test_round_trip.py")),
    Point("A change is small, comments stay, undo gives back the bytes", "cp -r examples/plant-nursery $T/n; cd $T/n; cp *.site.yaml was; coaxwright fix *.site.yaml --on cameras/gate --write; coaxwright fix *.site.yaml --undo > said; cmp was *.site.yaml && echo the same bytes"),
    Point("Papers: one seed, one paper; no key in it", "q() { coaxwright quiz make --count 4 --topic power --seed $1 | sha256sum | cut -c1-12; }; q 7; q 7; q 8; coaxwright quiz make --count 2 --topic power --seed 7 | grep -ci -e 'answer key' -e 'correct'; " + passed("tests/quiz/test_rejudging.py"), group="Quiz"),
    Point("Items stand every check; wrong options are explained", passed("tests/quiz/test_checks.py tests/quiz/test_items.py")),
    Point("Killed while writing, no room, read-only, two writers", passed("tests/hostile/test_writing.py tests/hostile/test_power_cut.py"), group="Trust"),
)  # fmt: skip
