"""The right-hand side of tank.toml: every equation that tepid uses for it, written out once more.

State: water, rock, heater body, probe, in degrees C. SI units throughout; temperatures in degrees C unless a name ends with `_k`.
Sources of the equations and how far each holds: docs/model.md and the file of `sim/src/physics/` that each part names. Shared by the
SciPy, the numba and the CVODE peer; the numbers that the equations need go to the diffsol peer with `parameters()`.

With NUMBA_DISABLE_JIT=1 in the environment the same functions run as plain Python.
"""
import math

import numpy
from numba import config, njit

# numba has no `math.cbrt`, and numpy's is slow in plain Python.
cbrt = math.cbrt if config.DISABLE_JIT else numpy.cbrt

# No check for zero at each division, as a compiler of another language has none either; `fastmath` stays off.
compiled = njit(error_model="numpy")

WATER, ROCK, BODY, PROBE = range(4)
STATES = 4

# ---------------------------------------------------------------- tank.toml and the defaults of its strategy, on-off
SALINITY_G_PER_KG = 35.0
TARGET_C = 25.5
LENGTH_M, WIDTH_M, WATER_HEIGHT_M = 1.0, 0.45, 0.42
PANE_M = 0.010
ROCK_KG = 20.0
ROOM_MEAN_C, ROOM_SWING_K, WARMEST_S = 21.0, 3.0, 15.0 * 3600
HUMIDITY = 0.5
PUMP_W = 15.0
HEATER_W = 250.0
PROBE_LAG_S = 30.0
DEADBAND_K = 0.4
INTERVAL_S = 10.0
CLOSES_C = TARGET_C - DEADBAND_K / 2  # the heater's contact closes at or below it ...
OPENS_C = TARGET_C + DEADBAND_K / 2  # ... and opens at or above it

# ---------------------------------------------------------------- constants, as sim/src/physics/ has them
ZERO_CELSIUS_K = 273.15
GRAVITY = 9.80665
PRESSURE_PA = 101_325.0
DRY_AIR_GAS_CONSTANT = 287.042
VAPOUR_TO_AIR = 0.621945
LEWIS_TO_TWO_THIRDS = 0.85 ** (2 / 3)
STEFAN_BOLTZMANN = 5.670374419e-8
WATER_EMISSIVITY, PANE_EMISSIVITY = 0.95, 0.9
INNER_FILM = 500.0  # W/(m2 K), stirred water
NOMINAL_OUTER_FILM = 7.7  # W/(m2 K)
GLASS_CONDUCTIVITY, GLASS_DENSITY, GLASS_SPECIFIC_HEAT = 1.0, 2500.0, 840.0
ROCK_DENSITY, ROCK_SPECIFIC_HEAT, ROCK_FILM_W_PER_K_KG = 2000.0, 840.0, 50.0 / 30.0
BODY_J_PER_K_W, BODY_M2_PER_W, BODY_DIAMETER_M = 1.0, 0.027 / 300.0, 0.026
DAY_S = 86_400.0


# ---------------------------------------------------------------- air and vapour (vapour.rs, dry_air.rs, moist_air.rs)
@compiled
def saturation_pressure_pa(temp_c):
    t = temp_c + ZERO_CELSIUS_K
    polynomial = 1.3914993 + t * (-4.8640239e-2 + t * (4.1764768e-5 - t * 1.4452093e-8))
    return math.exp(-5.8002206e3 / t + polynomial + 6.5459673 * math.log(t))


@compiled
def air_specific_heat(temp_c):
    return 1005.71858 + temp_c * (5.24037642e-3 + temp_c * (5.3486025e-4 - temp_c * 3.85965409e-7))


@compiled
def air_conductivity(temp_c):
    t = temp_c + ZERO_CELSIUS_K
    ratio = t / ZERO_CELSIUS_K
    return 2.42344916e-2 * ratio * math.sqrt(ratio) * (ZERO_CELSIUS_K + 181.931212) / (t + 181.931212)


