"""numba: a loop compiled as a whole; at each tick of the control interval the controller decides and one step is made."""
import numpy

from rhs import CLOSES_C, DAY_S, HEATER_W, INTERVAL_S, OPENS_C, PROBE, STATES, TARGET_C, WATER, compiled, rate


@compiled
def runge_kutta_4(t_s, y, heater_w, step_s, work):
    """The classic step of fourth order."""
    k1, k2, k3, k4, between = work
    rate(t_s, y, heater_w, k1)
    for i in range(STATES):
        between[i] = y[i] + 0.5 * step_s * k1[i]
    rate(t_s + 0.5 * step_s, between, heater_w, k2)
    for i in range(STATES):
        between[i] = y[i] + 0.5 * step_s * k2[i]
    rate(t_s + 0.5 * step_s, between, heater_w, k3)
    for i in range(STATES):
        between[i] = y[i] + step_s * k3[i]
    rate(t_s + step_s, between, heater_w, k4)
    for i in range(STATES):
        y[i] += step_s / 6 * (k1[i] + 2 * k2[i] + 2 * k3[i] + k4[i])


@compiled
def heun(t_s, y, heater_w, step_s, work):
    """The step of second order with two looks."""
    k1, k2, _, _, between = work
    rate(t_s, y, heater_w, k1)
    for i in range(STATES):
        between[i] = y[i] + step_s * k1[i]
    rate(t_s + step_s, between, heater_w, k2)
    for i in range(STATES):
        y[i] += 0.5 * step_s * (k1[i] + k2[i])


def loops(step):
    """The two loops with one kind of step."""

    @compiled
    def course(t_s, heater_w, water_c):
        y, work = numpy.full(STATES, TARGET_C), numpy.empty((5, STATES))
        for row in range(len(t_s) - 1):
            now_s = t_s[row]
            while now_s < t_s[row + 1]:
                step(now_s, y, heater_w[row], INTERVAL_S, work)
                now_s += INTERVAL_S
            water_c[row + 1] = y[WATER]

    @compiled
    def starts(days):
        y, work = numpy.full(STATES, TARGET_C), numpy.empty((5, STATES))
        on, count = False, 0
        for tick in range(round(days * DAY_S / INTERVAL_S)):
            if not on and y[PROBE] <= CLOSES_C:
                on = True
                count += 1
            elif on and y[PROBE] >= OPENS_C:
                on = False
            step(tick * INTERVAL_S, y, HEATER_W if on else 0.0, INTERVAL_S, work)
        return count

    return course, starts


STEPS = {step.__name__: loops(step) for step in (runge_kutta_4, heun)}


def course(record, step):
    """Water at each row of the record, with the heater switched as recorded: always at a whole tick."""
    water_c = numpy.full(len(record.t_s), TARGET_C)
    STEPS[step][0](numpy.array(record.t_s), numpy.array(record.heater_w), water_c)
    return water_c


def starts(days, step):
    """Starts of the heater under on-off."""
    return STEPS[step][1](days)
