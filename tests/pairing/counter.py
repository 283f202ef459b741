"""A small invented catalogue in which inputs, lamps, ways of switching and stated values differ, for tests by hand.

pw/h8 takes 5 MP at full width on inputs 1 and 2 only and at reduced width on the others; nv/h4 takes sound on input 1 of
its 4 and sorts motion on 1 and 2; mm/c8 is switched in its menu over the coax alone.
"""

from __future__ import annotations

from pathlib import Path

from coaxwright.pairing.cells import Clerk
from coaxwright.reading.catalogue import build_catalogue

TEXT = """\
currency: EUR
parts:
  os/five:
    kind: camera
    source: invented OS-5
    price: 60
    emits: [{family: tvi, mode: [2592x1944@20, 1920x1080@25]}]
    starts_as: {family: tvi, mode: 2592x1944@20}
    switched_by: [menu-button]
    heeds_asks: false
    sound: {microphone: true, over_coax: [tvi], line_output: true}
    control: {over_coax: [tvi], moves: false}
    night: {lamp: infrared, lamp_range: 30 m}
    housing: {rated: outdoor, ik: IK10}
    power: {volts: 12 V, watts_day: 3 W, watts_night: 6 W}
  os/two:
    kind: camera
    source: invented OS-2
    price: 30
    emits: [{family: tvi, mode: 1920x1080@25}]
    switched_by: []
    sound: {microphone: false}
    control: {over_coax: [tvi], moves: false}
    night: {lamp: none}
    housing: {rated: indoor}
    power: {volts: 12 V, watts_day: 2 W, watts_night: 2 W}
  os/ptz:
    kind: camera
    source: invented OS-P
    price: 400
    retired: true
    emits: [{family: tvi, mode: 1920x1080@25}]
    switched_by: [menu-button]
    sound: {microphone: false}
    control: {over_coax: [tvi], moves: true}
    night: {lamp: infrared, lamp_range: 60 m}
    housing: {rated: outdoor, ip: IP66/IP67}
    power: {volts: 12 V, watts_day: 9 W, watts_night: 20 W}
  os/ptz-new:
    kind: camera
    source: invented OS-PN
    price: 450
    emits: [{family: tvi, mode: 1920x1080@25}]
    switched_by: [menu-button]
    sound: {microphone: false}
    control: {over_coax: [tvi], moves: true}
    night: {lamp: infrared, lamp_range: 80 m}
    housing: {rated: outdoor}
    power: {volts: 12 V, watts_day: 9 W, watts_night: 18 W}
  mm/c8:
    kind: camera
    source: invented MM-8
    emits: [{family: tvi, mode: [3840x2160@12.5, 1920x1080@25]}]
    starts_as: {family: tvi, mode: 3840x2160@12.5}
    switched_by: [menu-over-coax]
    control: {over_coax: [tvi]}
    sound: {microphone: false}
  pw/h8:
    kind: recorder
    source: invented PW-H8
    price: 200
    inputs:
      - {channels: 1-2, accepts: [{family: tvi, mode: [2592x1944@20, 1920x1080@25]}]}
      - {channels: 3-8, accepts: [{family: tvi, mode: 1920x1080@25}, {family: tvi, mode: 2592x1944@20, width: reduced}]}
    encodes: [{up_to: 2592x1944, rate: 20 fps}, {up_to: 1920x1080, rate: 25 fps}]
    encodes_total: 400 Mpx/s
    codecs: [h265]
    sound: {coax_channels: 1-8, coax_families: [tvi], line_inputs: 1}
    control: {coax_families: [tvi]}
    sorted_motion: 1-8
  nv/h4:
    kind: recorder
    source: invented NV-H4
    price: 150
    inputs: [{channels: 1-4, accepts: [{family: tvi, mode: [2592x1944@20, 1920x1080@25]}]}]
    encodes: [{up_to: 2592x1944, rate: 20 fps}, {up_to: 1920x1080, rate: 25 fps}]
    encodes_total: 120 Mpx/s
    codecs: [h265]
    sound: {coax_channels: 1, coax_families: [tvi], line_inputs: 0}
    control: {coax_families: [tvi]}
    sorted_motion: 1-2
"""


def catalogue_file(folder: Path, more: str = "") -> Path:
    """The catalogue as a file, with more entries behind."""
    path = folder / "counter.yaml"
    path.write_text(TEXT + more, encoding="utf-8")
    return path


def clerk_of(folder: Path, more: str = "") -> Clerk:
    """A clerk with that catalogue."""
    return Clerk(build_catalogue([(catalogue_file(folder, more), "counter.yaml")]))
