"""The peer comparison: agreement on a prescribed switching record first, then each peer's closed loop timed in its natural way.

    python compare.py FOLDER_OF_BINARIES FOLDER_FOR_FILES

Ends with 1 where a peer is farther from tepid than 1 mK (nothing is timed then) or starts the heater more than 1 % more or less often.
"""
import json
import os
import pathlib
import statistics
import subprocess
import sys
import time
from dataclasses import dataclass, field
from typing import Callable

import numba_peer
import record
import rhs
import scipy_peer
import sundae_peer

HERE = pathlib.Path(__file__).resolve().parent
TANK = str(HERE / "tank.toml")
AGREEMENT_DAYS = 30
YEAR_DAYS = 365
SLOW_DAYS = 30  # of peers that take seconds for a month; their year is this month times 365/30
ROUNDS = 5
AGREED_MK = 1.0
STARTS_SHARE = 0.01
# A setting is judged beside a target where it comes about as near to the converged solution as tepid does.
AS_ACCURATE_MK = 0.1
# From loose to tight; a peer is timed at the first that is as accurate.
TOLERANCES = (1e-1, 3e-2, 1e-2, 3e-3, 1e-3, 3e-4, 1e-4, 3e-5, 1e-5, 3e-6, 1e-6)


def measured(command):
    """Words that a program prints and the seconds of processor that it takes."""
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        words = process.stdout.read().split()
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        sys.exit(f"failed: {' '.join(command)}")
    return words, used.ru_utime + used.ru_stime


def in_this_process(starts, days, *setting):
    """Starts and seconds of processor."""
    begun = time.process_time()
    count = starts(days, *setting)
    return count, time.process_time() - begun


@dataclass
class Peer:
    """One way to compute the tank."""

    name: str
    target: str  # whose target of the table it is judged beside
    days: int
    course: Callable  # of a setting: the water at each row of the record
    starts: Callable  # of days and a setting: starts of the heater, seconds of processor
    settings: tuple
    tight: object  # the setting at which it must agree; None: its course is that of another
    setting: object = None
    error_mk: float = 0.0
    count: int = 0
    year_s: list = field(default_factory=list)


TARGETS = {"scipy": 700, "numba": 10, "sundials": 100, "diffsol": 20}


def peers(binaries, recorded, files):
    """All of them."""
    diffsol = str(binaries / "diffsol-peer")
    numbers, record_file = str(files / "parameters.json"), str(files / "record.csv")

    def with_diffsol(method, by="starts"):
        def course(tolerance):
            return [float(word) for word in measured([diffsol, "course", numbers, method, str(tolerance), record_file])[0]]

        def starts(days, tolerance):
            words, took_s = measured([diffsol, by, numbers, method, str(tolerance), str(days)])
            return int(words[0]), took_s

        by_ticks = by == "ticks"
        name = f"diffsol, {method}{' every 10 s' if by_ticks else ''}"
        return Peer(name, "diffsol", YEAR_DAYS, course, starts, TOLERANCES, None if by_ticks else 1e-8)

    def in_plain_python(days, tolerance):
        command = [sys.executable, str(HERE / "scipy_peer.py"), str(days), str(tolerance)]
        words = subprocess.check_output(command, env=os.environ | {"NUMBA_DISABLE_JIT": "1"}, text=True).split()
        return int(words[0]), float(words[1])

    def with_scipy(name, starts, tight):
        course = lambda tolerance: scipy_peer.course(recorded, tolerance)
        return Peer(name, "scipy", SLOW_DAYS, course, starts, TOLERANCES, tight)

    def with_numba(step):
        course = lambda step: numba_peer.course(recorded, step)
        starts = lambda days, step: in_this_process(numba_peer.starts, days, step)
        return Peer(f"numba, {step} every 10 s", "numba", YEAR_DAYS, course, starts, (step,), step)

    def with_cvode(method):
        course = lambda tolerance: sundae_peer.course(recorded, method, tolerance)
        starts = lambda days, tolerance: in_this_process(sundae_peer.starts, days, method, tolerance)
        return Peer(f"scikit-sundae, CVODE {method}", "sundials", SLOW_DAYS, course, starts, TOLERANCES, 1e-9)

    return [
        with_scipy("SciPy LSODA, plain Python", in_plain_python, None),
        with_scipy("SciPy LSODA, compiled rate", lambda *of: in_this_process(scipy_peer.starts, *of), 1e-9),
        with_cvode("BDF"),
        with_cvode("Adams"),
        with_numba("runge_kutta_4"),
        with_numba("heun"),
        *map(with_diffsol, ("tsit45", "esdirk34", "tr_bdf2", "bdf")),
        with_diffsol("tr_bdf2", by="ticks"),
    ]


def apart_mk(one_c, other_c):
    """Largest difference of two courses, mK."""
    if len(one_c) != len(other_c):
        sys.exit(f"courses of {len(one_c)} and {len(other_c)} rows")
    return 1e3 * max(abs(one - other) for one, other in zip(one_c, other_c))