@compiled
def air_viscosity(temp_c):
    t = temp_c + ZERO_CELSIUS_K
    ratio = t / ZERO_CELSIUS_K
    return 1.71783834e-5 * ratio * math.sqrt(ratio) * (ZERO_CELSIUS_K + 125.767381) / (t + 125.767381)


@compiled
def dry_air_density(temp_c, vapour_pa):
    return (PRESSURE_PA - vapour_pa) / (DRY_AIR_GAS_CONSTANT * (temp_c + ZERO_CELSIUS_K))


def air_prandtl(temp_c):
    return air_viscosity(temp_c) * air_specific_heat(temp_c) / air_conductivity(temp_c)


# ---------------------------------------------------------------- water, once at the start (water.rs)
def water_density(salinity_g_per_kg, temp_c):
    s, t = salinity_g_per_kg * (35.0 / 35.16504), temp_c * 1.00024
    fresh = 999.842594 + t * (6.793952e-2 + t * (-9.095290e-3 + t * (1.001685e-4 + t * (-1.120083e-6 + t * 6.536332e-9))))
    a = 0.824493 + t * (-4.0899e-3 + t * (7.6438e-5 + t * (-8.2467e-7 + t * 5.3875e-9)))
    b = -5.72466e-3 + t * (1.0227e-4 - t * 1.6546e-6)
    return fresh + s * (a + b * math.sqrt(s) + 4.8314e-4 * s)


def water_specific_heat(salinity_g_per_kg, temp_c):
    s, t = salinity_g_per_kg * (35.0 / 35.16504), temp_c * 1.00024
    fresh = 4217.4 + t * (-3.720283 + t * (0.1412855 + t * (-2.654387e-3 + t * 2.093236e-5)))
    a = -7.643575 + t * (0.1072763 - t * 1.38385e-3)
    b = 0.1770383 + t * (-4.07718e-3 + t * 5.148e-5)
    return fresh + s * (a + b * math.sqrt(s))


def water_viscosity(temp_c):
    reduced = (temp_c + ZERO_CELSIUS_K) / 300.0
    terms = ((280.68, -1.9), (511.45, -7.7), (61.131, -19.6), (0.45903, -40.0))
    return 1e-6 * sum(factor * reduced**power for factor, power in terms)


def water_conductivity(temp_c):
    reduced = (temp_c + ZERO_CELSIUS_K) / 300.0
    terms = ((0.80201, -0.32), (-0.25992, -5.7), (0.10024, -12.0), (-0.032005, -15.0))
    return sum(factor * reduced**power for factor, power in terms)


def water_expansion(temp_c):
    t = temp_c * 1.00024
    slope = 6.793952e-2 + t * (2 * -9.095290e-3 + t * (3 * 1.001685e-4 + t * (4 * -1.120083e-6 + t * 5 * 6.536332e-9)))
    return -slope * 1.00024 / water_density(0.0, temp_c)


# ---------------------------------------------------------------- natural convection (natural_convection.rs)
def churchill_chu(pivot, prandtl):
    """Factor of the sixth root of the Rayleigh number."""
    return 0.387 / (1 + (pivot / prandtl) ** (9 / 16)) ** (8 / 27)


SIDE_AT_REST, SIDE_PER_SIXTH_ROOT = 0.825, churchill_chu(0.492, air_prandtl(22.0))


@compiled
def side_nusselt(rayleigh):
    root = SIDE_AT_REST + SIDE_PER_SIXTH_ROOT * cbrt(math.sqrt(rayleigh))
    return root * root


@compiled
def bottom_nusselt(rayleigh, warmer):
    """A face that looks down: air stays under a warm one and falls from a cool one."""
    if warmer:
        return 0.52 * math.exp(0.2 * math.log(rayleigh)) if rayleigh > 0 else 0.0
    if rayleigh <= 1e7:
        return 0.54 * math.sqrt(math.sqrt(rayleigh))
    return 0.15 * cbrt(rayleigh)


