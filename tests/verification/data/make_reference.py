#!/usr/bin/env python3
"""Regenerate every library-made CSV of this folder.

    python make_reference.py [--out DIR] [--date YYYY-MM-DD] [--only NAME ...]
                             [--check] [--holdout GRIDS.json]

Needs: numpy scipy gsw seawater psychrolib CoolProp iapws ht pandas pvlib mpmath
statsmodels (the versions that made the committed files stand in each header).
The hand-written CSVs (published values) are not touched:
evaporation_published.csv, published_facts.csv, relay_life.csv.

--check    runs the second, independent route of every table and prints the
           largest disagreement.
--holdout  takes the grid of each table from a JSON file {table: points}
           instead of GRIDS below; a table absent from it is not written.
"""
import argparse
import csv
import datetime
import io
import json
import math
import pathlib
import sys
from importlib.metadata import version as _v

HERE = pathlib.Path(__file__).resolve().parent
P0 = 101325.0          # Pa, the air pressure used in every table
G = 9.80665            # m/s2
SIGMA = 5.670374419e-8  # W/m2/K4, CODATA 2018, exact to the digits shown
DATE = datetime.date.today().isoformat()
DISAGREE = []          # (table, quantity, largest disagreement)


def ver(*names):
    return ", ".join(f"{n} {_v(n)}" for n in names)


def fmt(x, digits=10):
    if isinstance(x, str):
        return x
    if isinstance(x, bool):
        return str(x).lower()
    if isinstance(x, int):
        return str(x)
    return format(float(x), f".{digits}g")


def write(out, name, header, cols, rows, digits=10):
    text = io.StringIO()
    for line in header:
        text.write("# " + line + "\n")
    text.write(f"# date: {DATE}\n")
    w = csv.writer(text, lineterminator="\n")
    w.writerow(cols)
    for r in rows:
        w.writerow([fmt(x, digits) for x in r])
    (out / name).write_text(text.getvalue())
    print(f"{name}: {len(rows)} rows")


def note(table, quantity, value, how):
    DISAGREE.append((table, quantity, value, how))


def rel(a, b):
    return abs(a - b) / abs(b)


# ---------------------------------------------------------------- (1) fresh water
FRESH_T = [5, 7.5, 10, 12.5, 15, 17.5, 20, 22.5, 25, 27.5, 30, 32.5, 35, 37.5, 40, 42.5, 45]


def fresh_rows(ts):
    from iapws import IAPWS95
    rows = []
    for t in ts:
        k = t + 273.15
        liq = IAPWS95(T=k, P=P0 / 1e6)
        s0, s1 = IAPWS95(T=k, x=0), IAPWS95(T=k, x=1)
        rows.append([float(t), liq.rho, liq.cp * 1e3, (s1.h - s0.h) * 1e3, s0.P * 1e6,
                     s1.rho, liq.k, liq.mu, liq.alfav])
    return rows


def fresh(out, ts=FRESH_T, name="fresh_water.csv"):
    write(out, name, [
        f"fresh (pure) water, {ver('iapws')}: class IAPWS95 (IAPWS R6-95(2018))",
        "rho, cp, k, mu, beta: IAPWS95(T=T_C+273.15, P=0.101325) -> .rho .cp .k .mu .alfav (liquid at 101325 Pa)",
        "h_fg, p_sat, rho_vap_sat: IAPWS95(T=T_C+273.15, x=0) and (.., x=1) -> h1-h0, P, rho of the vapour",
        "units: T_C degC (ITS-90); rho kg/m3; cp J/(kg K); h_fg J/kg; p_sat Pa; rho_vap_sat kg/m3; k W/(m K); mu Pa s; beta 1/K",
    ], ["T_C", "rho_kg_m3", "cp_J_kgK", "h_fg_J_kg", "p_sat_Pa", "rho_vap_sat_kg_m3",
        "k_W_mK", "mu_Pa_s", "beta_1_K"], fresh_rows(ts))


def fresh_check(ts=FRESH_T):
    import CoolProp.CoolProp as cp
    import psychrolib as ps
    from iapws import IAPWS97
    ps.SetUnitSystem(ps.SI)
    d = {k: 0 for k in ["rho", "cp", "h_fg", "p_sat", "k", "mu", "beta", "p_sat_97", "h_fg_97",
                        "rho_97", "cp_97", "p_sat_ashrae"]}
    for t, rho, c, h, p, rv, kk, mu, be in fresh_rows(ts):
        k = t + 273.15

        def m(key, val, ref):
            d[key] = max(d[key], rel(val, ref))
        m("rho", cp.PropsSI("D", "T", k, "P", P0, "Water"), rho)
        m("cp", cp.PropsSI("C", "T", k, "P", P0, "Water"), c)
        m("h_fg", cp.PropsSI("H", "T", k, "Q", 1, "Water") - cp.PropsSI("H", "T", k, "Q", 0, "Water"), h)
        m("p_sat", cp.PropsSI("P", "T", k, "Q", 0, "Water"), p)
        m("k", cp.PropsSI("L", "T", k, "P", P0, "Water"), kk)
        m("mu", cp.PropsSI("V", "T", k, "P", P0, "Water"), mu)
        m("beta", cp.PropsSI("ISOBARIC_EXPANSION_COEFFICIENT", "T", k, "P", P0, "Water"), be)
        w = IAPWS97(T=k, P=P0 / 1e6)
        m("rho_97", w.rho, rho)
        m("cp_97", w.cp * 1e3, c)
        s0, s1 = IAPWS97(T=k, x=0), IAPWS97(T=k, x=1)
        m("p_sat_97", s0.P * 1e6, p)
        m("h_fg_97", (s1.h - s0.h) * 1e3, h)
        m("p_sat_ashrae", ps.GetSatVapPres(t), p)
    for key in ["rho", "cp", "h_fg", "p_sat", "k", "mu", "beta"]:
        note("fresh_water", key, d[key], "relative, against CoolProp (its own IAPWS-95 code)")
    for key in ["rho_97", "cp_97", "p_sat_97", "h_fg_97"]:
        note("fresh_water", key, d[key], "relative, against IAPWS-IF97 (a different formulation)")
    note("fresh_water", "p_sat_ashrae", d["p_sat_ashrae"], "relative, against psychrolib (ASHRAE 2017, Hyland and Wexler form)")


# ---------------------------------------------------------------- (2) sea water
SEA_S = [0, 5, 10, 15, 20, 25, 30, 35, 40, 42]
SEA_T = [10, 15, 20, 25, 30, 35, 40]
M_W = 0.01801528       # kg/mol
R_GAS = 8.314462618


def sea_rows(points):
    import gsw
    rows = []
    for s, t in points:
        rows.append([float(s), float(t), float(gsw.rho_t_exact(s, t, 0)), float(gsw.cp_t_exact(s, t, 0)),
                     float(gsw.SP_from_SR(s)), float(gsw.latentheat_evap_t(s, t))])
    return rows


def grid(a, b):
    return [(x, y) for x in a for y in b]


def sea(out, pts=None, name="seawater.csv"):
    pts = pts or grid(SEA_S, SEA_T)
    write(out, name, [
        f"sea water at sea pressure 0 dbar (101325 Pa), {ver('gsw')} (TEOS-10)",
        "rho: gsw.rho_t_exact(S_A, T, 0); cp: gsw.cp_t_exact(S_A, T, 0); S_P: gsw.SP_from_SR(S_A); h_fg: gsw.latentheat_evap_t(S_A, T)",
        "units: S_A absolute salinity g/kg (of reference composition); T_C in-situ temperature degC (ITS-90); rho kg/m3; cp J/(kg K); S_P practical salinity (unitless); h_fg J/kg",
        "note: S_A = 35.16504 is S_P = 35; a hydrometer or 'ppt' reading of 35 is closer to S_P than to S_A, the difference is 0.12 kg/m3",
        "note: TEOS-10 is fitted for S_A 0..42 g/kg and -6..40 degC at low pressure; the table stays inside",
    ], ["S_A_g_kg", "T_C", "rho_kg_m3", "cp_J_kgK", "S_P", "h_fg_J_kg"], sea_rows(pts))


def sea_check(pts=None):
    import gsw
    import numpy as np
    import seawater as sw
    from iapws import SeaWater
    pts = pts or grid(SEA_S, SEA_T)
    d = dict(poly=0, rho08=0, cp08=0, rho80=0, cp80=0, hfg=0)
    from iapws import IAPWS95
    pure = {t: (IAPWS95(T=t + 273.15, x=1).h - IAPWS95(T=t + 273.15, x=0).h) * 1e3 for t in {q[1] for q in pts}}
    for s, t, rho, c, sp, hfg in sea_rows(pts):
        d["hfg"] = max(d["hfg"], rel(hfg, pure[t]))
        d["poly"] = max(d["poly"], rel(float(gsw.rho(s, gsw.CT_from_t(s, t, 0), 0)), rho))
        w = SeaWater(T=t + 273.15, P=P0 / 1e6, S=s / 1000)
        d["rho08"] = max(d["rho08"], rel(w.rho, rho))
        d["cp08"] = max(d["cp08"], rel(w.cp * 1e3, c))
        if sp <= 40:
            d["rho80"] = max(d["rho80"], rel(float(np.atleast_1d(sw.dens(sp, t, 0))[0]), rho))
            d["cp80"] = max(d["cp80"], rel(float(np.atleast_1d(sw.cp(sp, t, 0))[0]), c))
    note("seawater", "rho", d["rho08"], "relative, against iapws.SeaWater (IAPWS-08, independent code)")
    note("seawater", "cp", d["cp08"], "relative, against iapws.SeaWater (IAPWS-08, independent code)")
    note("seawater", "h_fg", d["hfg"], "relative, against pure water evaporating into pure vapour (IAPWS-95), all S_A")
    note("seawater", "rho (75-term)", d["poly"], "relative, against gsw.rho (75-term polynomial)")
    note("seawater", "rho", d["rho80"], "relative, against the UNESCO 1983 equation (seawater 3.3.5), S_P <= 40")
    note("seawater", "cp", d["cp80"], "relative, against the UNESCO 1983 equation (seawater 3.3.5), S_P <= 40")


UNESCO = [  # quantity, S_P, T68, p dbar, published, unit
    ("density", 0, 5, 0, 999.96675, "kg/m3"),
    ("density", 35, 5, 0, 1027.67547, "kg/m3"),
    ("density", 35, 25, 0, 1023.34306, "kg/m3"),
    ("density", 0, 25, 10000, 1037.90204, "kg/m3"),
    ("density", 35, 25, 10000, 1062.53817, "kg/m3"),
    ("specific_heat", 40, 40, 10000, 3849.500, "J/(kg K)"),
]


