"""scikit-sundae: CVODE of SUNDIALS, stopped by an event where the probe crosses a switching point."""
import numpy
from sksundae.cvode import CVODE

from rhs import CLOSES_C, DAY_S, HEATER_W, OPENS_C, PROBE, STATES, TARGET_C, WATER, rate


class Heater:
    """What the solver's functions are told beside time and state."""

    watts = 0.0


def derivative(t_s, y, dydt, heater):
    rate(t_s, y, heater.watts, dydt)


def crosses(_t_s, y, events, heater):
    events[0] = y[PROBE] - (OPENS_C if heater.watts else CLOSES_C)


def solver(heater, method, tolerance, **events):
    return CVODE(
        derivative, userdata=heater, method=method, rtol=tolerance, atol=tolerance, max_num_steps=100_000, **events
    )


def course(record, method, tolerance):
    """Water at each row of the record, with the heater switched as recorded."""
    heater = Heater()
    cvode = solver(heater, method, tolerance)
    y, water_c = numpy.full(STATES, TARGET_C), [TARGET_C]
    for first, last, heater.watts in record.stretches():
        cvode.init_step(record.t_s[first], y)
        for row in range(first + 1, last + 1):
            y = cvode.step(record.t_s[row], tstop=record.t_s[last]).y
            water_c.append(y[WATER])
    return water_c


def starts(days, method, tolerance):
    """Starts of the heater under on-off."""
    heater, count, end_s = Heater(), 0, days * DAY_S
    cvode = solver(heater, method, tolerance, eventsfn=crosses, num_events=1)
    t_s, y = 0.0, numpy.full(STATES, TARGET_C)
    while True:
        cvode.init_step(t_s, y)
        solved = cvode.step(end_s, tstop=end_s)
        if solved.t >= end_s:
            return count
        t_s, y = solved.t, solved.y
        heater.watts = 0.0 if heater.watts else HEATER_W
        count += heater.watts > 0