def heater_film_w_per_k():
    """From the heater's body to still water, at rated power (heater_body.rs)."""
    area, d = BODY_M2_PER_W * HEATER_W, BODY_DIAMETER_M
    warmer_k = 10.0
    for _ in range(60):
        film_c = TARGET_C + 0.5 * warmer_k
        mu, k = water_viscosity(film_c), water_conductivity(film_c)
        nu, prandtl = mu / water_density(0.0, film_c), mu * water_specific_heat(0.0, film_c) / k
        rayleigh = GRAVITY * water_expansion(film_c) * warmer_k * d**3 / nu**2 * prandtl
        root = 0.60 + churchill_chu(0.559, prandtl) * rayleigh ** (1 / 6)
        conductance = area * root * root * k / d
        warmer_k = HEATER_W / conductance
    return conductance


# ---------------------------------------------------------------- panes (wall.rs)
SURFACE_M2 = LENGTH_M * WIDTH_M
SIDES_M2 = 2 * (LENGTH_M + WIDTH_M) * WATER_HEIGHT_M
BOTTOM_LENGTH_M = SURFACE_M2 / (2 * (LENGTH_M + WIDTH_M))
PANE_RESISTANCE = PANE_M / GLASS_CONDUCTIVITY
INSIDE_RESISTANCE = 1 / INNER_FILM + PANE_RESISTANCE


@compiled
def outer_film(face_c, air_c, length_m, sideways):
    """Convective and radiative film, W/(m2 K), outside a face."""
    warmer_k = face_c - air_c
    film_c = 0.5 * (face_c + air_c)
    film_k = film_c + ZERO_CELSIUS_K
    density = PRESSURE_PA / (DRY_AIR_GAS_CONSTANT * film_k)
    conductivity = air_conductivity(film_c)
    per_k_m3 = GRAVITY * density * density * air_specific_heat(film_c) / (film_k * air_viscosity(film_c) * conductivity)
    rayleigh = per_k_m3 * abs(warmer_k) * length_m * length_m * length_m
    nusselt = side_nusselt(rayleigh) if sideways else bottom_nusselt(rayleigh, warmer_k > 0)
    a, b = face_c + ZERO_CELSIUS_K, air_c + ZERO_CELSIUS_K
    radiative = PANE_EMISSIVITY * STEFAN_BOLTZMANN * (a * a + b * b) * (a + b)
    return nusselt * conductivity / length_m, radiative


@compiled
def wall_loss_w(area_m2, length_m, sideways, water_c, air_c):
    """The flux at which both sides of the outer face agree: one step of Newton's from a first guess, one of the secant."""
    first_c = air_c + (water_c - air_c) / (1 + NOMINAL_OUTER_FILM * INSIDE_RESISTANCE)
    convective, radiative = outer_film(first_c, air_c, length_m, sideways)
    first = (convective + radiative) * (first_c - air_c)
    surplus = first - (water_c - first_c) / INSIDE_RESISTANCE
    step_k = -surplus / (1 / INSIDE_RESISTANCE + 1.25 * convective + radiative)
    second_c = first_c + step_k
    convective, radiative = outer_film(second_c, air_c, length_m, sideways)
    second = (convective + radiative) * (second_c - air_c)
    slope = max((second - first) / step_k, 0.0) if step_k != 0 else 0.0
    surplus = second - (water_c - second_c) / INSIDE_RESISTANCE
    return area_m2 * (second - surplus * slope / (slope + 1 / INSIDE_RESISTANCE))


# ---------------------------------------------------------------- surface (surface.rs, evaporation/shah.rs)
WATER_ACTIVITY = 1 - 0.000537 * SALINITY_G_PER_KG
FRESH_SPECIFIC_HEAT = water_specific_heat(0.0, TARGET_C)