def unesco(out, rows=None, name="seawater_unesco_check.csv"):
    import numpy as np
    import seawater as sw
    res = []
    for q, s, t68, p, pub, unit in rows or UNESCO:
        f = sw.dens if q == "density" else sw.cp
        got = float(np.atleast_1d(f(float(s), t68 / 1.00024, float(p)))[0])
        res.append([q, float(s), float(t68), float(p), f"{pub:.5f}" if q == "density" else f"{pub:.3f}",
                    unit, f"{got:.5f}", f"{round(got - pub, 5) + 0.0:.5f}"])
    write(out, name, [
        "published check values of the 1980 equation of state and of the 1973/1981 specific heat of sea water:",
        "UNESCO Technical Papers in Marine Science 44 (1983), section 3 page 19 (density) and the section on specific heat;",
        "the published numbers were seen on 2026-11-25, the same in several independent public codes (their tests or comments);",
        f"computed: {ver('seawater')} seawater.dens(S, T68/1.00024, p), seawater.cp(S, T68/1.00024, p)",
        "units: S_P practical salinity; T68 degC on IPTS-68 (ITS-90 = T68/1.00024); p dbar above the atmosphere; value as the unit column says",
    ], ["quantity", "S_P", "T68_C", "p_dbar", "published", "unit", "computed", "computed_minus_published"], res)
    note("seawater_unesco_check", "published - computed", max(abs(float(r[-1])) for r in res), "in the unit of each row")


VP_S = [0, 10, 20, 30, 35, 40]
VP_T = [10, 20, 25, 30, 40]


def vp_rows(pts):
    import gsw
    rows = []
    for s, t in pts:
        k = t + 273.15
        mu = float(gsw.chem_potential_water_t_exact(s, t, 0)) * 1e3
        mu0 = float(gsw.chem_potential_water_t_exact(0, t, 0)) * 1e3
        a = math.exp((mu - mu0) * M_W / (R_GAS * k))
        rows.append([float(s), float(t), a, 1 - a])
    return rows


def vapour(out, pts=None, name="seawater_vapour_pressure.csv"):
    pts = pts or grid(VP_S, VP_T)
    write(out, name, [
        f"lowering of the vapour pressure by salt, {ver('gsw')} (TEOS-10)",
        "ratio = exp( (mu_w(S_A,T,0) - mu_w(0,T,0)) * 0.01801528 / (8.314462618*(T+273.15)) ), mu_w = 1000*gsw.chem_potential_water_t_exact(S_A,T,0) J/kg",
        "the ratio is p_v(sea water)/p_v(pure water) with the vapour taken as an ideal gas (the second virial coefficient puts that error at about 3e-5 of the ratio at 25 degC, below 1e-4 at 40 degC)",
        "units: S_A g/kg; T_C degC; ratio and lowering unitless (multiply p_sat of fresh_water.csv by ratio)",
    ], ["S_A_g_kg", "T_C", "ratio", "lowering"], vp_rows(pts))


def vapour_check(pts=None):
    import gsw
    from iapws import SeaWater
    pts = pts or grid(VP_S, VP_T)
    d = dict(osm=0, raoult=0, wp=0, lin=0)
    for s, t, a, _ in vp_rows(pts):
        if s == 0:
            continue
        w = SeaWater(T=t + 273.15, P=P0 / 1e6, S=s / 1000)
        molality = s / (1000 - s) / 0.0314038218     # mol of sea salt per kg of water
        d["osm"] = max(d["osm"], abs(math.exp(-w.osm * molality * M_W) - a))
        d["raoult"] = max(d["raoult"], abs(1 / (1 + 0.57357 * s / (1000 - s)) - a))
        d["lin"] = max(d["lin"], abs(1 - 0.000537 * s - a))
        d["wp"] = max(d["wp"], abs(math.exp(-0.000544 * float(gsw.SP_from_SR(s))) - a))
    note("seawater_vapour_pressure", "ratio", d["osm"], "absolute, against exp(-phi m M_w), osmotic coefficient of iapws.SeaWater")
    note("seawater_vapour_pressure", "ratio", d["raoult"], "absolute, against a Raoult form 1/(1+0.57357 S/(1000-S))")
    note("seawater_vapour_pressure", "ratio", d["wp"], "absolute, against exp(-0.000544 S_P) (Weiss and Price 1980)")
    note("seawater_vapour_pressure", "ratio", d["lin"], "absolute, against the straight line 1 - 0.000537 S_A")


# ---------------------------------------------------------------- (5) air
AIR_T = [5, 10, 15, 18, 20, 22, 24, 25, 26, 28, 30, 35, 40]
AIR_RH = [0.2, 0.4, 0.5, 0.6, 0.7, 0.8, 0.95]
DRY_T = [5, 10, 15, 20, 25, 30, 35, 40, 45]


def psy():
    import psychrolib as ps
    ps.SetUnitSystem(ps.SI)
    ps.PSYCHROLIB_TOLERANCE = 1e-10      # of its wet bulb and dew point iterations, degC
    return ps


def air_rows(pts):
    ps = psy()
    rows = []
    for t, rh in pts:
        w = ps.GetHumRatioFromRelHum(t, rh, P0)
        rows.append([float(t), float(rh), ps.GetSatVapPres(t), ps.GetVapPresFromRelHum(t, rh), w,
                     ps.GetTWetBulbFromHumRatio(t, w, P0), ps.GetTDewPointFromRelHum(t, rh),
                     ps.GetMoistAirDensity(t, w, P0), ps.GetMoistAirVolume(t, w, P0),
                     ps.GetMoistAirEnthalpy(t, w)])
    return rows


def air(out, pts=None, name="air.csv"):
    write(out, name, [
        f"moist air at 101325 Pa, {ver('psychrolib')} (ASHRAE Handbook Fundamentals 2017, SI chapter 1); wet bulb and dew point iterated to 1e-10 degC",
        "p_sat GetSatVapPres; p_v GetVapPresFromRelHum; W GetHumRatioFromRelHum; T_wb GetTWetBulbFromHumRatio; T_dp GetTDewPointFromRelHum;",
        "rho GetMoistAirDensity (of the mixture); v GetMoistAirVolume (per kg of DRY air, so dry-air density is 1/v); h GetMoistAirEnthalpy (per kg of dry air, zero at 0 degC dry air)",
        "dew points and wet bulbs below 0 degC are over ice: skip them in a model that knows only liquid water",
        "units: T_C degC; RH 0..1; p Pa; W kg/kg dry air; rho kg/m3; v m3/kg dry air; h J/kg dry air",
    ], ["T_C", "RH", "p_sat_Pa", "p_v_Pa", "W_kg_kg", "T_wb_C", "T_dp_C", "rho_moist_kg_m3",
        "v_m3_kgda", "h_J_kgda"], air_rows(pts or grid(AIR_T, AIR_RH)))


def air_check(pts=None):
    from CoolProp.HumidAirProp import HAPropsSI as ha
    d = dict(p_v=0, W=0, v=0, h=0, T_wb=0, T_dp=0)
    for t, rh, p, pv, w, twb, tdp, rho, v, h in air_rows(pts or grid(AIR_T, AIR_RH)):
        a = ("T", t + 273.15, "R", rh, "P", P0)
        d["p_v"] = max(d["p_v"], rel(pv, ha("P_w", *a)))
        d["W"] = max(d["W"], rel(w, ha("W", *a)))
        d["v"] = max(d["v"], rel(v, ha("V", *a)))
        d["h"] = max(d["h"], abs(h - ha("H", *a)))
        d["T_wb"] = max(d["T_wb"], abs(twb + 273.15 - ha("B", *a)))
        d["T_dp"] = max(d["T_dp"], abs(tdp + 273.15 - ha("D", *a)))
    for k, u in [("p_v", "relative"), ("W", "relative"), ("v", "relative"), ("h", "J/kg dry air"), ("T_wb", "K"), ("T_dp", "K")]:
        note("air", k, d[k], u + ", against CoolProp HAPropsSI (real gas, with enhancement factor: a different model)")


def dry_rows(ts):
    import CoolProp.CoolProp as cp
    rows = []
    for t in ts:
        a = ("T", t + 273.15, "P", P0, "Air")
        k, mu, c, rho = (cp.PropsSI(x, *a) for x in "LVCD")
        rows.append([float(t), rho, c, k, mu, mu * c / k, mu / rho,
                     cp.PropsSI("ISOBARIC_EXPANSION_COEFFICIENT", *a)])
    return rows


def dry(out, pts=None, name="air_dry.csv"):
    write(out, name, [
        f"dry air at 101325 Pa, {ver('CoolProp')} PropsSI(.., 'Air') (Lemmon and others 2000 and 2004)",
        "rho D; cp C; k L; mu V; Pr = mu cp/k; nu = mu/rho; beta ISOBARIC_EXPANSION_COEFFICIENT",
        "units: T_C degC; rho kg/m3; cp J/(kg K); k W/(m K); mu Pa s; Pr unitless; nu m2/s; beta 1/K",
    ], ["T_C", "rho_kg_m3", "cp_J_kgK", "k_W_mK", "mu_Pa_s", "Pr", "nu_m2_s", "beta_1_K"], dry_rows(pts or DRY_T))


DRY_HOT_T = [-20, -10, 0, 20, 50, 75, 100, 125, 150, 200, 250, 300, 350, 400]


def dry_hot(out, pts=None):
    dry(out, pts or DRY_HOT_T, "air_dry_hot.csv")


def dry_check(pts=None):
    d = dict(rho=0, mu=0, k=0, beta=0)
    for t, rho, c, k, mu, pr, nu, beta in dry_rows(pts or DRY_T):
        tk = t + 273.15
        d["rho"] = max(d["rho"], rel(P0 / (287.042 * tk), rho))
        d["mu"] = max(d["mu"], rel(1.458e-6 * tk**1.5 / (tk + 110.4), mu))
        d["k"] = max(d["k"], rel(2.64638e-3 * tk**1.5 / (tk + 245.4 * 10**(-12 / tk)), k))
        d["beta"] = max(d["beta"], rel(1 / tk, beta))
    note("air_dry", "rho", d["rho"], "relative, against the ideal gas, R = 287.042")
    note("air_dry", "mu", d["mu"], "relative, against Sutherland's formula (US Standard Atmosphere 1976)")
    note("air_dry", "k", d["k"], "relative, against the US Standard Atmosphere 1976 formula")
    note("air_dry", "beta", d["beta"], "relative, against 1/T")


# ---------------------------------------------------------------- (6) convection
NAT_RA = [1e4, 1e5, 1e6, 5e6, 2e7, 1e8, 1e9, 1e10, 1e11]
CONV_PR = [0.71, 6]
FORCED_RE = [1e3, 1e4, 1e5, 3e5, 7e5, 1e6, 1e7]


