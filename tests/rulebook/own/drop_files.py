"""A file of facts of a user, and a rule of three lines that reads one of them."""

from __future__ import annotations

DROP = """\
    kind: feed
    limits:
      usual: {value: 10 %, source: common practice, about: voltage lost on the way}
    steps:
      lost:
        says: Voltage lost between supply and camera at night.
        unit: V
        is: feed.load.volts_nominal - feed.volts_night
        cases: [{given: {load: {volts_nominal: 12 V}, volts_night: 11 V}, gives: 1 V}]
    facts:
      lost_share:
        says: Voltage lost at night, as a share of the nominal voltage.
        is: feed.lost / feed.load.volts_nominal
        source: {title: common practice}
        cases:
          - {given: {lost: 1.2 V, load: {volts_nominal: 12 V}}, gives: 0.1}
          - {given: {load: {volts_nominal: 12 V}}, open: [lost]}
      loses_much:
        says: More is lost than is usual.
        is: feed.lost_share > limit.usual
        cases: [{given: {lost_share: 0.2}, gives: true}, {given: {lost_share: 0.05}, gives: false}]
"""
RULE = """\
    about: feed
    require: "!feed.loses_much"
    says: "{feed.load.name} loses {feed.lost_share|%} on the way."
"""
