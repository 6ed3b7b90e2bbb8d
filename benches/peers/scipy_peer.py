"""SciPy: `solve_ivp` with LSODA, stopped by an event where the probe crosses a switching point."""
import sys
import time

import numpy
from scipy.integrate import solve_ivp

from rhs import CLOSES_C, DAY_S, HEATER_W, OPENS_C, PROBE, STATES, TARGET_C, WATER, rate


def derivative(t_s, y, heater_w):
    dydt = numpy.empty(STATES)
    rate(t_s, y, heater_w, dydt)
    return dydt


def falls_to_closing(_t_s, y, _heater_w):
    return y[PROBE] - CLOSES_C


def rises_to_opening(_t_s, y, _heater_w):
    return y[PROBE] - OPENS_C


for event, direction in ((falls_to_closing, -1), (rises_to_opening, 1)):
    event.terminal, event.direction = True, direction


def course(record, tolerance):
    """Water at each row of the record, with the heater switched as recorded."""
    y, water_c = numpy.full(STATES, TARGET_C), [TARGET_C]
    for first, last, heater_w in record.stretches():
        solved = solve_ivp(
            derivative,
            (record.t_s[first], record.t_s[last]),
            y,
            method="LSODA",
            t_eval=record.t_s[first + 1 : last + 1],
            args=(heater_w,),
            rtol=tolerance,
            atol=tolerance,
        )
        water_c.extend(solved.y[WATER])
        y = solved.y[:, -1]
    return water_c


def starts(days, tolerance):
    """Starts of the heater under on-off."""
    t_s, y, on, count = 0.0, numpy.full(STATES, TARGET_C), False, 0
    while True:
        solved = solve_ivp(
            derivative,
            (t_s, days * DAY_S),
            y,
            method="LSODA",
            events=rises_to_opening if on else falls_to_closing,
            args=(HEATER_W if on else 0.0,),
            rtol=tolerance,
            atol=tolerance,
        )
        if solved.status == 0:
            return count
        t_s, y, on = solved.t[-1], solved.y[:, -1], not on
        count += on


if __name__ == "__main__":
    # For a process of its own, in which nothing is compiled: starts and the seconds of processor that they took.
    days, tolerance = int(sys.argv[1]), float(sys.argv[2])
    begun = time.process_time()
    print(starts(days, tolerance), time.process_time() - begun)