def nat_rows(pts):
    import ht.conv_free_immersed as c
    rows = []
    for pr, ra in pts:
        gr = ra / pr
        for geo, lo, hi, f, kw in [
                ("vertical_plate", 1e4, 1e12, c.Nu_vertical_plate_Churchill, {}),
                ("horizontal_hot_up", 1e4, 1e11, c.Nu_horizontal_plate_McAdams, dict(buoyancy=True)),
                ("horizontal_hot_down", 1e5, 1e10, c.Nu_horizontal_plate_McAdams, dict(buoyancy=False)),
                ("horizontal_hot_up", 1e4, 1e11, c.Nu_horizontal_plate_Rohsenow, dict(buoyancy=True)),
                ("horizontal_hot_up", 1e4, 1e11, c.Nu_horizontal_plate_VDI, dict(buoyancy=True)),
                ("horizontal_cylinder", 1e4, 1e12, c.Nu_horizontal_cylinder_Churchill_Chu, {})]:
            if lo <= ra <= hi:
                args = dict(Pr=pr, Gr=gr, **kw)
                rows.append([geo, f.__name__, ra, float(pr), f(**args)])
    return rows


def natural(out, pts=None, name="natural_convection.csv"):
    write(out, name, [
        f"Nusselt numbers of free convection, {ver('ht')} module ht.conv_free_immersed, called with Pr and Gr = Ra/Pr; the function column names the function",
        "hot_up: heated plate facing up, or cooled facing down (buoyancy=True); hot_down: heated facing down, or cooled facing up (buoyancy=False)",
        "length: height of the vertical plate; diameter of the cylinder; area/perimeter of the horizontal plate",
        "McAdams: 0.54 Ra^(1/4) up to Ra 1e7 then 0.15 Ra^(1/3), hot_down 0.27 Ra^(1/4); the three hot_up forms differ by tens of percent: implement one, name it",
        "units: all unitless",
    ], ["geometry", "function", "Ra", "Pr", "Nu"], nat_rows(pts or grid(CONV_PR, NAT_RA)))


def nat_check(pts=None):
    d, up = 0, {}
    for geo, f, ra, pr, nu in nat_rows(pts or grid(CONV_PR, NAT_RA)):
        if geo == "vertical_plate":
            ref = (0.825 + 0.387 * ra**(1 / 6) / (1 + (0.492 / pr)**(9 / 16))**(8 / 27))**2
        elif geo == "horizontal_cylinder":
            ref = (0.6 + 0.387 * ra**(1 / 6) / (1 + (0.559 / pr)**(9 / 16))**(8 / 27))**2
        elif f.endswith("McAdams") and geo == "horizontal_hot_up":
            ref = 0.54 * ra**0.25 if ra <= 1e7 else 0.15 * ra**(1 / 3)
        elif f.endswith("McAdams"):
            ref = 0.27 * ra**0.25
        else:
            ref = nu
        d = max(d, rel(nu, ref))
        if geo == "horizontal_hot_up":
            up.setdefault((ra, pr), []).append(nu)
    note("natural_convection", "Nu", d, "relative, against the textbook formulas typed again (McAdams, Churchill and Chu)")
    note("natural_convection", "Nu hot_up", max(max(v) / min(v) - 1 for v in up.values()), "largest over smallest of the three hot_up correlations, minus 1 (model spread, no error)")
    note("natural_convection", "Nu vertical", abs(__import__("ht").conv_free_immersed.Nu_vertical_plate_Churchill(0.69, 2.63e9) - 147), "absolute, against the rounded worked example 147 (Incropera, Example 9.2) at Pr 0.69, Gr 2.63e9")


def forced_rows(pts):
    import ht.conv_external as e
    rows = []
    for pr, re in pts:
        fs = [e.Nu_horizontal_plate_laminar_Baehr, e.Nu_horizontal_plate_laminar_Churchill_Ozoe]
        if re > 5e5:
            fs = [e.Nu_horizontal_plate_turbulent_Kreith, e.Nu_horizontal_plate_turbulent_Schlichting]
        rows += [["laminar" if re <= 5e5 else "turbulent", f.__name__, re, float(pr), f(re, pr)] for f in fs]
    return rows


def forced(out, pts=None, name="forced_convection.csv"):
    write(out, name, [
        f"mean Nusselt numbers of forced flow along a flat isothermal plate, {ver('ht')} module ht.conv_external; the function column names the function",
        "laminar rows at Re <= 5e5, turbulent rows above (turbulent from the leading edge, no laminar start subtracted); length: plate length along the flow",
        "units: all unitless",
    ], ["regime", "function", "Re", "Pr", "Nu"], forced_rows(pts or grid(CONV_PR, FORCED_RE)))


CYLINDER_RE = [1, 10, 100, 1e3, 3e3, 1e4, 1e5, 5e5]


def cylinder(out, pts=None, name="forced_cylinder.csv"):
    from ht.conv_external import Nu_cylinder_Churchill_Bernstein as f
    write(out, name, [
        f"mean Nusselt numbers of a cylinder in cross-flow, {ver('ht')} function ht.conv_external.Nu_cylinder_Churchill_Bernstein; length: diameter",
        "units: all unitless",
    ], ["Re", "Pr", "Nu"], [[re, float(pr), f(Re=re, Pr=pr)] for pr, re in pts or grid(CONV_PR, CYLINDER_RE)])


def forced_check(pts=None):
    d, spread = 0, {}
    for regime, f, re, pr, nu in forced_rows(pts or grid(CONV_PR, FORCED_RE)):
        ref = {"Nu_horizontal_plate_laminar_Baehr": 0.664 * re**0.5 * pr**(1 / 3),
               "Nu_horizontal_plate_turbulent_Kreith": 0.036 * re**0.8 * pr**(1 / 3)}.get(f, nu)
        d = max(d, rel(nu, ref))
        spread.setdefault((re, pr), []).append(nu)
    note("forced_convection", "Nu", d, "relative, against 0.664 Re^1/2 Pr^1/3 and 0.036 Re^4/5 Pr^1/3 typed again")
    note("forced_convection", "Nu", max(max(v) / min(v) - 1 for v in spread.values()), "largest over smallest of the two correlations of a regime, minus 1 (model spread, no error)")


# ---------------------------------------------------------------- (7) radiation
RAD = [(t1, t2, 0.95) for t1 in (20, 24, 25, 26, 28, 30, 35) for t2 in (10, 15, 18, 20, 22, 25, 30)]


def rad_rows(pts):
    from mpmath import mp, mpf
    mp.dps = 40
    s = mpf("5.670374419e-8")
    rows = []
    for t1, t2, eps in pts:
        a, b, e = mpf(str(t1)) + mpf("273.15"), mpf(str(t2)) + mpf("273.15"), mpf(str(eps))
        q = e * s * (a**4 - b**4)
        rows.append([float(t1), float(t2), float(eps), q, e * s * (a**2 + b**2) * (a + b), 4 * e * s * ((a + b) / 2)**3])
    return rows


def radiation(out, pts=None, name="radiation.csv"):
    write(out, name, [
        f"net grey radiation of a small surface at T1 to large surroundings at T2, closed form at 40 digits ({ver('mpmath')})",
        "q = eps sigma (T1^4 - T2^4), T in kelvin = degC + 273.15, sigma = 5.670374419e-8 W/(m2 K4) (CODATA 2018)",
        "h_r = eps sigma (T1^2+T2^2)(T1+T2), exactly q/(T1-T2) where T1 != T2; h_lin = 4 eps sigma Tm^3, Tm = (T1+T2)/2, the usual linearisation",
        "units: T degC; eps unitless; q W/m2 (positive = the surface loses heat); h W/(m2 K)",
    ], ["T1_C", "T2_C", "eps", "q_W_m2", "h_r_W_m2K", "h_lin_W_m2K"], rad_rows(pts or RAD), 15)


def rad_check(pts=None):
    from scipy.integrate import quad
    h, c, kb = 6.62607015e-34, 299792458.0, 1.380649e-23

    def emit(tc):    # Planck's law integrated over x = h nu/(k T)
        t = tc + 273.15
        return 2 * math.pi * kb**4 * t**4 / (h**3 * c**2) * quad(lambda x: x**3 / math.expm1(x), 1e-12, 100, epsabs=0, epsrel=1e-13, limit=500)[0]
    rows = rad_rows(pts or RAD)
    note("radiation", "q", max(abs(float(r[3]) - r[2] * (emit(r[0]) - emit(r[1]))) for r in rows), "W/m2, against Planck's law integrated numerically")
    note("radiation", "h_lin", max(rel(float(r[5]), float(r[4])) for r in rows), "relative, h_lin against h_r (error of the linearisation)")


# ---------------------------------------------------------------- (8) lumped step
#        case, C J/K, UA W/K, T0, Ta, P W, t_step s, times s
STEP = [("cooling_60l", 251000, 3.0, 25, 20, 0, 0), ("cooling_300l", 1255000, 9.0, 26, 18, 0, 0),
        ("heater_60l", 251000, 3.0, 20, 20, 50, 600), ("heater_300l", 1255000, 9.0, 20, 18, 300, 3600),
        ("heater_1000l", 4180000, 22.0, 24, 19, 500, 0), ("nano_10l", 41800, 0.9, 22, 22, 10, 300),
        ("stuck_on_60l", 251000, 3.0, 25, 22, 200, 0)]
STEP_T = [0, 60, 300, 600, 900, 1800, 3600, 7200, 14400, 28800, 43200, 86400, 172800, 604800]


def step_rows(cases, times=None):
    from mpmath import mp, mpf, exp
    mp.dps = 40
    rows = []
    for name, C, UA, T0, Ta, P, ts in cases:
        c, g, x0, a, p = (mpf(str(v)) for v in (C, UA, T0, Ta, P))
        tau = c / g
        for t in times or STEP_T:
            t1 = min(t, ts)
            x = a + (x0 - a) * exp(-t1 / tau)
            if t > ts:
                x = a + p / g + (x - a - p / g) * exp(-(t - ts) / tau)
            rows.append([name, float(C), float(UA), float(tau), float(T0), float(Ta), float(P), float(ts), float(t), x])
    return rows


def step(out, pts=None, name="lumped_step.csv"):
    cases, times = pts or (STEP, None)
    write(out, name, [
        f"one thermal mass with constant loss, closed form at 40 digits ({ver('mpmath')})",
        "C dT/dt = P u(t) - UA (T - Ta), T(0) = T0, u = 0 before t_step and 1 from t_step on; tau = C/UA",
        "T = Ta + (T0-Ta) exp(-t/tau) up to t_step; after it T = Tinf + (T(t_step)-Tinf) exp(-(t-t_step)/tau), Tinf = Ta + P/UA",
        "units: C J/K; UA W/K; tau s; T degC; P W; t s",
    ], ["case", "C_J_K", "UA_W_K", "tau_s", "T0_C", "Ta_C", "P_W", "t_step_s", "t_s", "T_C"], step_rows(cases, times), 15)


def step_check(pts=None):
    from scipy.integrate import solve_ivp
    cases, times = pts or (STEP, None)
    d = 0
    for name, C, UA, tau, T0, Ta, P, ts, t, T in step_rows(cases, times):
        x = T0
        for a, b, u in [(0, min(t, ts), 0), (ts, t, 1)]:
            if b > a:
                x = solve_ivp(lambda s, y: [(P * u - UA * (y[0] - Ta)) / C], (a, b), [x], method="DOP853", rtol=1e-13, atol=1e-13).y[0][-1]
        d = max(d, abs(x - float(T)))
    note("lumped_step", "T", d, "K, against scipy DOP853 at rtol 1e-13")


