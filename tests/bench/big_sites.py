"""Invented sites of any size for benchmarks and load tests: `python tests/bench/big_sites.py 10000 FOLDER`.

Twelve lines of YAML a camera; recorders of 32 channels; every fourth supply feeds a shared trunk; one camera in fifty
has a fault, so that a check has findings to tell. The same size gives the same bytes.
"""

from __future__ import annotations

import sys
from pathlib import Path

PARTS = """\
parts:
  bench/rack-32:
    kind: recorder
    source: invented for benchmarks
    inputs:
      - channels: 1-32
        accepts:
          - {family: [tvi, ahd, cvi], mode: [1280x720@25, 1920x1080@25, 1920x1080@30]}
          - {family: [tvi, ahd], mode: [2592x1944@12.5, 2592x1944@20]}
          - {family: [tvi, ahd], mode: [3840x2160@12.5, 3840x2160@15], width: reduced}
    encodes:
      - {up_to: 3840x2160, rate: 8 fps}
      - {up_to: 2592x1944, rate: 12.5 fps}
      - {up_to: 1920x1080, rate: 25 fps}
    encodes_total: 2200 Mpx/s
    codecs: [h264, h265]
    bays: 8
    disk_max: 12 TB
    record_bitrate: 320 Mb/s
    sound: {coax_channels: 1-32, coax_families: [tvi, ahd], line_inputs: 4}
    control: {coax_families: [tvi, ahd, cvi], coax_maker: any}
    sorted_motion: 1-16
    network: {cameras: 2, cameras_max: 8}
    temperature_min: 0 °C
    temperature_max: 45 °C
  bench/turret-5:
    kind: camera
    source: invented for benchmarks
    emits:
      - {family: [tvi, ahd, cvi], mode: [2592x1944@20, 2592x1944@12.5, 1920x1080@25, 1920x1080@30]}
    starts_as: {family: tvi, mode: 2592x1944@20}
    switched_by: [menu-over-coax]
    heeds_asks: true
    power:
      {kind: dc, volts: 12 V, volts_min: 10.5 V, volts_max: 14 V, watts_day: 2.4 W, watts_night: 5.2 W,
       load: constant-power}
    sound: {microphone: true, over_coax: [tvi, ahd]}
    control: {over_coax: [tvi, ahd, cvi], moves: false}
    housing: {rated: outdoor, ip: IP66/IP67, ik: IK10, temperature_min: -30 °C, temperature_max: 60 °C}
  bench/dome-2:
    kind: camera
    source: invented for benchmarks
    emits:
      - {family: [tvi, ahd, cvi], mode: [1920x1080@25, 1920x1080@30]}
    starts_as: {family: tvi, mode: 1920x1080@25}
    switched_by: [dip-switch]
    heeds_asks: false
    power:
      {kind: dc, volts: 12 V, volts_min: 10.5 V, volts_max: 14 V, watts_day: 1.8 W, watts_night: 3.6 W,
       load: constant-power}
    sound: {microphone: false}
    control: {over_coax: [tvi, ahd, cvi], moves: false}
    housing: {rated: outdoor, ip: IP66/IP67, ik: IK10, temperature_min: -30 °C, temperature_max: 60 °C}
  bench/dc12-16way:
    kind: supply
    source: invented for benchmarks
    gives: dc
    volts: 12 V
    trim_min: 11.5 V
    trim_max: 14 V
    amps: 20 A
    outputs: 16
    amps_per_output: 5 A
    output_protection: resettable
  bench/disk-10tb:
    kind: disk
    source: invented for benchmarks
    capacity: 10 TB
    workload: 180 TB/year
    continuous: true
"""
HEAD = """\
site: Benchmark of {count} cameras
video_rate: 25
retention: 14 days
parts: [parts/*.yaml]
"""
RECORDER = """\
  r{n}:
    part: bench/rack-32
    disks: [{disks}]
    record: {{codec: h265, schedule: continuous}}
    place: {{building: b{n}, setting: indoor}}
"""
CAMERA = """\
  c{n}:
    part: bench/{part}
    set: {{family: tvi, mode: {mode}}}
    video:
      into: r{recorder}/{channel}
      over:
        - {{cable: rg59-copper, length: {video} m, setting: sheltered}}
    power:
      from: {source}
      over: [{{cable: dc-1.5mm2, length: {power} m, setting: sheltered}}]
    place: {{setting: outdoor, building: b{recorder}, reach: tool}}
    wants: {{rate: {rate} fps}}
"""
CHANNELS = 32
WAYS = 16


def source_of(n: int) -> str:
    """Supply output of camera `n` (from 0); every fourth supply feeds two trunks of eight cameras each."""
    supply, way = divmod(n, WAYS)
    if supply % 4 == 3:
        return f"t{supply + 1}-{way // 8 + 1}-{way % 8 // 2 + 1}"
    return f"p{supply + 1}/{way + 1}"


def trunk(supply: int) -> str:
    """The junctions of the two trunks of one supply."""
    lines = []
    for side in (1, 2):
        for tap in range(1, 5):
            source = f"p{supply}/{side}" if tap == 1 else f"t{supply}-{side}-{tap - 1}"
            run = "{cable: dc-4mm2, length: 12 m, setting: indoor}"
            lines.append(f"  t{supply}-{side}-{tap}: {{power: {{from: {source}, over: [{run}]}}}}\n")
    return "".join(lines)


def camera(n: int) -> str:
    """Twelve lines for camera `n` (from 0)."""
    small = n % 3 == 0
    return CAMERA.format(
        n=n + 1,
        part="dome-2" if small else "turret-5",
        mode="1920x1080@25" if small else "2592x1944@12.5",
        recorder=n // CHANNELS + 1,
        channel=n % CHANNELS + 1,
        video=20 + n * 7 % 90,
        power=390 if n % 50 == 7 else 6 + n * 5 % 40,
        source=source_of(n),
        rate=6 + n % 6,
    )


def site_text(count: int) -> str:
    """The site file for `count` cameras."""
    recorders = -(-count // CHANNELS)
    supplies = -(-count // WAYS)
    disks = ", ".join(["bench/disk-10tb"] * 8)
    parts = [HEAD.format(count=count), "recorders:\n"]
    parts += [RECORDER.format(n=n + 1, disks=disks) for n in range(recorders)]
    parts.append("supplies:\n")
    supply = "{part: bench/dc12-16way, trim: 13 V, place: {setting: indoor}}"
    parts += [f"  p{n + 1}: {supply}\n" for n in range(supplies)]
    trunks = [trunk(n + 1) for n in range(supplies) if n % 4 == 3]
    parts += ["junctions:\n", *trunks] if trunks else []
    parts.append("cameras:\n")
    parts += [camera(n) for n in range(count)]
    return "".join(parts)


def write_site(count: int, folder: Path) -> Path:
    """Write the site and its parts into `folder`; returns the site file."""
    (folder / "parts").mkdir(parents=True, exist_ok=True)
    (folder / "parts" / "bench.yaml").write_text(PARTS, encoding="utf-8")
    path = folder / f"big-{count}.site.yaml"
    path.write_text(site_text(count), encoding="utf-8")
    return path


if __name__ == "__main__":
    print(write_site(int(sys.argv[1]), Path(sys.argv[2])))