def agreement(all_peers, recorded):
    """Prints how far each is from tepid with the heater switched as recorded; true if all are near enough."""
    switchings = sum(one != other for one, other in zip(recorded.heater_w, recorded.heater_w[1:]))
    print(f"Agreement: {AGREEMENT_DAYS} days, {switchings} switchings as tepid made them, water at {len(recorded.t_s)} instants")
    agreed = True
    for peer in all_peers:
        if peer.tight is None:
            continue
        apart = apart_mk(peer.course(peer.tight), recorded.water_c)
        agreed &= apart <= AGREED_MK
        print(f"  {peer.name:<32} {setting_text(peer.tight):>7} {apart:9.4f} mK from tepid{'' if apart <= AGREED_MK else ': TOO FAR'}", flush=True)
    return agreed


def setting_text(setting):
    return f"{setting:.0e}" if isinstance(setting, float) else ""


def settle(peer, converged_c):
    """Finds the loosest setting that is as accurate as tepid; else the tightest stays."""
    for peer.setting in peer.settings:
        peer.error_mk = apart_mk(peer.course(peer.setting), converged_c)
        if peer.error_mk <= AS_ACCURATE_MK:
            return


def main():
    binaries, files = map(pathlib.Path, sys.argv[1:])
    os.sched_setaffinity(0, {max(os.sched_getaffinity(0))})
    tepid = str(binaries / "tepid-peer")
    (files / "parameters.json").write_text(json.dumps(rhs.parameters()))
    measured([tepid, "record", TANK, str(AGREEMENT_DAYS), str(files / "record.csv")])
    recorded = record.read(files / "record.csv")
    all_peers = peers(binaries, recorded, files)
    if not agreement(all_peers, recorded):
        sys.exit(1)

    converged_c = scipy_peer.course(recorded, 1e-11)
    tepid_mk = apart_mk(recorded.water_c, converged_c)
    for peer in all_peers:
        settle(peer, converged_c)

    def tepid_starts(days):
        words, took_s = measured([tepid, "starts", TANK, str(days)])
        return int(words[0]), took_s

    tepid_count = {days: tepid_starts(days)[0] for days in (SLOW_DAYS, YEAR_DAYS)}
    tepid_s = []
    for turn in range(1, ROUNDS + 1):
        if sys.stderr.isatty():
            print(f"timing, round {turn} of {ROUNDS}", file=sys.stderr)
        tepid_s.append(tepid_starts(YEAR_DAYS)[1])
        for peer in all_peers:
            peer.count, took_s = peer.starts(peer.days, peer.setting)
            peer.year_s.append(took_s * YEAR_DAYS / peer.days)

    good = True
    print(f"\nClosed loop under on-off: seconds of one core for a tank-year, {ROUNDS} rounds in turn; error: largest on the record above")
    print(f"{'':<32} {'toler-':>7} {'error':>8} {'days':>5} {'starts':>7} {'beside':>7} {'tank-year, s':>17} {'times':>7} {'target':>7}")
    print(f"{'':<32} {'ance':>7} {'mK':>8} {'run':>5} {'':>7} {'tepid':>7} {'least':>8} {'median':>8} {'tepid':>7}")

    def line(name, setting, error_mk, days, count, share, year_s, times, target):
        print(
            f"{name:<32} {setting:>7} {error_mk:8.4f} {days:5} {count:7} {share:>7} {min(year_s):8.3f} {statistics.median(year_s):8.3f} {times:>7}  {target}"
        )

    line("tepid", "", tepid_mk, YEAR_DAYS, tepid_count[YEAR_DAYS], "", tepid_s, "1", "")
    for peer in all_peers:
        share = peer.count / tepid_count[peer.days] - 1
        good &= abs(share) <= STARTS_SHARE
        times = statistics.median(theirs / ours for theirs, ours in zip(peer.year_s, tepid_s))
        wanted = TARGETS[peer.target]
        if peer.error_mk > AS_ACCURATE_MK:
            verdict = f"({wanted}) not judged: less accurate"
        else:
            verdict = f"{wanted:>5}  {'reached' if times >= wanted else 'falls short'}"
        line(
            peer.name,
            setting_text(peer.setting),
            peer.error_mk,
            peer.days,
            peer.count,
            f"{100 * share:+.1f} %",
            peer.year_s,
            f"{times:.3g}",
            verdict,
        )
    print(
        f"\nPeers with {SLOW_DAYS} days run are extrapolated to a year. Events switch at the instant of crossing, ticks up to 10 s later:"
        "\nhence a few more starts. A tolerance is the loosest tried with an error of at most "
        f"{AS_ACCURATE_MK} mK."
    )
    sys.exit(0 if good else 1)


if __name__ == "__main__":
    main()