# ---------------------------------------------------------------- (9) tank and sump
#       case, C1, C2, G1, G2, K, T1_0, T2_0, Ta, P
TWO = [("slow_return", 1255000, 250000, 9.0, 3.0, 60.0, 22, 20, 20, 300),
       ("typical_return", 1255000, 250000, 9.0, 3.0, 1100.0, 24, 24, 20, 300),
       ("stiff_700", 1255000, 84000, 9.0, 2.0, 6300.0, 25, 18, 20, 250),
       ("tiny_sump_stiff", 836000, 8360, 6.0, 0.5, 4200.0, 26, 20, 22, 150)]
TWO_T = [0, 1, 5, 10, 30, 60, 300, 900, 3600, 10800, 43200, 86400, 259200, 864000]


def two_rows(cases, times=None):
    from mpmath import mp, mpf, matrix, expm, lu_solve
    mp.dps = 50
    rows = []
    for name, *par in cases:
        c1, c2, g1, g2, k, x1, x2, a, p = (mpf(str(v)) for v in par)
        A = matrix([[-(g1 + k) / c1, k / c1], [k / c2, -(g2 + k) / c2]])
        b = matrix([g1 * a / c1, (g2 * a + p) / c2])
        inf = lu_solve(A, -b)
        for t in times or TWO_T:
            x = inf + expm(A * mpf(t)) * (matrix([x1, x2]) - inf)
            rows.append([name, *map(float, par), float(t), x[0], x[1]])
    return rows


def two(out, pts=None, name="two_node.csv"):
    cases, times = pts or (TWO, None)
    write(out, name, [
        f"tank (1) and sump (2) joined by a return flow, heater in the sump on from t = 0: matrix exponential at 50 digits ({ver('mpmath')})",
        "C1 dT1/dt = -G1 (T1-Ta) + K (T2-T1);  C2 dT2/dt = -G2 (T2-Ta) + K (T1-T2) + P;  K = flow mass rate x cp",
        "stiff_700: K is 700 x G1; tiny_sump_stiff: time constants 2 s and 36 h",
        "units: C J/K; G and K W/K; T degC; P W; t s",
    ], ["case", "C1_J_K", "C2_J_K", "G1_W_K", "G2_W_K", "K_W_K", "T1_0_C", "T2_0_C", "Ta_C", "P_W", "t_s", "T1_C", "T2_C"],
        two_rows(cases, times), 15)


def two_check(pts=None):
    from mpmath import mp, mpf, exp, sqrt
    from scipy.integrate import solve_ivp
    cases, times = pts or (TWO, None)
    d = e = 0
    for name, *v, t, T1, T2 in two_rows(cases, times):
        # (a) the same by hand: eigenvalues of the 2 x 2 matrix, steady state from the energy balance
        c1, c2, g1, g2, k, x1, x2, a, p = map(mpf, v)
        s1 = a + p * k / (g1 * g2 + k * (g1 + g2))
        s2 = s1 * (g1 + k) / k - g1 * a / k
        p1, p2 = (g1 + k) / c1, (g2 + k) / c2
        r = sqrt((p1 - p2)**2 / 4 + k * k / (c1 * c2))
        l1, l2 = -(p1 + p2) / 2 + r, -(p1 + p2) / 2 - r
        d1, d2 = x1 - s1, x2 - s2
        v1 = -p1 * d1 + k / c1 * d2                       # dT1/dt at 0
        A1 = (v1 - l2 * d1) / (l1 - l2)
        B1 = d1 - A1
        y1 = s1 + A1 * exp(l1 * t) + B1 * exp(l2 * t)
        y2 = s2 + (A1 * (l1 + p1) * exp(l1 * t) + B1 * (l2 + p1) * exp(l2 * t)) * c1 / k
        d = max(d, abs(y1 - T1), abs(y2 - T2))
        # (b) an implicit integrator
        c1, c2, g1, g2, k, x1, x2, a, p = v
        if t > 0:
            s = solve_ivp(lambda _, y: [(-g1 * (y[0] - a) + k * (y[1] - y[0])) / c1, (-g2 * (y[1] - a) + k * (y[0] - y[1]) + p) / c2],
                          (0, t), [x1, x2], method="Radau", rtol=1e-11, atol=1e-11).y[:, -1]
            e = max(e, abs(s[0] - float(T1)), abs(s[1] - float(T2)))
    note("two_node", "T", float(d), "K, against eigenvalues by hand at 50 digits")
    note("two_node", "T", e, "K, against scipy Radau at rtol 1e-11")


# ---------------------------------------------------------------- (10) periodic room
PERIODIC = [(tau, per) for per in (24, 12, 1) for tau in (1, 3, 6, 10, 20, 38.7, 60, 120)]


def periodic_rows(pts):
    rows = []
    for tau, per in pts:
        w = 2 * math.pi / (per * 3600)
        x = w * tau * 3600
        lag = math.atan(x)
        rows.append([float(tau), float(per), 1 / math.sqrt(1 + x * x), lag, lag / w / 3600])
    return rows


def periodic(out, pts=None, name="periodic_ambient.csv"):
    write(out, name, [
        "steady response of one thermal mass to a sinusoidal room: closed form, double precision",
        "tau dT/dt = Ta(t) - T + const, Ta = mean + A sin(w t): T swings by ratio*A and lags by lag; ratio = 1/sqrt(1+(w tau)^2), lag = atan(w tau)",
        "units: tau, period and lag_h hours; lag_rad radians; ratio unitless",
    ], ["tau_h", "period_h", "ratio", "lag_rad", "lag_h"], periodic_rows(pts or PERIODIC), 15)


def periodic_check(pts=None):
    from scipy.integrate import solve_ivp
    d = e = 0
    for tau, per, ratio, lag, _ in periodic_rows(pts or PERIODIC):
        # start on the orbit's own value, integrate one period, fit by Fourier sums
        n, w = 720, 2 * math.pi / per
        s = solve_ivp(lambda t, y: [(math.sin(w * t) - y[0]) / tau], (0, per), [-ratio * math.sin(lag)], method="DOP853",
                      rtol=1e-12, atol=1e-14, t_eval=[per * i / n for i in range(n)])
        a = sum(y * math.sin(w * t) for t, y in zip(s.t, s.y[0])) * 2 / n
        b = sum(y * math.cos(w * t) for t, y in zip(s.t, s.y[0])) * 2 / n
        d = max(d, abs(math.hypot(a, b) - ratio))
        e = max(e, abs(math.atan2(-b, a) - lag))
    note("periodic_ambient", "ratio", d, "absolute, against integration over a period and Fourier sums")
    note("periodic_ambient", "lag", e, "rad, against integration over a period and Fourier sums")


# ---------------------------------------------------------------- (11) relay limit cycle
#       C J/K, UA W/K, P W, Ta, T_lo, T_hi, tau_s s
RELAY = [(c, ua, p, ta, 25 - d / 2, 25 + d / 2, ts)
         for c, ua, ps, ta in ((251000, 3.0, (25, 50, 100), 20), (1255000, 9.0, (100, 300, 600), 18), (41800, 0.9, (10, 25), 21))
         for p in ps for d in (0.1, 0.5, 1.0) for ts in (0, 30, 120, 600)]


def relay_params(C, UA, P, Ta, lo, hi, ts):
    from mpmath import mpf
    return [mpf(str(v)) for v in (C, UA, P, Ta, lo, hi, ts)]


def relay_cycle(par):
    """(t_on, t_off, T at switch-off, T at switch-on) of the periodic orbit."""
    from mpmath import mp, exp, log, findroot, mpf
    mp.dps = 40
    C, UA, P, Ta, lo, hi, ts = relay_params(*par)
    tau, on = C / UA, Ta + P / UA
    if ts == 0:
        return tau * log((on - lo) / (on - hi)), tau * log((hi - Ta) / (lo - Ta)), hi, lo

    def leg(T, S, inf, target):
        """run T and sensor S toward inf until S crosses target: (time, T, S)."""
        def sensor(t):
            a, b = T - inf, S - inf
            q = tau / (tau - ts)
            return inf + q * a * exp(-t / tau) + (b - q * a) * exp(-t / ts)
        up = inf > target
        # first bracket by stepping, then bisection/secant inside it
        h, t = min(ts / 4, tau / 50), mpf(0)
        while True:
            t += h
            if (sensor(t) >= target) if up else (sensor(t) <= target):
                break
        x = findroot(lambda y: sensor(y) - target, (t - h, t), solver="anderson", tol=1e-60)
        return x, inf + (T - inf) * exp(-x / tau)

    T = lo
    for _ in range(2000):
        t_on, T_off = leg(T, lo, on, hi)
        t_off, T_new = leg(T_off, hi, Ta, lo)
        if abs(T_new - T) < mpf(10)**-28:
            return t_on, t_off, T_off, T_new
        T = T_new
    raise RuntimeError(f"no periodic orbit found for {par}")


def relay_rows(cases):
    from mpmath import mpf
    rows = []
    for par in cases:
        C, UA, P, Ta, lo, hi, ts = relay_params(*par)
        a, b, top, bottom = relay_cycle(par)
        duty = a / (a + b)
        rows.append([*map(float, par), a, b, a + b, mpf(86400) / (a + b), duty, top, bottom,
                     top - hi if ts else 0.0, lo - bottom if ts else 0.0, Ta + duty * P / UA])
    return rows


def relay(out, pts=None, name="relay_limit_cycle.csv"):
    write(out, name, [
        f"steady on/off cycle of one tank with a lagging sensor, event-located at 40 digits ({ver('mpmath')})",
        "C dT/dt = P u - UA (T - Ta);  tau_s dS/dt = T - S (tau_s = 0: S = T);  u becomes 1 when S <= T_lo, 0 when S >= T_hi; no minimum on or off time",
        "tau_s = 0 is the closed form t_on = tau ln((Ton-T_lo)/(Ton-T_hi)), t_off = tau ln((T_hi-Ta)/(T_lo-Ta)), Ton = Ta + P/UA, tau = C/UA",
        "tau_s > 0: exact exponentials on each leg, switching instants by root finding, repeated until the orbit repeats to 1e-28 K",
        "T_max, T_min: extremes of the water; overshoot = T_max - T_hi, undershoot = T_lo - T_min; T_mean: time mean of the water over a cycle = Ta + duty P/UA",
        "units: C J/K; UA W/K; P W; T degC; times s; cycles/day; duty unitless; overshoot, undershoot K",
    ], ["C_J_K", "UA_W_K", "P_W", "Ta_C", "T_lo_C", "T_hi_C", "tau_s_s", "t_on_s", "t_off_s", "period_s", "cycles_per_day",
        "duty", "T_max_C", "T_min_C", "overshoot_K", "undershoot_K", "T_mean_C"], relay_rows(pts or RELAY), 12)