@compiled
def surface_loss_w(water_c, air_c, vapour_pa):
    """Heat lost by evaporation, convection and radiation, and by the warming of the water that replaces what evaporates."""
    water_pa = WATER_ACTIVITY * saturation_pressure_pa(water_c)
    at_water = dry_air_density(water_c, water_pa)
    lighter = dry_air_density(air_c, vapour_pa) - at_water
    per_hour = 5e-5
    if lighter > 0 and water_pa >= vapour_pa:
        ratio_per_pa = VAPOUR_TO_AIR * PRESSURE_PA / ((PRESSURE_PA - water_pa) * (PRESSURE_PA - vapour_pa))
        per_hour = max(35.0 * at_water * cbrt(lighter) * ratio_per_pa, per_hour)
    per_pa = SURFACE_M2 * per_hour / 3600
    latent = 2.501e6 - 2361.0 * water_c
    evaporated = per_pa * (water_pa - vapour_pa)
    psychrometric = air_specific_heat(air_c) * PRESSURE_PA * LEWIS_TO_TWO_THIRDS / (VAPOUR_TO_AIR * latent)
    a, b = water_c + ZERO_CELSIUS_K, air_c + ZERO_CELSIUS_K
    radiation = SURFACE_M2 * WATER_EMISSIVITY * STEFAN_BOLTZMANN * (a * a + b * b) * (a + b) * (a - b)
    make_up = max(evaporated, 0.0) * FRESH_SPECIFIC_HEAT * (water_c - air_c)
    return evaporated * latent + per_pa * latent * psychrometric * (water_c - air_c) + radiation + make_up


# ---------------------------------------------------------------- lumps (plant/mod.rs)
def water_capacity_j_per_k():
    """Water, and the share of the panes that follows it."""
    volume = SURFACE_M2 * WATER_HEIGHT_M - ROCK_KG / ROCK_DENSITY
    follows = 1 - (1 / INNER_FILM + 0.5 * PANE_RESISTANCE) / (INSIDE_RESISTANCE + 1 / NOMINAL_OUTER_FILM)
    panes = GLASS_DENSITY * GLASS_SPECIFIC_HEAT * PANE_M * (SIDES_M2 + SURFACE_M2) * follows
    return water_density(SALINITY_G_PER_KG, TARGET_C) * water_specific_heat(SALINITY_G_PER_KG, TARGET_C) * volume + panes


WATER_J_PER_K = water_capacity_j_per_k()
ROCK_J_PER_K = ROCK_KG * ROCK_SPECIFIC_HEAT
BODY_J_PER_K = BODY_J_PER_K_W * HEATER_W
ROCK_W_PER_K = ROCK_KG * ROCK_FILM_W_PER_K_KG
BODY_W_PER_K = heater_film_w_per_k()
ROOM_VAPOUR_PA = HUMIDITY * saturation_pressure_pa(ROOM_MEAN_C)  # constant: the room is never saturated here


@compiled
def room_c(t_s):
    return ROOM_MEAN_C + 0.5 * ROOM_SWING_K * math.cos(2 * math.pi * (t_s - WARMEST_S) / DAY_S)


@compiled
def rate(t_s, y, heater_w, dydt):
    """dy/dt in K/s into `dydt`, with the heater drawing `heater_w`."""
    air_c = room_c(t_s)
    water_c = y[WATER]
    loss_w = wall_loss_w(SIDES_M2, WATER_HEIGHT_M, True, water_c, air_c)
    loss_w += wall_loss_w(SURFACE_M2, BOTTOM_LENGTH_M, False, water_c, air_c)
    loss_w += surface_loss_w(water_c, air_c, ROOM_VAPOUR_PA)
    from_rock_w = ROCK_W_PER_K * (y[ROCK] - water_c)
    from_body_w = BODY_W_PER_K * (y[BODY] - water_c)
    dydt[WATER] = (PUMP_W + from_rock_w + from_body_w - loss_w) / WATER_J_PER_K
    dydt[ROCK] = -from_rock_w / ROCK_J_PER_K
    dydt[BODY] = (heater_w - from_body_w) / BODY_J_PER_K
    dydt[PROBE] = (water_c - y[PROBE]) / PROBE_LAG_S


def parameters():
    """Every number of the equations, by name, for a peer in another language."""
    return {name.lower(): value for name, value in globals().items() if name.isupper() and isinstance(value, float)}
