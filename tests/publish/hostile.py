"""An archive whose texts attack the page they stand on."""

from __future__ import annotations

import json

EVIL = '</title><script>alert(1)</script>"\'> *x* {{ y }} --8<-- "z" [a](javascript:b) <!-- c'
TEXT = json.dumps(EVIL)

ARCHIVE = f"""
format: 1
name: {TEXT}
summary: {TEXT}
invented: true
units: imperial
correction: iso-1585
"""
BLOWER = f"""
format: 1
title: {TEXT}
kind: lobe
summary: {TEXT}
displacement: 1.1 L
pulleys: [85 mm]
fits: {{mount: [{TEXT}]}}
options: [{{item: {TEXT}, note: {TEXT}}}]
"""
BUILD = f"""
format: 1
title: {TEXT}
summary: {TEXT}
formerly: [old-name]
engine: {{cylinders: 4, bore: 90 mm, stroke: 90 mm, max_speed: 6000 rpm, mount: {TEXT}}}
induction: {{blower: evil, filter: {TEXT}}}
drive: {{crank_pulley: 160 mm, blower_pulley: 85 mm}}
parts: [{{item: {TEXT}, group: {TEXT}, maker_number: {TEXT}, note: {TEXT}}}]
setups: [{{id: p85, title: {TEXT}, fuel: e85, note: {TEXT}}}]
sessions:
  - date: 2025-05-14
    title: {TEXT}
    dyno: {{kind: engine, measured_at: flywheel, note: {TEXT}}}
    figures: observed
    note: {TEXT}
    pulls: [{{setup: p85, peaks: {{power: 200 kW at 5500 rpm, boost: 70 kPa}}, note: {TEXT}}}]
"""