def relay_check(pts=None):
    from mpmath import mp, exp, findroot, mpf
    d = e = 0
    for par in pts or RELAY:
        a, b, top, bottom = relay_cycle(par)
        C, UA, P, Ta, lo, hi, ts = relay_params(*par)
        mp.dps = 30
        tau, on = C / UA, Ta + P / UA

        def ends(x, y):       # periodic T and S at the end of each leg, solved in closed form
            p, q = exp(-x / tau), exp(-y / tau)
            To = (on * (1 - p) + p * Ta * (1 - q)) / (1 - p * q)
            Tn = Ta + (To - Ta) * q
            if ts == 0:
                return To - hi, Tn - lo
            k = tau / (tau - ts)
            r, s = exp(-x / ts), exp(-y / ts)
            f = on + k * (Tn - on) * p - (on + k * (Tn - on)) * r      # S_off = f + r S_on
            g = Ta + k * (To - Ta) * q - (Ta + k * (To - Ta)) * s      # S_on = g + s S_off
            So = (f + r * g) / (1 - r * s)
            return So - hi, g + s * So - lo
        x, y = findroot(ends, (a * mpf("1.02"), b * mpf("0.98")), tol=1e-40, maxsteps=100)
        d = max(d, abs(x - a) / a, abs(y - b) / b)
        # energy balance: heat put in = heat lost through the mean of T over one cycle
        leg = lambda t0, inf, t: inf * t + (t0 - inf) * tau * (1 - exp(-t / tau))
        mean = (leg(bottom, on, a) + leg(top, Ta, b)) / (a + b)
        e = max(e, abs(mean - (Ta + P / UA * a / (a + b))))
    note("relay_limit_cycle", "t_on, t_off", float(d), "relative, against a direct two-unknown solution of the periodic orbit")
    note("relay_limit_cycle", "T_mean", float(e), "K, integral of the orbit against duty P/UA")


# ---------------------------------------------------------------- (12) PI loop
#     form, K K/W, tau s, Kp W/K, Ki W/(K s)
PI = [(form, k, tau, kp, ki) for form in ("ip", "pi") for k, tau, kp, ki in (
    (1 / 3, 83666.7, 60.0, 0.02), (1 / 3, 83666.7, 60.0, 0.005), (1 / 3, 83666.7, 20.0, 0.01),
    (1 / 9, 139444.4, 150.0, 0.05), (1 / 9, 139444.4, 400.0, 0.02), (1 / 9, 139444.4, 150.0, 0.004), (1 / 0.9, 46444.4, 20.0, 0.01))]


def pi_response(form, K, tau, Kp, Ki):
    """(wn, zeta, y(t), t_peak or None): closed form of the unit step of the set point."""
    from mpmath import mp, mpf, sqrt, cos, sin, exp, atan, pi, re, im
    mp.dps = 30
    K, tau, Kp, Ki = (mpf(float(v)) for v in (K, tau, Kp, Ki))
    wn = sqrt(K * Ki / tau)
    sg = (1 + K * Kp) / tau / 2
    b = K * Kp / tau if form == "pi" else mpf(0)
    wd = sqrt(mp.mpc(wn * wn - sg * sg))

    def y(t):
        return re(1 - exp(-sg * t) * (cos(wd * t) + (sg - b) / wd * sin(wd * t)))
    if sg < wn:                                   # under-damped: first zero of dy/dt after 0
        w = re(wd)
        t = atan(-b * w / (wn**2 - sg * b)) / w if wn**2 != sg * b else pi / 2 / w
        peak = t if t > 0 else t + pi / w
    else:
        w = im(wd)
        x = b * w / (sg * b - wn**2) if sg * b > wn**2 else mpf(2)
        peak = mp.atanh(x) / w if 0 < x < 1 else None
    return wn, sg / wn, y, peak


def pi_rows(cases):
    from mpmath import mp, findroot
    rows = []
    for form, K, tau, Kp, Ki in cases:
        wn, z, y, peak = pi_response(form, K, tau, Kp, Ki)
        over = y(peak) - 1 if peak else mp.mpf(0)
        # last time outside the 2 percent band: scan back from a late time, then bisection
        sg = z * wn
        slow = sg if z < 1 else sg - wn * mp.sqrt(z * z - 1)
        h, t = 1 / wn / 200, 12 / slow
        while abs(y(t) - 1) < mp.mpf("0.02"):
            t -= h
        settle = findroot(lambda x: abs(y(x) - 1) - mp.mpf("0.02"), (t, t + h), solver="anderson", tol=1e-25)
        rows.append([form, float(K), float(tau), float(Kp), float(Ki), wn, z, over, peak if peak else "", settle,
                     4 / sg if z < 1 else ""])
    return rows


def pi_loop(out, pts=None, name="pi_closed_loop.csv"):
    write(out, name, [
        f"unit step of the set point under proportional-integral control of one thermal mass, closed form at 30 digits ({ver('mpmath')})",
        "plant tau dT/dt = K u - T (T, u as deviations; K = 1/UA, tau = C/UA); no limits on u, no dead time, no sensor lag, continuous time",
        "form pi: u = Kp (r-T) + Ki integral(r-T);  form ip: u = -Kp T + Ki integral(r-T) (no zero, the textbook second-order formulas hold)",
        "wn^2 = K Ki/tau, 2 zeta wn = (1 + K Kp)/tau; ip: overshoot = exp(-pi zeta/sqrt(1-zeta^2)), t_peak = pi/(wn sqrt(1-zeta^2))",
        "pi has the extra zero: y = 1 - exp(-s t)(cos wd t + (s-b)/wd sin wd t), s = zeta wn, b = K Kp/tau, wd = sqrt(wn^2-s^2) (imaginary when over-damped)",
        "t_settle: last time |y-1| = 0.02 on the closed form; t_settle_rule = 4/(zeta wn), only under-damped; t_peak empty: no overshoot",
        "units: K K/W; tau s; Kp W/K; Ki W/(K s); wn rad/s; zeta unitless; overshoot as a fraction of the step; times s",
    ], ["form", "K_K_W", "tau_s", "Kp_W_K", "Ki_W_Ks", "wn_rad_s", "zeta", "overshoot", "t_peak_s", "t_settle_s", "t_settle_rule_s"],
        pi_rows(pts or PI), 12)


def pi_check(pts=None):
    import numpy as np
    from scipy.integrate import solve_ivp
    d = e = s = 0
    for form, K, tau, Kp, Ki, wn, z, over, peak, settle, _ in pi_rows(pts or PI):
        def f(t, x):
            u = (Kp * (1 - x[0]) if form == "pi" else -Kp * x[0]) + Ki * x[1]
            return [(K * u - x[0]) / tau, 1 - x[0]]
        end = float(settle) * 1.5
        if peak:
            end = max(end, float(peak) * 1.2)
        r = solve_ivp(f, (0, end), [0, 0], method="DOP853", rtol=1e-12, atol=1e-14, dense_output=True)
        if peak:
            got = r.sol(float(peak))[0] - 1
            d = max(d, abs(got - float(over)))
            grid_max = max(r.sol(np.linspace(0, end, 20001))[0]) - 1
            e = max(e, grid_max - float(over))
        s = max(s, abs(abs(r.sol(float(settle))[0] - 1) - 0.02), max(abs(r.sol(np.linspace(float(settle) * 1.0001, end, 4001))[0] - 1)) - 0.02)
        if form == "ip" and z < 1:
            zz = float(z)
            d = max(d, abs(math.exp(-math.pi * zz / math.sqrt(1 - zz * zz)) - float(over)))
    note("pi_closed_loop", "overshoot", d, "fraction, against scipy DOP853 and the textbook formula (ip)")
    note("pi_closed_loop", "overshoot", e, "fraction, largest of 20001 instants above the stated peak (should be <= 0 but for rounding)")
    note("pi_closed_loop", "band at t_settle", s, "fraction, distance from the 2 % band at t_settle and excess after it")


# ---------------------------------------------------------------- (13) evaporation
SHAH = [(tw, ta, rh, aw) for tw, ta in ((22, 20), (24, 18), (24, 22), (25, 20), (25, 22), (25, 25), (26, 22), (27, 24),
                                        (28, 28), (28, 25), (30, 25), (25, 30), (24, 32)) for rh in (0.3, 0.5, 0.7) for aw in (1, 0.98)]


def shah_parts(tw, ta, rh, aw):
    ps = psy()
    pw, pr = aw * ps.GetSatVapPres(tw), rh * ps.GetSatVapPres(ta)
    ww, wr = ps.GetHumRatioFromVapPres(pw, P0), ps.GetHumRatioFromVapPres(pr, P0)
    return pw, pr, ww, wr, 1 / ps.GetMoistAirVolume(tw, ww, P0), 1 / ps.GetMoistAirVolume(ta, wr, P0)


def shah_rate(pw, pr, ww, wr, rw, rr):
    d = rr - rw
    c = 0 if d <= 0 else (35 if d > 0.02 else 40)
    nat = c * rw * d**(1 / 3) * (ww - wr) if d > 0 else 0.0
    return d, c, nat, 0.00005 * (pw - pr), max(nat, 0.00005 * (pw - pr))


def shah_rows(pts):
    rows = []
    for p in pts:
        d, c, nat, forc, e = shah_rate(*shah_parts(*p))
        if abs(d - 0.02) < 0.0002 or abs(d) < 0.0002:
            continue                     # on the step of the correlation: no fair test
        e35 = max(nat * 35 / c, forc) if c else e
        rows.append([*map(float, p), d, c, nat, forc, e, e / 3600 * (2.501e6 - 2361.0 * p[0]), e35])
    return rows


def shah(out, pts=None, name="evaporation_shah.csv"):
    write(out, name, [
        f"evaporation from an undisturbed water surface, computed here from the published correlation (Shah 2014), psychrometrics from {ver('psychrolib')}, 101325 Pa",
        "natural: E = C rho_w d^(1/3) (W_w - W_r), d = rho_r - rho_w, C = 35 where d > 0.02 else 40; 0 where d <= 0",
        "forced floor: E = 0.00005 (p_w - p_r); E is the larger of the two, so 0 where d <= 0 and p_w < p_r; E_forced keeps its sign there, for a model that lets the surface condense",
        "E_C35: the same with C = 35 at every d > 0; this form, not the step to 40, reproduces nine tabulated rates found in public code (evaporation_published.csv); constants themselves from memory",
        "rho: kg of DRY air per m3 of moist air (1/GetMoistAirVolume); w = saturated at the water temperature (p_w = aw p_sat(T_w)), r = room air (p_r = RH p_sat(T_a))",
        "q_latent = E/3600 (2.501e6 - 2361 T_w); C jumps from 40 to 35 at d = 0.02 (12.5 % step): points within 0.0002 of d = 0.02 or 0 are left out; a model that blends C over a band skips the rows inside its band",
        "units: T degC; RH 0..1; aw water activity, 0.98 is S_A 37.5 g/kg at 25 degC (seawater_vapour_pressure.csv); d kg/m3; E kg/(m2 h); q W/m2",
    ], ["T_w_C", "T_a_C", "RH", "aw", "d_kg_m3", "C", "E_nat_kg_m2h", "E_forced_kg_m2h", "E_kg_m2h", "q_latent_W_m2", "E_C35_kg_m2h"], shah_rows(pts or SHAH))


