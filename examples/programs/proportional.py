"""Proportional heating as an outside program: the colder the water, the longer the heaters are on in each cycle."""

import json
import sys

BAND_K = 1.0


def answer(value):
    print(json.dumps(value), flush=True)


hello = json.loads(sys.stdin.readline())
answer({"protocol": 1})
setpoint_c = hello["setpoint_c"]
probe = next(probe["name"] for probe in hello["probes"] if probe["purpose"] == "control")
heaters = [contact["name"] for contact in hello["contacts"] if contact["role"] == "heat"]

# The input ends with the run.
for line in sys.stdin:
    now = json.loads(line)
    water_c = now["probes"][probe]
    if water_c is None:
        duty = 0.0
    else:
        duty = min(1.0, max(0.0, (setpoint_c + BAND_K / 2 - water_c) / BAND_K))
    answer({"contacts": {heater: duty for heater in heaters}})