# kg/(m2 h) and kg/m3 at RH 0.5, seen in a public code's look-up table (source: see evaporation_published.csv)
SHAH_TABLE = [(28, 28, 0.1360, 0.0219), (28, 29, 0.1171, 0.0168), (28, 30, 0.0968, 0.0116), (29, 28, 0.1651, 0.0282),
              (29, 29, 0.1463, 0.0231), (29, 30, 0.1268, 0.0180), (30, 28, 0.1959, 0.0347), (30, 29, 0.1771, 0.0295), (30, 30, 0.1575, 0.0244)]


def shah_check(pts=None):
    from CoolProp.HumidAirProp import HAPropsSI as ha
    m = 0
    for tw, ta, rh, aw, d, c, nat, forc, e, q, e35 in shah_rows(pts or SHAH):
        pw, pr = aw * ha("P_w", "T", tw + 273.15, "R", 1, "P", P0), ha("P_w", "T", ta + 273.15, "R", rh, "P", P0)
        a = ("T", tw + 273.15, "P_w", pw, "P", P0)
        b = ("T", ta + 273.15, "R", rh, "P", P0)
        got = shah_rate(pw, pr, ha("W", *a), ha("W", *b), 1 / ha("V", *a), 1 / ha("V", *b))
        if got[1] == c and e > 0:
            m = max(m, rel(got[4], e))
    note("evaporation_shah", "E", m, "relative, against the same correlation on CoolProp humid air (rows on the same C)")
    t = [shah_rate(*shah_parts(tw, ta, 0.5, 1)) for tw, ta, _, _ in SHAH_TABLE]
    note("evaporation_shah", "E", max(rel(g[4], r[2]) for g, r in zip(t, SHAH_TABLE)), "relative, against nine tabulated rates seen in public code (three at d < 0.02, where C = 40 does not fit)")
    note("evaporation_shah", "E_C35", max(rel(g[2] * 35 / g[1], r[2]) for g, r in zip(t, SHAH_TABLE)), "relative, C = 35 throughout, against the same nine rates")
    note("evaporation_shah", "d", max(abs(g[0] - r[3]) for g, r in zip(t, SHAH_TABLE)), "kg/m3, against the density differences of that table")


# ---------------------------------------------------------------- (14) weather
WEEKS = [("january", 1, 8), ("july", 7, 8)]     # label, month, first day; seven days each


def tmy():
    import pandas as pd
    import pvlib
    f = pathlib.Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"
    return pd.read_csv(f, skiprows=1)


def weather_rows(weeks, days):
    t = tmy()
    rows = []
    for label, month, day in weeks:
        date = t["Date (MM/DD/YYYY)"].str.split("/", expand=True).astype(int)
        pick = (date[0] == month) & (date[1] >= day) & (date[1] < day + days)
        for i, (idx, r) in enumerate(t[pick].iterrows()):
            rows.append([label, i, r["Date (MM/DD/YYYY)"], r["Time (HH:MM)"], float(r["Dry-bulb (C)"]), float(r["RHum (%)"]) / 100,
                         float(r["Pressure (mbar)"]) * 100])
    return rows


def weather_write(out, weeks, days, name):
    write(out, name, [
        f"hourly weather out of the TMY3 file 723170TYA.CSV that {ver('pvlib')} ships (station 723170, Greensboro Piedmont Triad Int., NC, 36.10 N 79.95 W, 273 m, UTC-5)",
        "TMY3: typical meteorological year of the US National Renewable Energy Laboratory; each calendar month is a real month of the year that its dates show",
        "licence: the file states none; TMY3 is published as open data by a US government laboratory (from memory); pvlib itself is under the BSD 3-clause licence",
        "hour: index from the first row of the label; date and time as in the file (local standard time, end of the hour; 24:00 closes the day)",
        "units: T_C dry bulb degC; RH 0..1; p Pa (station)",
    ], ["label", "hour", "date", "time", "T_C", "RH", "p_Pa"], weather_rows(weeks, days))


def weather_day(out, pts=None, name="weather_day.csv"):
    weather_write(out, [tuple(w) for w in (pts or WEEKS)], 1, name)


def weather_week(out, pts=None, name="weather_week.csv"):
    weather_write(out, [tuple(w) for w in (pts or WEEKS)], 7, name)


def weather_check(pts=None):
    import pvlib
    f = pathlib.Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"
    d, _ = pvlib.iotools.read_tmy3(f, map_variables=True)
    worst = 0
    for label, i, date, time, T, RH, p in weather_rows(pts or WEEKS, 7):
        mth, day, yr = map(int, date.split("/"))
        stamp = datetime.datetime(yr, mth, day) + datetime.timedelta(hours=int(time[:2]))
        r = d.loc[stamp.strftime("%Y-%m-%d %H:00:00-05:00")]
        worst = max(worst, abs(float(r["temp_air"]) - T), abs(float(r["relative_humidity"]) / 100 - RH))
    note("weather_week", "T, RH", worst, "degC or 1, against pvlib.iotools.read_tmy3")
    ps = psy()
    t = tmy()
    calc = [abs(100 * ps.GetRelHumFromTDewPoint(a, b) - c) for a, b, c in zip(t["Dry-bulb (C)"], t["Dew-point (C)"], t["RHum (%)"]) if b <= a and a > 0 and b > 0]
    note("weather_week", "RH", sum(calc) / len(calc), "percent points, mean over the year's hours above 0 degC, RH column against the file's own dew point")


# ---------------------------------------------------------------- (16) statistics
WILSON = [(k, n, c) for n in (10, 50, 100, 1000, 10000) for k in (0, 1, 3, 5, n // 4, n // 2, n - 1, n) for c in (0.9, 0.95, 0.99) if k <= n]
QUANT = [(dist, shape, scale, p) for dist, shape, scale in (("exponential", 1, 100000), ("weibull", 0.8, 100000), ("weibull", 1.5, 100000),
                                                            ("weibull", 3.0, 100000), ("weibull", 2.0, 8.5)) for p in (0.001, 0.01, 0.1, 0.25, 0.5, 0.75, 0.9, 0.99, 0.999)]


def wilson_rows(pts):
    from scipy.stats import binomtest
    rows, seen = [], set()
    for k, n, c in pts:
        if (k, n, c) not in seen:
            seen.add((k, n, c))
            ci = binomtest(k, n).proportion_ci(confidence_level=c, method="wilson")
            rows.append([k, n, float(c), k / n, ci.low, ci.high])
    return rows


def wilson(out, pts=None, name="wilson.csv"):
    write(out, name, [
        f"Wilson score interval of a proportion, no continuity correction, {ver('scipy')}: binomtest(k, n).proportion_ci(level, 'wilson')",
        "units: k events of n trials; level two-sided confidence; low, high, p unitless",
    ], ["k", "n", "level", "p", "low", "high"], wilson_rows(pts or WILSON), 12)


def wilson_check(pts=None):
    from mpmath import mp, mpf, sqrt, erfinv
    from statsmodels.stats.proportion import proportion_confint
    mp.dps = 30
    d = e = 0
    for k, n, c, p, lo, hi in wilson_rows(pts or WILSON):
        z = sqrt(2) * erfinv(mpf(str(c)))
        q = mpf(k) / n
        mid, half = q + z * z / (2 * n), z * sqrt(q * (1 - q) / n + z * z / (4 * n * n))
        d = max(d, abs((mid - half) / (1 + z * z / n) - lo), abs((mid + half) / (1 + z * z / n) - hi))
        s = proportion_confint(k, n, 1 - c, "wilson")
        e = max(e, abs(s[0] - lo), abs(s[1] - hi))
    note("wilson", "low, high", float(d), "absolute, against the closed form at 30 digits")
    note("wilson", "low, high", float(e), "absolute, against statsmodels")


def quant_rows(pts):
    from scipy.stats import expon, weibull_min
    rows = []
    for dist, shape, scale, p in pts:
        f = expon(scale=scale) if dist == "exponential" else weibull_min(shape, scale=scale)
        rows.append([dist, float(shape), float(scale), float(p), f.ppf(p), f.mean()])
    return rows


def quantiles(out, pts=None, name="failure_quantiles.csv"):
    write(out, name, [
        f"quantiles of life distributions, {ver('scipy')}: expon(scale).ppf(p), weibull_min(shape, scale).ppf(p), and their means",
        "closed form: q = scale (-ln(1-p))^(1/shape), shape 1 for the exponential; mean = scale Gamma(1+1/shape)",
        "use: feed uniform p to the inverse and compare; scale is in the unit that the user chose (cycles, years)",
        "units: shape, p unitless; scale, q, mean alike",
    ], ["dist", "shape", "scale", "p", "q", "mean"], quant_rows(pts or QUANT), 12)


def quant_check(pts=None):
    from mpmath import mp, mpf, log, gamma
    mp.dps = 30
    d = 0
    for dist, k, s, p, q, m in quant_rows(pts or QUANT):
        d = max(d, abs(s * (-log(1 - mpf(p)))**(1 / mpf(k)) / q - 1), abs(s * gamma(1 + 1 / mpf(k)) / m - 1))
    note("failure_quantiles", "q, mean", float(d), "relative, against the closed form at 30 digits")


# ---------------------------------------------------------------- (17) nonlinear tank
SOLVER = [dict(case="open_top", m=300.0, cp=3990.0, P=300.0, UA=8.0, A=0.5, eps=0.95, RH=0.5, aw=0.98, Ta_mean=21.0, Ta_amp=2.0, T0=25.0,
               toggles_h=[0, 5, 8, 14, 18, 23, 30, 36, 38, 45, 50, 58, 61, 70]),
          dict(case="mostly_covered", m=300.0, cp=3990.0, P=300.0, UA=9.0, A=0.1, eps=0.95, RH=0.4, aw=1.0, Ta_mean=19.0, Ta_amp=3.0, T0=24.0,
               toggles_h=[2, 12, 20, 26.5, 40, 47.25, 66])]


def hw(T):
    k = T + 273.15
    return math.exp(-5.8002206e3 / k + 1.3914993 - 4.8640239e-2 * k + 4.1764768e-5 * k * k - 1.4452093e-8 * k**3 + 6.5459673 * math.log(k))


def tank_terms(c, t, T):
    """(Ta, E kg/(m2 s), evaporation W, radiation W, UA W, d)."""
    Ta = c["Ta_mean"] + c["Ta_amp"] * math.sin(2 * math.pi * t / 86400)
    pw, pr = c["aw"] * hw(T), c["RH"] * hw(Ta)
    ww, wr = (0.621945 * p / (P0 - p) for p in (pw, pr))
    rw, rr = (P0 / (287.042 * (x + 273.15) * (1 + 1.607858 * w)) for x, w in ((T, ww), (Ta, wr)))
    d, _, _, _, e = shah_rate(pw, pr, ww, wr, rw, rr)
    e /= 3600
    return (Ta, e, c["A"] * e * (2.501e6 - 2361.0 * T), c["A"] * c["eps"] * SIGMA * ((T + 273.15)**4 - (Ta + 273.15)**4), c["UA"] * (T - Ta), d)


def heater_on(c, t):
    return sum(1 for h in c["toggles_h"] if h * 3600 <= t) % 2


def tank_run(c, method, rtol):
    """hourly [t, T, evaporated kg, heater J] over 72 h, integrated leg by leg between the toggles."""
    from scipy.integrate import solve_ivp
    marks = sorted({0.0, 72 * 3600.0, *[h * 3600.0 for h in c["toggles_h"] if 0 < h < 72]})
    y, out = [c["T0"], 0.0, 0.0], {0: [c["T0"], 0.0, 0.0]}
    for a, b in zip(marks, marks[1:]):
        u = heater_on(c, a)

        def f(t, x):
            Ta, e, qe, qr, ql, _ = tank_terms(c, t, x[0])
            return [(c["P"] * u - qe - qr - ql) / (c["m"] * c["cp"]), c["A"] * e, c["P"] * u]
        hours = [h for h in range(73) if a < h * 3600 <= b]
        s = solve_ivp(f, (a, b), y, method=method, rtol=rtol, atol=1e-12, t_eval=sorted({*[h * 3600.0 for h in hours], b}), max_step=600)
        for t, *v in zip(s.t, *s.y):
            if t % 3600 == 0:
                out[int(t // 3600)] = v
        y = list(s.y[:, -1])
    return out


def solver_rows(cases, method="Radau", rtol=1e-11):
    rows = []
    for c in cases:
        for h, (T, m, q) in sorted(tank_run(c, method, rtol).items()):
            Ta, e, qe, qr, ql, d = tank_terms(c, h * 3600.0, T)
            rows.append([c["case"], h, heater_on(c, h * 3600), Ta, T, qe, qr, ql, m, q, d])
    return rows


def solver(out, pts=None, name="solver_reference.csv"):
    cases = pts or SOLVER
    write(out, name, [
        f"one nonlinear tank over 3 days, scipy solve_ivp Radau rtol 1e-11 atol 1e-12, restarted at each heater toggle ({ver('scipy')})",
        "m cp dT/dt = P u(t) - UA (T-Ta) - A eps sigma ((T+273.15)^4 - (Ta+273.15)^4) - A E/3600 h_fg;  d(evap)/dt = A E/3600; m stays constant",
        "Ta(t) = Ta_mean + Ta_amp sin(2 pi t/86400 s); T(0) = T0; u starts at 0 and toggles at each time of toggles_h (a toggle at 0 makes it 1 from the start)",
        "E (kg/(m2 h)) = max( C rho_w d^(1/3) (W_w-W_r), 0.00005 (p_w-p_r) ), d = rho_r-rho_w, C = 35 if d > 0.02 else 40, first term 0 if d <= 0; in all rows here d > 0.02",
        "p_w = aw p_sat(T), p_r = RH p_sat(Ta); W = 0.621945 p/(101325-p); rho = 101325/(287.042 (t+273.15) (1+1.607858 W)) at (T, W_w) and (Ta, W_r)",
        "p_sat(t) = exp(-5.8002206e3/k + 1.3914993 - 4.8640239e-2 k + 4.1764768e-5 k^2 - 1.4452093e-8 k^3 + 6.5459673 ln k), k = t+273.15 (Hyland and Wexler 1983)",
        "h_fg = 2.501e6 - 2361 T J/kg; sigma = 5.670374419e-8",
        *["case " + json.dumps(c) for c in cases],
        "heater_on: state from this instant on; q_evap, q_rad, q_loss: W at this instant; evap_kg, heater_J: totals since t = 0; d: density difference kg/m3",
        "units: t_h hours; T degC; m kg; cp J/(kg K); P W; UA W/K; A m2",
    ], ["case", "t_h", "heater_on", "Ta_C", "T_C", "q_evap_W", "q_rad_W", "q_loss_W", "evap_kg", "heater_J", "d_kg_m3"],
        solver_rows(cases), 13)


def solver_check(pts=None):
    cases = pts or SOLVER
    base = solver_rows(cases)
    note("solver_reference", "min d", min(r[-1] for r in base), "kg/m3, smallest density difference (above 0.02: one branch throughout)")
    for meth, tol in (("DOP853", 1e-13), ("LSODA", 1e-12)):
        other = solver_rows(cases, meth, tol)
        note("solver_reference", "T", max(abs(a[4] - b[4]) for a, b in zip(base, other)), f"K, against scipy {meth} at rtol {tol:g}")
        note("solver_reference", "evap_kg", max(abs(a[8] - b[8]) for a, b in zip(base, other)), f"kg, against scipy {meth} at rtol {tol:g}")
    # a plain fixed-step Runge-Kutta 4, written here, 10 s steps: what a simple implementation may do
    worst = 0
    for c in cases:
        T, h = c["T0"], 10.0
        for i in range(int(72 * 360)):
            t, u = i * h, heater_on(c, i * h)

            def f(t, x):
                _, _, qe, qr, ql, _ = tank_terms(c, t, x)
                return (c["P"] * u - qe - qr - ql) / (c["m"] * c["cp"])
            k1 = f(t, T); k2 = f(t + h / 2, T + h / 2 * k1); k3 = f(t + h / 2, T + h / 2 * k2); k4 = f(t + h, T + h * k3)
            T += h / 6 * (k1 + 2 * k2 + 2 * k3 + k4)
            if (i + 1) % 360 == 0:
                ref = [r for r in base if r[0] == c["case"] and r[1] == (i + 1) // 360][0]
                worst = max(worst, abs(ref[4] - T))
    note("solver_reference", "T", worst, "K, against Runge-Kutta 4 with fixed 10 s steps written by hand")


# ---------------------------------------------------------------- oxygen
OXYGEN_S = [0, 10, 20, 30, 35, 40]
OXYGEN_T = [5, 10, 15, 18, 20, 22.5, 25, 27.5, 30, 33, 35]


def oxygen_rows(points):
    import gsw
    rows = []
    for sp, t in points:
        sa = float(gsw.SR_from_SP(sp))
        held = float(gsw.O2sol_SP_pt(sp, t))
        k = t * 1.00024 + 273.15
        ln_c = (-139.34411 + 157570.1 / k - 66423080 / k**2 + 1.2438e10 / k**3 - 862194900000 / k**4
                - sp * (0.017674 - 10.754 / k + 2140.7 / k**2))
        rows.append([sa, float(sp), float(t), held, held * float(gsw.rho_t_exact(sa, t, 0)) * 31.998e-6,
                     math.exp(ln_c)])
    return rows


def oxygen(out, pts=None, name="oxygen_saturation.csv"):
    pts = pts or grid(OXYGEN_S, OXYGEN_T)
    write(out, name, [
        f"oxygen in water in balance with moist air at 101325 Pa, {ver('gsw')}",
        "held: gsw.O2sol_SP_pt(S_P, T), after Garcia and Gordon 1992 with the coefficients for the data of Benson and Krause 1984",
        "held_mg_L: held * gsw.rho_t_exact(SR_from_SP(S_P), T, 0) * 31.998 g/mol",
        "benson_krause: the equation of Benson and Krause 1984 in its own form, mg/L; coefficients as in the public code jsta/wql, R/oxySol.R, seen 2026-11-25",
        "both equations take the temperature scale of 1968: T68 = 1.00024 T (gsw does it inside)",
        "units: S_A absolute salinity g/kg; S_P practical salinity (unitless); T_C degC; held umol/kg; held_mg_L, benson_krause mg/L",
        "note: gsw itself says that this function is best practice, not part of the standard",
    ], ["S_A_g_kg", "S_P", "T_C", "held_umol_kg", "held_mg_L", "benson_krause_mg_L"], oxygen_rows(pts))


def oxygen_check(pts=None):
    rows = oxygen_rows(pts or grid(OXYGEN_S, OXYGEN_T))
    note("oxygen_saturation", "held_mg_L", max(rel(r[4], r[5]) for r in rows), "relative, against Benson and Krause in its own form")


# volumes m3, transfer m3/s, saturation mg/L, demand mg/s, exchange m3/s; start mg/L
OXYGEN_TANKS = dict(V=[0.25, 0.06], G=[1.2e-5, 6e-6], S=[7.9, 7.7], d=[0.045, 0.004], q=4.2e-4, C0=[7.0, 3.0])
OXYGEN_TIMES_MIN = [1, 2, 5, 10, 30, 60, 180, 600, 1440]


def oxygen_two_rows(times=None, method="expm"):
    import numpy as np
    from scipy.integrate import solve_ivp
    from scipy.linalg import expm
    p = OXYGEN_TANKS
    v, g, sat, d = (np.array(p[key]) for key in ["V", "G", "S", "d"])
    q = p["q"]
    m = np.array([[-(g[0] + q) / v[0], q / v[0]], [q / v[1], -(g[1] + q) / v[1]]])
    s = g * sat / v - d / (v * 1000)
    end = np.linalg.solve(-m, s)
    rows = []
    for minutes in times or OXYGEN_TIMES_MIN:
        t = minutes * 60.0
        if method == "expm":
            c = end + expm(m * t) @ (np.array(p["C0"]) - end)
        else:
            c = solve_ivp(lambda _, x: m @ x + s, (0, t), p["C0"], method="Radau", rtol=1e-12, atol=1e-13).y[:, -1]
        rows.append([minutes, c[0], c[1]])
    return rows


def oxygen_two(out, times=None, name="oxygen_two_tanks.csv"):
    write(out, name, [
        f"oxygen of two tanks that exchange water, {ver('scipy')}: scipy.linalg.expm of the linear balance (exact)",
        "V dC/dt = G (S - C) + q (C_other - C) - d; V = 0.25, 0.06 m3; G = 1.2e-5, 6e-6 m3/s; S = 7.9, 7.7 mg/L; d = 0.045, 0.004 mg/s; q = 4.2e-4 m3/s; C(0) = 7, 3 mg/L",
        "units: minutes min; C mg/L",
    ], ["minutes", "C1_mg_L", "C2_mg_L"], oxygen_two_rows(times))


def oxygen_two_check(times=None):
    a, b = oxygen_two_rows(times), oxygen_two_rows(times, "Radau")
    note("oxygen_two_tanks", "C", max(abs(x[i] - y[i]) for x, y in zip(a, b) for i in (1, 2)), "mg/L, against scipy Radau at rtol 1e-12")


# ---------------------------------------------------------------- intervals
# (distribution, how many, confidence); the figures are drawn and rounded, and stand in the file
SAMPLES = [(d, n, c) for d in ("normal", "exponential", "far") for n in (2, 3, 8, 32) for c in (0.8, 0.95, 0.99)]
ENUMERATED = [[0.3, 1.1, 1.9, 2.2, 4.0], [0.1, 0.2, 0.4, 0.9, 1.6, 4.0], [-1.2, -0.4, 0.1, 0.3, 0.8, 1.5], [0.1, 0.2, 0.4, 0.5, 0.9, 1.6, 4.0]]
COVERED = [("normal", 8), ("normal", 16), ("normal", 32), ("exponential", 8), ("exponential", 16), ("exponential", 32)]
STOPPED = [(d, h) for d in ("normal", "exponential") for h in (0.7, 0.35, 0.15)]
BUDGET = 512


def drawn(distribution, shape, seed):
    import numpy as np
    rng = np.random.default_rng(seed)
    return {"normal": lambda: rng.normal(size=shape), "exponential": lambda: rng.exponential(size=shape),
            "far": lambda: 1e6 + rng.normal(size=shape)}[distribution]()


def spaced(values):
    return " ".join(fmt(v, 12) for v in values)


def t_rows(pts):
    from scipy.stats import ttest_1samp
    rows = []
    for i, (d, n, c) in enumerate(pts):
        x = [round(float(v), 3) for v in drawn(d, n, i)]
        r = ttest_1samp(x, 0.0)
        ci = r.confidence_interval(c)
        rows.append([n, c, d, spaced(x), ci.low, ci.high])
    return rows


def t_intervals(out, pts=None, name="t_intervals.csv"):
    write(out, name, [
        f"interval of a mean by Student's t, {ver('scipy')}: ttest_1samp(values, 0).confidence_interval(level)",
        "values: drawn from the named distribution (far: around 1e6) and rounded to 3 decimals; unitless",
    ], ["n", "level", "distribution", "values", "low", "high"], t_rows(pts or SAMPLES), 17)


def t_check(pts=None):
    from mpmath import mp, mpf, sqrt, betainc, findroot
    mp.dps = 30
    d = 0
    for n, c, _, x, lo, hi in t_rows(pts or SAMPLES):
        v = [mpf(s) for s in x.split()]
        m = sum(v) / n
        e = sqrt(sum((a - m)**2 for a in v) / (n - 1) / n)
        f = n - 1

        def beyond(t):
            return betainc(mpf(f) / 2, 0.5, 0, f / (f + t * t), regularized=True) - (1 - mpf(str(c)))
        t = findroot(beyond, mpf((hi - lo) / 2) / e)
        d = max(d, abs(m - t * e - lo) / e, abs(m + t * e - hi) / e)
    note("t_intervals", "low, high", float(d), "standard errors, against the incomplete beta function at 30 digits")


def studentised(x, index):
    import numpy as np
    r = x[index]
    m, s = r.mean(axis=-1), r.std(axis=-1, ddof=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(s > 1e-9, (m - x.mean()) * math.sqrt(x.size) / np.where(s > 1e-9, s, 1), np.copysign(np.inf, m - x.mean()))


def enumerated_rows(samples):
    """Ends from every resample there is; the share beyond an end of 1999 drawn ones lies within five binomial errors of 2.5 %."""
    import itertools
    import numpy as np
    share, slack = 0.025, 5 * math.sqrt(0.025 * 0.975 / 1999)
    rows = []
    for x in samples:
        x, n = np.array(x), len(x)
        t = np.sort(studentised(x, np.array(list(itertools.product(range(n), repeat=n)), dtype=np.int8)))
        e = x.std(ddof=1) / math.sqrt(n)

        def at(p):
            return t[min(len(t) - 1, max(0, int(math.ceil(p * len(t))) - 1))]
        rows.append([n, 0.95, spaced(x)] + [x.mean() - e * at(p) for p in
                    (1 - share + slack, 1 - share, 1 - share - slack, share + slack, share, share - slack)])
    return rows


def enumerated(out, pts=None, name="bootstrap_enumerated.csv"):
    write(out, name, [
        f"studentised bootstrap interval of a mean from all n^n resamples, written out with {ver('numpy')}",
        "low, high: ends at shares 0.025 and 0.975 of (resample mean - mean)/(its standard error); *_least, *_most: at shares five binomial errors of 1999 draws away",
        "units: unitless",
    ], ["n", "level", "values", "low_least", "low", "low_most", "high_least", "high", "high_most"], enumerated_rows(pts or ENUMERATED))


def coverage_rows(pts, samples=200_000, boot_samples=20_000, resamples=1999):
    import numpy as np
    from scipy.stats import t as student
    rows = []
    for d, n in pts:
        truth = 0.0 if d == "normal" else 1.0
        x = drawn(d, (samples, n), 100 + n)
        m, e = x.mean(axis=1), x.std(axis=1, ddof=1) / math.sqrt(n)
        held = np.mean(np.abs(m - truth) <= student.ppf(0.975, n - 1) * e)
        rng, count = np.random.default_rng(n), 0
        for i in range(boot_samples):
            t = np.sort(studentised(x[i], rng.integers(0, n, (resamples, n))))
            k = (resamples + 1) * 25 // 1000
            count += m[i] - t[-k] * e[i] <= truth <= m[i] - t[k - 1] * e[i]
        rows.append([n, d, held, samples, count / boot_samples, boot_samples])
    return rows


def coverage(out, pts=None, name="interval_coverage.csv"):
    write(out, name, [
        f"how often intervals of 95 % hold the true mean, by simulation with {ver('numpy', 'scipy')}: Student's t, and the studentised bootstrap of 1999 resamples",
        "units: n runs; shares unitless; *_samples simulated samples behind a share",
    ], ["n", "distribution", "t", "t_samples", "bootstrap", "bootstrap_samples"], coverage_rows(pts or COVERED))


def stopped_rows(pts, samples=100_000):
    import numpy as np
    from scipy.stats import t as student
    rows = []
    for d, half in pts:
        truth = 0.0 if d == "normal" else 1.0
        x = drawn(d, (samples, BUDGET), 7)
        held, used, going = np.zeros(samples, bool), np.zeros(samples), np.ones(samples, bool)
        n = 8
        while n <= BUDGET:
            y = x[going, :n]
            m, w = y.mean(axis=1), student.ppf(0.975, n - 1) * y.std(axis=1, ddof=1) / math.sqrt(n)
            at = np.flatnonzero(going)
            ends = (w <= half) | (n == BUDGET)
            held[at[ends]] = np.abs(m - truth)[ends] <= w[ends]
            used[at[ends]] = n
            going[at[ends]] = False
            n *= 2
        rows.append([half, d, held.mean(), samples, used.mean()])
    return rows


def stopped(out, pts=None, name="interval_coverage_stopped.csv"):
    write(out, name, [
        f"how often a t interval of 95 % holds the true mean after looks at 8, 16, 32 .. {BUDGET} runs that end as soon as it is narrow enough, by simulation with {ver('numpy', 'scipy')}",
        "units: half_width in standard deviations; t share; samples simulated studies; runs mean count at the end",
    ], ["half_width", "distribution", "t", "samples", "runs"], stopped_rows(pts or STOPPED))


RANKED = [(4, 8, 0.0), (4, 8, 0.6), (4, 8, 1.5), (6, 16, 0.5), (3, 5, 1.0), (2, 3, 2.0)]


def rank_rows(pts):
    import itertools
    import numpy as np
    from scipy.stats import ttest_rel
    from statsmodels.stats.multitest import multipletests
    rows = []
    for i, (k, n, apart) in enumerate(pts):
        rng = np.random.default_rng(40 + i)
        x = np.round(rng.normal(size=n)[None, :] * 2 + rng.normal(size=(k, n)) * 0.5 + apart * rng.permutation(k)[:, None], 3)
        pairs = list(itertools.combinations(range(k), 2))
        shown = multipletests([ttest_rel(x[a], x[b]).pvalue for a, b in pairs], 0.05, "holm")[0]
        ranks = [1] * k
        for (a, b), is_shown in zip(pairs, shown):
            if is_shown:
                ranks[a if x[a].mean() > x[b].mean() else b] += 1
        rows.append([k, n, "; ".join(spaced(v) for v in x), spaced(ranks)])
    return rows


def ranked(out, pts=None, name="holm_ranks.csv"):
    write(out, name, [
        f"ranks by paired t tests of all pairs, family-wise 5 %: {ver('scipy')} ttest_rel, {ver('statsmodels')} multipletests(method='holm')",
        "values: one list per strategy, run by run; rank: 1 + how many have a smaller mean and differ; unitless",
    ], ["strategies", "n", "values", "ranks"], rank_rows(pts or RANKED))


# ---------------------------------------------------------------- main
TABLES = {   # name: (writer, checker or None)
    "fresh_water": (fresh, fresh_check), "seawater": (sea, sea_check), "seawater_unesco_check": (unesco, None),
    "seawater_vapour_pressure": (vapour, vapour_check), "air": (air, air_check), "air_dry": (dry, dry_check), "air_dry_hot": (dry_hot, None),
    "natural_convection": (natural, nat_check), "forced_convection": (forced, forced_check), "forced_cylinder": (cylinder, None), "radiation": (radiation, rad_check),
    "lumped_step": (step, step_check), "two_node": (two, two_check), "periodic_ambient": (periodic, periodic_check),
    "relay_limit_cycle": (relay, relay_check), "pi_closed_loop": (pi_loop, pi_check), "evaporation_shah": (shah, shah_check),
    "weather_day": (weather_day, None), "weather_week": (weather_week, weather_check), "wilson": (wilson, wilson_check),
    "failure_quantiles": (quantiles, quant_check), "solver_reference": (solver, solver_check),
    "oxygen_saturation": (oxygen, oxygen_check), "oxygen_two_tanks": (oxygen_two, oxygen_two_check),
    "t_intervals": (t_intervals, t_check), "bootstrap_enumerated": (enumerated, None), "interval_coverage": (coverage, None),
    "interval_coverage_stopped": (stopped, None), "holm_ranks": (ranked, None),
}


def main():
    global DATE
    ap = argparse.ArgumentParser(description="write the reference tables")
    ap.add_argument("--out", type=pathlib.Path, default=HERE)
    ap.add_argument("--date", default=DATE)
    ap.add_argument("--only", nargs="*", default=list(TABLES))
    ap.add_argument("--check", action="store_true")
    ap.add_argument("--holdout", type=pathlib.Path, help="JSON file of other grids")
    a = ap.parse_args()
    DATE = a.date
    grids = json.loads(a.holdout.read_text()) if a.holdout else None
    a.out.mkdir(parents=True, exist_ok=True)
    for name in a.only:
        if grids is not None and name not in grids:
            continue
        args = [] if grids is None else [grids[name]]
        make, check = TABLES[name]
        make(a.out, *args)
        if a.check and check:
            check(*args)
    for t, q, v, how in DISAGREE:
        print(f"| {t} | {q} | {v:.3g} | {how} |")


if __name__ == "__main__":
    sys.exit(main())
